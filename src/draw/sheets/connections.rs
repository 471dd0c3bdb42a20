//! Every wire that no other sheet shows, a line each, so that the book is complete.

use super::pen::Label;
use super::{Book, Thing};
use crate::draw::M;
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Ink, Role};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, point};
use crate::hardware::{End, WireId};

const PITCH: f64 = 2.0 * M;
/// Room for a name at each end of a line.
const NAME: f64 = 38.0;

pub(super) fn draw(book: &mut Book) {
    let missing: Vec<WireId> =
        (0..book.design.wiring.wires.len()).map(WireId).filter(|w| !book.drawn.contains(w)).collect();
    if missing.is_empty() {
        return;
    }
    let (columns, rows) = {
        let frame = book.format().frame();
        ((frame.width() / 130.0).floor().max(1.0) as usize, ((frame.height() - 40.0) / PITCH) as usize)
    };
    let sheets: Vec<Vec<WireId>> = missing.chunks(columns * rows).map(<[WireId]>::to_vec).collect();
    for (i, chunk) in sheets.iter().enumerate() {
        let title =
            if i == 0 { "Other connections".to_owned() } else { format!("Other connections {}", i + 1) };
        let mut page = book.page(format!("connections-{}", i + 1), title, "none");
        let width = (page.inner.width() / columns as f64 / M).floor() * M;
        for (n, id) in chunk.iter().enumerate() {
            let (column, row) = (n / rows, n % rows);
            let x = page.inner.min.x + column as f64 * width;
            let y = page.inner.min.y + 10.0 + row as f64 * PITCH;
            let (a, b) = (point(x + NAME, y), point(x + width - NAME - M, y));
            straight(book, &mut page, *id, a, b);
        }
        let area = page.note_area;
        let _ = crate::draw::page::caution_strip(
            &mut page.scene,
            area,
            &[],
            &[
                "One line for each wire that the other sheets do not show. Circles are terminals, dots are pins.",
            ],
        );
        book.add(page);
    }
}

/// A wire as a straight line between its two ends, each with its name.
pub(super) fn straight(book: &mut Book, page: &mut Page, id: WireId, a: Point, b: Point) {
    let wire = book.design.wiring.wires[id.0].clone();
    let label = Label { x: a.x + 3.0, y: a.y, width: b.x - a.x - 6.0 };
    book.draw_wire(&mut page.scene, id, vec![a, b], Some(label));
    end(book, page, wire.from, a, Anchor::End);
    end(book, page, wire.to, b, Anchor::Start);
}

/// An end of a wire with its full name beside it.
pub(super) fn end(book: &mut Book, page: &mut Page, end: End, at: Point, anchor: Anchor) {
    let name = book.design.wiring.end_words(&book.design.circuit, end);
    let x = if anchor == Anchor::End { at.x - 2.5 } else { at.x + 2.5 };
    match end {
        End::Terminal(t) => {
            let net = book.net_name(book.design.wiring.terminal(t).net).to_owned();
            let pin = book.design.wiring.terminal_name(t);
            crate::draw::symbols::terminal::terminal(&mut page.scene, at, pin, net);
            book.place(Thing::Terminal(t), page, at);
        }
        End::Pin(pin) => {
            page.scene.circle(at, 0.6, None, Some(Ink::BLACK), Role::Decoration);
            book.draw_pin(&mut page.scene, pin, at);
            book.place(Thing::Part(pin.part), page, at);
        }
    }
    let size = if text::width(&name, lettering::BODY, false) < NAME - 4.0 {
        lettering::BODY
    } else {
        lettering::SMALL
    };
    let words = text::fit(&name, size, false, NAME - 4.0).into_owned();
    page.scene.text(point(x, at.y + size / 2.0), size, anchor, words);
}
