//! The table of the routes: what each sets, what it leaves, and how many coils it fires.

use super::super::Book;
use super::super::pen::{light, thin};
use crate::circuit::PartKind;
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::{self, lettering};
use crate::geom::point;

/// From line to line of one row, and what a row has above and below them.
const LINE: f64 = 4.0;
const SPARE: f64 = 3.0;
/// The row of headings.
const HEAD: f64 = 12.5;

struct Column {
    heading: &'static str,
    /// Share of the width.
    share: f64,
}

const COLUMNS: [Column; 5] = [
    Column { heading: "Button", share: 0.18 },
    Column { heading: "Sets", share: 0.38 },
    Column { heading: "Leaves as it stands", share: 0.24 },
    Column { heading: "Coils at once", share: 0.1 },
    Column { heading: "Diodes", share: 0.1 },
];

pub(super) fn draw(book: &mut Book) {
    let width = book.format().frame().width() - 10.0;
    let rows: Vec<Vec<Vec<String>>> = cells(book)
        .into_iter()
        .map(|row| {
            let wrapped = row
                .iter()
                .zip(&COLUMNS)
                .map(|(words, column)| text::wrap(words, lettering::BODY, false, column.share * width - 3.0));
            wrapped.collect()
        })
        .collect();
    let height = |row: &[Vec<String>]| {
        let lines = row.iter().map(Vec::len).max().unwrap_or(1).max(1);
        lines as f64 * LINE + SPARE
    };
    let mut next = 0;
    let mut sheet = 0;
    while next < rows.len() {
        sheet += 1;
        let title = if sheet == 1 { "Routes".to_owned() } else { format!("Routes {sheet}") };
        let mut page = book.page(format!("routes-{sheet}"), title, "none");
        let left = page.inner.min.x;
        heading(&mut page, width);
        let mut y = page.inner.min.y + HEAD;
        let first = next;
        while next < rows.len() && (next == first || y + height(&rows[next]) <= page.inner.max.y) {
            let mut x = left;
            for (lines, column) in rows[next].iter().zip(&COLUMNS) {
                for (i, words) in lines.iter().enumerate() {
                    let at = point(x + 1.0, y + LINE * (i as f64 + 1.0));
                    page.scene.text(at, lettering::BODY, Anchor::Start, words.clone());
                }
                x += column.share * width;
            }
            y += height(&rows[next]);
            let (a, b) = (point(left, y), point(left + width, y));
            page.scene.line(a, b, light(), Role::Decoration);
            next += 1;
        }
        let notes = [
            "A button fires the coils of its route together, for as long as the discharge unit has charge: press \
             it once, and wait until the unit is ready again.",
            "What a route leaves as it stands lies in the way of its trains: see to it by hand.",
        ];
        let left_some = book.design.plan.routes.iter().any(|r| !r.leaves.is_empty());
        let area = page.note_area;
        let _ = crate::draw::page::caution_strip(
            &mut page.scene,
            area,
            &[],
            &notes[..if left_some { 2 } else { 1 }],
        );
        book.add(page);
    }
}

fn heading(page: &mut Page, width: f64) {
    let (left, top) = (page.inner.min.x, page.inner.min.y);
    let mut x = left;
    for column in &COLUMNS {
        page.scene.bold(point(x + 1.0, top + 8.0), lettering::BODY, Anchor::Start, column.heading);
        x += column.share * width;
    }
    let (a, b) = (point(left, top + 10.5), point(left + width, top + 10.5));
    page.scene.line(a, b, thin(), Role::Decoration);
}

/// A row for each route.
fn cells(book: &Book) -> Vec<Vec<String>> {
    let design = book.design;
    let document = &design.document;
    let row = |plan: &crate::drives::RoutePlan| {
        let leaves = plan.leaves_named(document).join(", ");
        let is_own = |kind: PartKind| kind == PartKind::Diode { route: plan.route };
        let diodes = design.circuit.parts().filter(|(_, p)| is_own(p.kind)).count();
        let along: Vec<&str> = plan.along.iter().map(|b| document[*b].name.as_str()).collect();
        let mut sets = plan.settings(document);
        if !along.is_empty() {
            sets.push_str(&format!(" (with it goes {})", along.join(", ")));
        }
        vec![
            document[plan.route].name.value.clone(),
            sets,
            if leaves.is_empty() { "–".to_owned() } else { leaves },
            plan.bars.len().to_string(),
            diodes.to_string(),
        ]
    };
    design.plan.routes.iter().map(row).collect()
}
