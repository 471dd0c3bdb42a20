//! Terminal strips as they stand, with the wires of both sides and the jumpers.

use super::{Book, Thing};
use crate::circuit::{PartKind, Place};
use crate::draw::M;
use crate::draw::ink::conductor;
use crate::draw::line::WIRE;
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Ink, Role, Stroke};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, Rect, point};
use crate::hardware::{End, StripId, TerminalRef, Wire};

const PITCH: f64 = 2.0 * M;
/// Width of a strip with its words on both sides, where the page is wide enough.
const COLUMN: f64 = 130.0;
const CELL: f64 = 12.5;
const TITLE: f64 = 10.0;

/// A stretch of a strip that stands in one column.
struct Stretch {
    strip: StripId,
    from: usize,
    to: usize,
}

pub(super) fn draw(book: &mut Book) {
    let frame = book.format().frame();
    let columns = ((frame.width() - 2.0 * M) / COLUMN).floor().max(1.0) as usize;
    let height = frame.height() - 17.5 - 4.0 * M;
    let rows = ((height - TITLE) / PITCH) as usize;
    let mut stretches = Vec::new();
    for (s, strip) in book.design.wiring.strips.iter().enumerate() {
        let n = strip.terminals.len();
        for from in (0..n).step_by(rows.max(1)) {
            stretches.push(Stretch { strip: StripId(s), from, to: (from + rows).min(n) });
        }
    }
    // As many stretches under one another as a column holds.
    let mut pages: Vec<Vec<Vec<Stretch>>> = Vec::new();
    let mut used = f64::INFINITY;
    for stretch in stretches {
        let needed = TITLE + (stretch.to - stretch.from) as f64 * PITCH;
        if used + needed > height + 0.01 {
            if pages.last().is_none_or(|p| p.len() == columns) {
                pages.push(Vec::new());
            }
            if let Some(page) = pages.last_mut() {
                page.push(Vec::new());
            }
            used = 0.0;
        }
        used += needed;
        if let Some(column) = pages.last_mut().and_then(|p| p.last_mut()) {
            column.push(stretch);
        }
    }
    for (i, columns) in pages.iter().enumerate() {
        sheet(book, i, columns);
    }
}

fn sheet(book: &mut Book, index: usize, columns: &[Vec<Stretch>]) {
    let mut names: Vec<String> =
        columns.iter().flatten().map(|s| book.design.wiring.strips[s.strip.0].designation.clone()).collect();
    names.dedup();
    let title = match names.as_slice() {
        [one] => format!("Terminal strip {one}"),
        [one, other] => format!("Terminal strips {one} and {other}"),
        [first, .., last] => format!("Terminal strips {first} to {last}"),
        [] => "Terminal strips".to_owned(),
    };
    let mut page = book.page(format!("strips-{}", index + 1), title, "none");
    for (c, column) in columns.iter().enumerate() {
        let middle = page.inner.min.x + (c as f64 + 0.5) * (page.inner.width() / columns.len().max(2) as f64);
        let middle = (middle / M).round() * M;
        let reach = (page.inner.width() / columns.len().max(2) as f64 / 2.0).min(COLUMN / 2.0);
        let mut y = page.inner.min.y;
        for stretch in column {
            y = strip(book, &mut page, stretch, (middle, reach), y);
        }
    }
    let area = page.note_area;
    let _ = caution_strip(
        &mut page.scene,
        area,
        &[],
        &[
            "Left: wires from panel, supply, other boards, bus and rails. Right: wires to the parts beside the strip. \
           Bars in the middle are jumpers. Sheet and zone of the far end stand outermost. Tick each wire when it has been rung out.",
        ],
    );
    book.add(page);
}

