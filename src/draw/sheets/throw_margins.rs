//! Will every turnout throw? A row for each motor that the discharge unit fires, with what it gets of
//! what it needs in the weakest corner, and below the rows where the rest of the energy stays.

mod bar;
mod notes;
mod rows;

use super::Book;
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::Anchor;
use crate::draw::text::{self, lettering};
use crate::drives::sizing::{LOOK_FIRST, LOOK_FIRST_SHORT, left_out_of, trigger_words};
use crate::firing::{Least, MARGIN, Unit};
use crate::geom::{Rect, point};

/// Height of what stands above the rows, and of what heads a column.
const ABOVE: f64 = 17.5;
/// The widest that a single column of rows is of use, and what lies between two columns.
const WIDEST: f64 = 262.5;
const BETWEEN: f64 = 10.0;
/// From this width on there is room for two columns.
const TWO_COLUMNS: f64 = 350.0;

pub(super) fn draw(book: &mut Book) {
    let design = book.design;
    for unit in &design.firing.units {
        sheets(book, unit);
    }
}

fn sheets(book: &mut Book, unit: &Unit) {
    let mut all = unit.least_of_each_bar();
    // As on the sheets of the turnouts: board by board.
    let drawn = &book.design.plan.bars;
    all.sort_by_key(|l| drawn.iter().position(|b| b.bar == l.coil.bar));
    let mut page = new_page(book, unit, 1);
    let mut count = 1;
    let mut rest = all.as_slice();
    let mut below;
    loop {
        below = page.inner.min.y + ABOVE;
        for area in columns(&page, rest.len()) {
            let (these, others) = rest.split_at(rows::fitting(area).min(rest.len()));
            if !these.is_empty() {
                below = rows::draw(book, &mut page, area, these).max(below);
            }
            rest = others;
        }
        if rest.is_empty() {
            break;
        }
        book.add(page);
        count += 1;
        page = new_page(book, unit, count);
    }
    let blocks = notes::Notes::of(book, unit, page.inner.width());
    if below + blocks.height() > page.inner.max.y {
        book.add(page);
        count += 1;
        page = new_page(book, unit, count);
        below = page.inner.min.y + ABOVE - 7.5;
    }
    blocks.draw(&mut page, below + 5.0);
    book.add(page);
}

/// Where rows go: one column, or two on wide paper where one is not enough.
fn columns(page: &Page, rows: usize) -> Vec<Rect> {
    let inner = page.inner;
    let top = inner.min.y + ABOVE;
    let column = |x: f64, width: f64| Rect::new(x, top, width, inner.max.y - top);
    let single = column(inner.min.x, inner.width().min(WIDEST));
    if inner.width() < TWO_COLUMNS || rows <= rows::fitting(single) {
        return vec![single];
    }
    let width = (inner.width() - BETWEEN) / 2.0;
    vec![column(inner.min.x, width), column(inner.min.x + width + BETWEEN, width)]
}

/// With the summary and the key to the bars, which each sheet has.
fn new_page(book: &mut Book, unit: &Unit, count: usize) -> Page {
    let slug = if count == 1 { "throw-margins".to_owned() } else { format!("throw-margins-{count}") };
    let mut page = book.page(slug, "Will every turnout throw?", "none");
    let (left, top) = (page.inner.min.x + 2.5, page.inner.min.y);
    let summary =
        text::fit(&summary(book, unit), lettering::BODY, true, page.inner.width() - 5.0).into_owned();
    page.scene.bold(point(left, top + 5.0), lettering::BODY, Anchor::Start, summary);
    bar::key(&mut page.scene, point(left, top + 11.0));
    let leaves = left_out_of("points").unwrap_or_default();
    let area = page.note_area;
    // As much of it as there is room for.
    let said = [([LOOK_FIRST], &[leaves][..]), ([LOOK_FIRST], &[]), ([LOOK_FIRST_SHORT], &[])];
    let _ =
        said.iter().find(|(cautions, notes)| caution_strip(&mut page.scene, area, cautions, notes).is_ok());
    page
}

fn summary(book: &Book, unit: &Unit) -> String {
    let design = book.design;
    let shot = unit.worst();
    let Some(coil) = shot.worst_coil() else { return String::new() };
    let verdict = if coil.margin() >= MARGIN { "Yes" } else { "Not for sure" };
    format!(
        "{verdict}: in the weakest corner {} of {} has least, {} times the {} that it needs, by {} ({}).",
        design.circuit.drive_name(coil.bar),
        design.document[coil.bar].name,
        rows::margin_words(coil.margin()),
        coil.least(),
        trigger_words(&design.document, shot.trigger),
        coils(shot.coils.len()),
    )
}

fn coils(n: usize) -> String {
    if n == 1 { "1 coil".to_owned() } else { format!("{n} coils at once") }
}

/// How a margin is judged.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Verdict {
    Throws,
    Tight,
    MayStick,
}

impl Verdict {
    fn of(least: &Least) -> Verdict {
        match least.coil.margin() {
            m if m >= MARGIN => Verdict::Throws,
            m if m >= 1.0 => Verdict::Tight,
            _ => Verdict::MayStick,
        }
    }
}
