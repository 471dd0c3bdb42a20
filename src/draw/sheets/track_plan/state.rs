//! One setting of the layout: the track plan with every rail in the feed that it is joined to, and
//! a table of the frogs.

use super::drawn;
use super::look::Look;
use crate::Design;
use crate::draw::line::THIN;
use crate::draw::page::{Page, PageFormat, caution_strip};
use crate::draw::scene::{Anchor, Ink, Role, Stroke};
use crate::draw::text::{fit, lettering};
use crate::drives::Decider;
use crate::geom::point;
use crate::proof::{FrogState, State};
use crate::track::{Formation, Position};

/// From line to line of the table.
const PITCH: f64 = 4.6;
/// Heads of the columns with their widths in millimetres.
const COLUMNS: [(&str, f64); 6] =
    [("turnout", 24.0), ("lies", 66.0), ("frog", 34.0), ("has", 34.0), ("needs", 34.0), ("by contact", 60.0)];
/// Up to this many frogs the table goes below the plan, more get sheets of their own.
const BELOW: usize = 9;

/// Draws a setting: plan first, then what of the table did not fit below it.
pub fn draw(
    design: &Design,
    state: &State,
    format: PageFormat,
    page: &mut dyn FnMut(&str, &str, &str) -> Page,
) -> Vec<Page> {
    let look = Look { design, state: Some(state) };
    let rows: Vec<([String; 6], bool)> = state.frogs.iter().map(|f| row(&look, state, f)).collect();
    let thrown = thrown(design, state);
    let together = !rows.is_empty() && rows.len() <= BELOW;
    let below = if together { PITCH * (rows.len() as f64 + 1.0) + 3.0 } else { 0.0 };
    let mut pages = drawn(&look, format, ("state", &format!("State: {thrown}")), below, page);
    for page in &mut pages {
        notes(&look, state, &thrown, page);
    }
    if together {
        if let Some(page) = pages.last_mut() {
            let top = page.inner.max.y - below;
            table(page, top, &rows);
        }
    } else if !rows.is_empty() {
        let sample =
            crate::draw::page::Page::new(format, "", &crate::draw::page::TitleBlock::default(), false);
        let most = ((sample.inner.height() - 4.0) / PITCH) as usize - 1;
        for (i, rows) in rows.chunks(most).enumerate() {
            let slug = format!("state-frogs-{}", i + 1);
            let mut page = page(&slug, "State: frogs", "none");
            let top = page.inner.min.y;
            table(&mut page, top, rows);
            notes(&look, state, &thrown, &mut page);
            pages.push(page);
        }
    }
    pages
}

/// What does not lie normal.
fn thrown(design: &Design, state: &State) -> String {
    let off = state.positions.iter().filter(|(_, p)| **p == Position::Reverse);
    let words = off.map(|(decider, position)| match decider {
        Decider::Bar(bar) => format!("{} {}", design.document[*bar].name, position.word()),
        Decider::Selector(s) => {
            let selector = design.plan.selector(*s);
            format!("{} {}", selector.name, selector.positions[1])
        }
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() { "everything normal".into() } else { words.join(", ") }
}

fn notes(look: &Look, state: &State, thrown: &str, page: &mut Page) {
    let shorts: Vec<String> = state
        .shorts
        .iter()
        .map(|(a, b)| {
            let words = [a, b].map(|p| look.pole_words(Some(*p)));
            format!("Short circuit: {} and {} are joined in this setting.", words[0], words[1])
        })
        .collect();
    let cautions: Vec<&str> = shorts.iter().map(String::as_str).take(2).collect();
    let note = format!("In this setting: {thrown}. Every rail is drawn in the feed that it is joined to.");
    let area = page.note_area;
    if caution_strip(&mut page.scene, area, &cautions, &[&note]).is_err() {
        let short = "Every rail is drawn in the feed that it is joined to.";
        let _ = caution_strip(&mut page.scene, area, &cautions, &[short]);
    }
}

/// The cells of a frog, and whether it has what it needs.
fn row(look: &Look, state: &State, frog: &FrogState) -> ([String; 6], bool) {
    let design = look.design;
    let need = &design.rails[frog.frog];
    let turnout = &design.document[need.turnout];
    let formation = Formation::of(turnout);
    let bars = design.document.bars_of(need.turnout);
    let positions: Vec<String> = bars
        .map(|b| {
            let name = design.document[b].name.rsplit('.').next().unwrap_or_default().to_owned();
            let word = state.position(Decider::Bar(b)).word();
            if formation.bars() == 1 { word.to_owned() } else { format!("{name} {word}") }
        })
        .collect();
    let roads: Vec<String> =
        look.roads_set(need.turnout).iter().map(|r| formation.roads()[*r].name()).collect();
    let road = if roads.is_empty() { "no road".to_owned() } else { format!("road {}", roads.join(", ")) };
    let lies = if positions.is_empty() { road } else { format!("{}: {road}", positions.join(", ")) };
    let contact = frog.changeover.and_then(|c| design.circuit.contact_of(c));
    let contact = contact.map(|c| design.circuit.closed_pins(c, state.position(c.decider)));
    let good = frog.is_right();
    let mut has = look.pole_words(frog.has);
    if !good {
        has += " (wrong)";
    }
    let cells = [
        turnout.name.value.clone(),
        lies,
        formation.crossings()[need.crossing].to_owned(),
        has,
        frog.needs.map_or("either, no road over it".into(), |n| look.pole_words(Some(n))),
        contact.unwrap_or_else(|| "no contact".into()),
    ];
    (cells, good)
}

fn table(page: &mut Page, top: f64, rows: &[([String; 6], bool)]) {
    let left = page.inner.min.x + 2.5;
    let scene = &mut page.scene;
    let mut x = left;
    for (i, (head, wide)) in COLUMNS.iter().enumerate() {
        scene.bold(point(x, top + 3.2), lettering::SMALL, Anchor::Start, *head);
        for (k, (cells, good)) in rows.iter().enumerate() {
            let at = point(x, top + 3.2 + PITCH * (k as f64 + 1.0));
            let words = fit(&cells[i], lettering::SMALL, !good, wide - 2.0).into_owned();
            scene.push_text(at, lettering::SMALL, Anchor::Start, !good, Ink::BLACK, words);
        }
        x += wide;
    }
    let rule = top + 4.9;
    scene.line(point(left, rule), point(x, rule), Stroke::solid(THIN, Ink::GREY), Role::Decoration);
}