fn strip(book: &mut Book, page: &mut Page, stretch: &Stretch, (middle, reach): (f64, f64), top: f64) -> f64 {
    let strip = book.design.wiring.strips[stretch.strip.0].clone();
    page.scene.bold(
        point(middle, top + 6.5),
        lettering::HEADING,
        Anchor::Middle,
        format!("{}  {}", strip.designation, strip.title),
    );
    let mut y = top + TITLE;
    for index in stretch.from..stretch.to {
        let at = TerminalRef { strip: stretch.strip, index };
        let cell = Rect::new(middle - CELL / 2.0, y, CELL, PITCH);
        page.scene.rect(cell, Some(super::pen::thin()), None, Role::Decoration);
        let number = strip.terminals[index].number.to_string();
        page.scene.bold(point(middle + 0.5, y + 3.75), lettering::BODY, Anchor::End, number);
        book.place(Thing::Terminal(at), page, cell.centre());
        let (left, right) = sides(book, at);
        side(book, page, at, left, point(middle - CELL / 2.0, y + PITCH / 2.0), (-1.0, reach));
        side(book, page, at, right, point(middle + CELL / 2.0, y + PITCH / 2.0), (1.0, reach));
        y += PITCH;
    }
    for jumper in &book.design.wiring.jumpers {
        let inside =
            |t: TerminalRef| t.strip == stretch.strip && (stretch.from..stretch.to).contains(&t.index);
        if inside(jumper.from) && inside(jumper.to) {
            let at = |t: TerminalRef| {
                point(middle + 3.75, top + TITLE + ((t.index - stretch.from) as f64 + 0.5) * PITCH)
            };
            let (a, b) = (at(jumper.from), at(jumper.to));
            page.scene.line(a, b, Stroke::solid(0.7, Ink::BLACK), Role::Decoration);
            for p in [a, b] {
                page.scene.circle(p, 0.9, None, Some(Ink::BLACK), Role::Decoration);
            }
        }
    }
    y
}

/// Wires of the outer (left) and of the inner side: what comes from elsewhere, and what goes to
/// the parts beside the strip. A clamp side takes one wire; a second of the same sort goes over.
fn sides(book: &Book, at: TerminalRef) -> (Option<Wire>, Option<Wire>) {
    let wiring = &book.design.wiring;
    let circuit = &book.design.circuit;
    let here = wiring.strips[at.strip.0].place;
    let (mut outer, mut inner) = (None, None);
    for wire in wiring.at_terminal(at) {
        let far = if wire.from == End::Terminal(at) { wire.to } else { wire.from };
        let beside = match far {
            End::Terminal(_) => false,
            End::Pin(p) => {
                let kind = circuit[p.part].kind;
                // A board's bus and rails are the far side of its track strip; the panel's buses
                // belong to the panel.
                let track =
                    matches!(kind, PartKind::Rail { .. }) || (kind == PartKind::Bus && here != Place::Panel);
                circuit[p.part].place == here && !track
            }
        };
        let (first, second) = if beside { (&mut inner, &mut outer) } else { (&mut outer, &mut inner) };
        if first.is_none() {
            *first = Some(wire.clone());
        } else {
            *second = Some(wire.clone());
        }
    }
    (outer, inner)
}

fn side(
    book: &mut Book,
    page: &mut Page,
    at: TerminalRef,
    wire: Option<Wire>,
    edge: Point,
    (way, reach): (f64, f64),
) {
    let Point { x, y } = edge;
    let Some(wire) = wire else { return };
    let far = if wire.from == End::Terminal(at) { wire.to } else { wire.from };
    let stub = point(x + way * 7.5, y);
    page.scene.line(point(x, y), stub, conductor(wire.colour, WIRE), Role::Decoration);
    let anchor = if way < 0.0 { Anchor::End } else { Anchor::Start };
    let name = book.design.wiring.end_words(&book.design.circuit, far);
    // A box to tick, then the wire, then where it goes; mirrored on the left.
    let tick = Rect::new(stub.x + way.min(0.0) * 2.5 + way * 1.0, y - 1.25, 2.5, 2.5);
    page.scene.rect(tick, Some(super::pen::thin()), None, Role::Decoration);
    let words_x = stub.x + way * 5.0;
    let label = wire.label();
    page.scene.text(point(words_x, y + 1.25), lettering::BODY, anchor, label.clone());
    let used = 22.0;
    let reference = match far {
        End::Terminal(t) => book.reference(Thing::Terminal(t)).to_owned(),
        End::Pin(p) => book.reference(Thing::Part(p.part)).to_owned(),
    };
    let room = reach - CELL / 2.0 - 12.5 - used - 13.5;
    let size =
        if text::width(&name, lettering::BODY, false) <= room { lettering::BODY } else { lettering::SMALL };
    // Where no reference stands outside it, a name may go on to the edge.
    let room = if reference.is_empty() { room + 10.5 } else { room };
    let name = text::fit(&name, size, false, room).into_owned();
    page.scene.text(point(words_x + way * used, y + size / 2.0), size, anchor, name);
    let far_edge = reach - CELL / 2.0;
    let at = point(x + way * (far_edge - 5.0), y + 0.9);
    let outward = if way < 0.0 { Anchor::Start } else { Anchor::End };
    page.scene.text(at, lettering::SMALL, outward, reference);
}
