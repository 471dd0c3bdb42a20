//! The sizing box: every figure of a supply with what it came from.

use super::super::Book;
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::{self, lettering};
use crate::drives::sizing::LOOK_FIRST_SHORT;
use crate::geom::{Rect, point};

const PITCH: f64 = 5.0;

pub(super) fn draw(book: &Book, page: &mut Page, part: &str, top: f64, width: f64) {
    let left = page.inner.min.x;
    let figures: Vec<_> = book.design.sizing.figures.iter().filter(|f| f.part == part).cloned().collect();
    let rows = (((page.inner.max.y - top - 14.0) / PITCH) as usize).min(figures.len());
    let height = 9.0 + (rows + note_lines(&figures, width).len()) as f64 * PITCH;
    page.scene.rect(
        Rect::new(left + 2.5, top, width, height),
        Some(super::super::pen::thin()),
        None,
        Role::Decoration,
    );
    page.scene.bold(point(left + 5.0, top + 5.0), lettering::BODY, Anchor::Start, "How it was sized");
    page.scene.text(
        point(left + width, top + 5.0),
        lettering::SMALL,
        Anchor::End,
        "working and sources: sizing.md",
    );
    for (i, figure) in figures.iter().take(rows).enumerate() {
        let y = top + 10.5 + i as f64 * PITCH;
        let name = text::fit(&figure.name, lettering::BODY, false, 62.0).into_owned();
        page.scene.text(point(left + 5.0, y), lettering::BODY, Anchor::Start, name);
        // A long value takes the place of its first input.
        let long = text::width(&figure.value, lettering::BODY, true) > 34.0;
        let room = if long { width - 69.0 } else { 34.0 };
        let value = text::fit(&figure.value, lettering::BODY, true, room).into_owned();
        page.scene.bold(point(left + 69.0, y), lettering::BODY, Anchor::Start, value);
        if let Some((name, value)) = figure.inputs.first().filter(|_| !long) {
            let words = format!("{name}: {value}");
            let words = text::fit(&words, lettering::SMALL, false, width - 103.0).into_owned();
            page.scene.text(point(left + 104.0, y), lettering::SMALL, Anchor::Start, words);
        }
    }
    let notes = note_lines(&figures, width);
    let below = top + 10.5 + (rows + notes.len()) as f64 * PITCH;
    for (i, line) in notes.into_iter().enumerate() {
        let y = top + 10.5 + (rows + i) as f64 * PITCH;
        page.scene.bold(point(left + 5.0, y), lettering::BODY, Anchor::Start, line);
    }
    // Under the box, where the page has room for it.
    if below + PITCH < page.inner.max.y {
        let line = text::fit(LOOK_FIRST_SHORT, lettering::BODY, false, width);
        page.scene.text(point(left + 5.0, below + PITCH), lettering::BODY, Anchor::Start, line);
    }
}

/// Which inputs are typical ones, wrapped to the box.
fn note_lines(figures: &[crate::drives::Figure], width: f64) -> Vec<String> {
    let mut notes: Vec<&str> =
        figures.iter().map(|f| f.note.as_str()).filter(|n| n.starts_with("typical")).collect();
    notes.dedup();
    if notes.is_empty() {
        return Vec::new();
    }
    text::wrap(&notes.join("; "), lettering::BODY, true, width - 6.0)
}
