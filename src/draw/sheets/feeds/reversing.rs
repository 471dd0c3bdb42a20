//! Reversing sections in words: where they begin and end, what turns them, how they are worked.

use super::super::{Book, Thing};
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::{self, lettering};
use crate::drives::{Decider, SelectorKind};
use crate::geom::point;
use crate::parse::{TrainControl, Word};
use crate::track::{Position, Reversing};

const LINE: f64 = 4.4;

pub(super) fn draw(book: &mut Book) {
    let design = book.design;
    let sections: Vec<(&Reversing, Vec<String>)> = design
        .rails
        .reversing
        .iter()
        .filter(|r| r.is_needed())
        .map(|section| (section, paragraphs(book, section)))
        .collect();
    let mut open: Option<(Page, f64)> = None;
    let mut number = 0;
    for (section, paragraphs) in sections {
        let width = book.format().frame().width() - 15.0;
        let lines: Vec<Vec<String>> =
            paragraphs.iter().map(|p| text::wrap(p, lettering::BODY, false, width)).collect();
        let needed = 12.0 + lines.iter().map(|l| l.len() as f64 * LINE + 1.6).sum::<f64>();
        let full = open.as_ref().is_some_and(|(page, y)| y + needed > page.inner.max.y);
        if full && let Some((page, _)) = open.take() {
            finish(book, page);
        }
        let (page, y) = open.get_or_insert_with(|| {
            number += 1;
            let page = book.page(format!("reversing-{number}"), "Reversing sections", "none");
            let y = page.inner.min.y;
            (page, y)
        });
        let x = page.inner.min.x + 2.5;
        let name = format!("Reversing section {}", design.rails[section.zone].name);
        page.scene.bold(point(x, *y + 6.5), lettering::HEADING, Anchor::Start, name);
        *y += 12.5;
        for line in lines {
            for part in line {
                page.scene.text(point(x, *y), lettering::BODY, Anchor::Start, part);
                *y += LINE;
            }
            *y += 1.6;
        }
        let (a, b) = (point(page.inner.min.x, *y), point(page.inner.max.x, *y));
        page.scene.line(a, b, super::super::pen::light(), Role::Decoration);
        *y += 2.5;
    }
    if let Some((page, _)) = open {
        finish(book, page);
    }
}

fn finish(book: &mut Book, mut page: Page) {
    let note = "Both rails are cut at both ends of a reversing section. No wheel with metal may stand over both ends \
                at once: the train must fit inside.";
    let area = page.note_area;
    let _ = caution_strip(&mut page.scene, area, &[note], &[]);
    book.add(page);
}

fn paragraphs(book: &Book, section: &Reversing) -> Vec<String> {
    let design = book.design;
    let document = &design.document;
    let mut lines = Vec::new();
    if !section.ring.is_empty() {
        let names: Vec<&str> = section.ring.iter().map(|t| document[*t].name.as_str()).collect();
        lines.push(format!(
            "Why: the way round over {} comes back to itself the other way round, so that rail A meets rail B.",
            names.join(", ")
        ));
    }
    for border in &section.boundaries {
        let joints: Vec<String> = design
            .rails
            .joints
            .iter()
            .enumerate()
            .filter(|(_, j)| (j.turnout, j.port) == (border.turnout, border.port))
            .map(|(i, _)| format!("J{}", i + 1))
            .collect();
        let meets = match border.fits {
            Position::Normal => "A meets A there when the section is fed straight",
            Position::Reverse => "A meets A there when the section is fed crossed",
        };
        lines.push(format!(
            "Border {}.{}, joints {}: {meets}.",
            *document[border.turnout].name,
            border.port.word(),
            joints.join(" and ")
        ));
    }
    let train = document.layout.longest_train.as_ref().map(|t| t.value);
    lines.push(match (section.length, train) {
        (Some(length), Some(train)) => {
            format!("Length between the borders: {length}; longest train: {train}.")
        }
        (Some(length), None) => format!("Length between the borders: {length}. No train may be longer."),
        (None, _) => "Measure the length between the borders: no train may be longer.".to_owned(),
    });
    let Some(id) = design.plan.turning(section.zone).next() else { return lines };
    let changeover = design.plan.changeover(id);
    let part = design.circuit.contact_of(id).map(|c| {
        let reference = book.reference(Thing::Part(c.part));
        format!("{} {reference}", design.circuit[c.part].designation).trim_end().to_owned()
    });
    let part = part.unwrap_or_default();
    lines.push(format!("Turned by {part}: {}.", changeover.reason));
    lines.extend(operation(book, section, changeover.decider));
    lines
}

/// How a train runs in and out again.
fn operation(book: &Book, section: &Reversing, decider: Decider) -> Vec<String> {
    let design = book.design;
    let name = &design.rails[section.zone].name;
    let dc = *design.document.layout.control == TrainControl::Dc;
    let lines: Vec<String> = match decider {
        Decider::Selector(id) if design.plan.selector(id).kind == SelectorKind::Module => vec![
            "Operation: nothing. The module turns the section when a wheel bridges a joint with the wrong polarity; \
             the train runs on. The whole train must be inside before its first wheel leaves."
                .into(),
        ],
        Decider::Selector(id) => {
            let [normal, reverse] = &design.plan.selector(id).positions;
            let last = if dc { "reverse the section switch and the controller" } else { "reverse the section switch" };
            vec![
                format!("1. Set the section switch to the border by which the train comes in: normal {normal}, reverse {reverse}."),
                format!("2. Run in and stop with the whole train inside {name}."),
                format!("3. Set the turnouts for the way out, and {last}."),
                "4. Leave over the other border.".into(),
            ]
        }
        Decider::Bar(bar) => {
            let bar = &design.document[bar].name;
            vec![
                format!("1. Set {bar} for the road by which the train comes in: its contacts turn the section to suit."),
                format!("2. Run in and stop with the whole train inside {name}."),
                format!(
                    "3. Throw {bar} and reverse the controller: both together keep the train's direction."
                ),
                "4. Leave by the other road.".into(),
            ]
        }
    };
    lines
}
