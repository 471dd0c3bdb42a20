//! Track feeds, board by board and section by section: from booster or controller to the bus, from the bus to every rail.

mod reversing;
mod sources;

use super::connections::{end, straight};
use super::pen::Label;
use super::{Book, Thing};
use crate::circuit::{NetKind, PartId, PartKind, PinRef, Place};
use crate::draw::M;
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Ink, Role};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, point};
use crate::hardware::{End, WireId};
use crate::parse::BoardId;
use crate::track::{Feed, RailId, ZoneId};

const PITCH: f64 = 2.0 * M;
/// Width of a column of droppers.
const COLUMN: f64 = 85.0;

/// A dropper of a board.
struct Row {
    wire: WireId,
    pin: PinRef,
    rail: RailId,
    feed: Feed,
}

pub(super) fn draw(book: &mut Book) {
    sources::draw(book);
    let zones: Vec<ZoneId> = (0..book.design.rails.zones.len()).map(ZoneId).collect();
    for board in (0..book.design.document.boards.len()).map(BoardId) {
        for zone in &zones {
            let buses = buses(book, board, *zone);
            if !buses.is_empty() {
                zone_on_board(book, board, *zone, &buses);
            }
        }
    }
    reversing::draw(book);
}

fn zone_on_board(book: &mut Book, board: BoardId, zone: ZoneId, buses: &[(Feed, PinRef)]) {
    let rows = rows(book, buses);
    let frame = book.format().frame();
    let columns = ((frame.width() - 5.0) / COLUMN).floor().max(1.0) as usize;
    // Pairs of droppers stay together, and the columns are of one length.
    let most = ((frame.height() - 75.0) / PITCH) as usize / 2 * 2;
    let on_a_sheet = rows.len().min(columns * most);
    let per_column =
        if rows.len() <= most { most } else { on_a_sheet.div_ceil(columns).next_multiple_of(2).min(most) };
    let mut chunks: Vec<&[Row]> = rows.chunks(columns * per_column).collect();
    if chunks.is_empty() {
        chunks.push(&[]);
    }
    for (i, chunk) in chunks.iter().enumerate() {
        sheet(book, (board, zone), buses, chunk, i, per_column);
    }
}

/// The buses of a zone on a board.
fn buses(book: &Book, board: BoardId, zone: ZoneId) -> Vec<(Feed, PinRef)> {
    let circuit = &book.design.circuit;
    circuit
        .parts()
        .filter(|(_, p)| p.kind == PartKind::Bus && p.place == Place::Board(board))
        .filter_map(|(part, p)| match circuit[p.pins.first()?.net?].kind {
            NetKind::Track(pole) if pole.zone == zone => Some((pole.feed, PinRef { part, pin: 0 })),
            _ => None,
        })
        .collect()
}

/// Whether the track is fed in more than one zone.
fn is_divided(book: &Book) -> bool {
    let rails = &book.design.rails.rails;
    rails.iter().any(|r| r.zone != rails[0].zone)
}

fn rows(book: &Book, buses: &[(Feed, PinRef)]) -> Vec<Row> {
    let design = book.design;
    let mut rows = Vec::new();
    for (i, wire) in design.wiring.wires.iter().enumerate() {
        let (End::Pin(from), End::Pin(to)) = (wire.from, wire.to) else { continue };
        let Some((feed, _)) = buses.iter().find(|(_, b)| *b == from) else { continue };
        if let PartKind::Rail { rail } = design.circuit[to.part].kind {
            rows.push(Row { wire: WireId(i), pin: to, rail, feed: *feed });
        }
    }
    rows.sort_by_key(|r| (dropper_number(book, r.rail), r.wire));
    rows
}

/// Droppers are numbered as the track has them.
fn dropper_number(book: &Book, rail: RailId) -> usize {
    book.design.rails.droppers.iter().position(|d| d.rail == rail).map_or(0, |i| i + 1)
}

fn sheet(
    book: &mut Book,
    (board, zone): (BoardId, ZoneId),
    buses: &[(Feed, PinRef)],
    rows: &[Row],
    index: usize,
    per_column: usize,
) {
    let name = book.design.document[board].name.value.clone();
    let mut title = format!("Track feeds, board {} {name}", board.0 + 1);
    let mut slug = format!("track-feeds-{}-{}", board.0 + 1, index + 1);
    if is_divided(book) {
        title.push_str(&format!(", section {}", book.design.rails[zone].name));
        slug = format!("track-feeds-{}-{}-{}", board.0 + 1, zone.0 + 1, index + 1);
    }
    if index > 0 {
        title.push_str(&format!(", {}", index + 1));
    }
    let mut page = book.page(slug, title, "none");
    let (left, top) = (page.inner.min.x, page.inner.min.y);
    let (bus_a, bus_b) = (top + 32.5, top + 37.5);
    if index == 0 {
        source(book, &mut page, buses, bus_a, bus_b);
    }
    let columns = rows.len().div_ceil(per_column).max(1);
    for (feed, bus) in buses {
        let Some(net) = book.design.circuit.pin(*bus).net else { continue };
        let (y, dx) = if *feed == Feed::A { (bus_a, 5.0) } else { (bus_b, 10.0) };
        let last = left + dx + (columns - 1) as f64 * COLUMN;
        let from = left + dx;
        // On the first sheet it is fed where the wire from the strip comes down to it.
        let fed = left + if *feed == Feed::A { 87.5 } else { 92.5 };
        let end = if index == 0 { last.max(fed) } else { last.max(from + 20.0) };
        book.draw_net(&mut page.scene, net, vec![point(from, y), point(end, y)], true);
        let end_at = point(end, y);
        page.scene.pin(end_at, book.design.circuit.pin_name(*bus), book.net_name(net).to_owned());
        let words = format!(
            "{} track bus {}, {} {}",
            book.design.circuit[bus.part].designation,
            feed.letter(),
            crate::hardware::colour_code(book.net_colour(net)),
            crate::hardware::nominal(book.design.sizing.wire(crate::drives::WireClass::TrackBus)),
        );
        page.scene.bold(point(from + 2.0, y - 1.2), lettering::BODY, Anchor::Start, words);
        for column in 0..columns {
            let x = left + dx + column as f64 * COLUMN;
            let in_column = rows.iter().skip(column * per_column).take(per_column).enumerate();
            let ys: Vec<f64> = in_column
                .filter(|(_, r)| r.feed == *feed)
                .map(|(n, _)| top + 47.5 + n as f64 * PITCH)
                .collect();
            let Some(lowest) = ys.iter().copied().reduce(f64::max) else { continue };
            book.draw_net(&mut page.scene, net, vec![point(x, y), point(x, lowest)], true);
            if column > 0 || end > from {
                book.draw_dot(&mut page.scene, net, point(x, y));
            }
            for dot in ys {
                book.draw_dot(&mut page.scene, net, point(x, dot));
            }
        }
        if index > 0 {
            page.scene.pin(point(from, y), book.design.circuit.pin_name(*bus), book.net_name(net).to_owned());
        }
    }
    for (n, row) in rows.iter().enumerate() {
        let x = left + (n / per_column) as f64 * COLUMN;
        let y = top + 47.5 + (n % per_column) as f64 * PITCH;
        dropper(book, &mut page, row, x, y);
    }
    let area = page.note_area;
    let note = "A and B are the two feeds of the track. Droppers in the order of their numbers on the track plan; \
                left and right are seen from the toe of a turnout, or from a track's first end. Keep a buzzer \
                across A and B while soldering: it tells at once when they are crossed.";
    let hot = "Solder burns: keep your face from under the joint, wear glasses.";
    if caution_strip(&mut page.scene, area, &[hot], &[note]).is_err() {
        let _ = caution_strip(&mut page.scene, area, &[hot], &[]);
    }
    book.add(page);
}

fn dropper(book: &mut Book, page: &mut Page, row: &Row, x: f64, y: f64) {
    let bus_x = x + if row.feed == Feed::A { 5.0 } else { 10.0 };
    let at = point(x + 32.5, y);
    let label = Label { x: x + 11.5, y, width: 20.0 };
    book.draw_wire(&mut page.scene, row.wire, vec![point(bus_x, y), at], Some(label));
    page.scene.circle(at, 0.6, None, Some(Ink::BLACK), Role::Decoration);
    book.draw_pin(&mut page.scene, row.pin, at);
    let number = format!("D{}", dropper_number(book, row.rail));
    // Three digits take more room than the usual two.
    let named_at = (2.6 + text::width(&number, lettering::BODY, true)).max(10.0);
    page.scene.bold(point(at.x + 1.6, y + 1.25), lettering::BODY, Anchor::Start, number);
    let name = book.design.rails.rails[row.rail.0].name.clone();
    let room = COLUMN - 32.5 - 5.5 - named_at;
    let size =
        if text::width(&name, lettering::BODY, false) <= room { lettering::BODY } else { lettering::SMALL };
    let name = text::fit(&name, size, false, room).into_owned();
    page.scene.text(point(at.x + named_at, y + size / 2.0), size, Anchor::Start, name);
    let tick = crate::geom::Rect::new(x + COLUMN - 5.0, y - 1.25, 2.5, 2.5);
    page.scene.rect(tick, Some(super::pen::thin()), None, Role::Decoration);
}

/// Above the droppers: how the feeds reach this board's bus, and how they go on to the next.
fn source(book: &mut Book, page: &mut Page, buses: &[(Feed, PinRef)], bus_a: f64, bus_b: f64) {
    let left = page.inner.min.x;
    let (wiring, circuit) = (&book.design.wiring, &book.design.circuit);
    let mut links: Vec<WireId> = Vec::new();
    for (feed, bus) in buses {
        let first = *feed == Feed::A;
        let y = page.inner.min.y + if first { 12.5 } else { 20.0 };
        let entry = wiring.wires.iter().enumerate().find_map(|(i, w)| match (w.from, w.to) {
            (End::Terminal(t), End::Pin(p)) if p == *bus && is_entry(book, t, *bus) => Some((WireId(i), t)),
            _ => None,
        });
        let Some((tail, terminal)) = entry else { continue };
        let strip_at = point(left + 67.5, y);
        let drop_x = left + if first { 90.0 } else { 95.0 } - 2.5;
        let drop = point(drop_x, if first { bus_a } else { bus_b });
        let label = Label { x: strip_at.x + 2.0, y, width: 17.0 };
        book.draw_wire(&mut page.scene, tail, vec![strip_at, point(drop.x, y), drop], Some(label));
        if let Some(net) = book.design.circuit.pin(*bus).net {
            book.draw_dot(&mut page.scene, net, drop);
        }
        let incoming = wiring.wires.iter().enumerate().find(|(i, w)| {
            WireId(*i) != tail && (w.to == End::Terminal(terminal) || w.from == End::Terminal(terminal))
        });
        if let Some((i, w)) = incoming {
            let far = if w.to == End::Terminal(terminal) { w.from } else { w.to };
            let start = point(left + 40.0, y);
            let label = Label { x: start.x + 2.0, y, width: 22.0 };
            book.draw_wire(&mut page.scene, WireId(i), vec![start, strip_at], Some(label));
            let supply = |p: PinRef| circuit[p.part].kind == PartKind::TrackSupply;
            if let End::Pin(pin) = far
                && supply(pin)
            {
                // The letter stands in the box of the booster or controller.
                let edge = point(left + 22.5, y);
                page.scene.line(edge, start, super::pen::thin(), Role::Symbol);
                page.scene.bold(point(edge.x - 1.5, y + 1.25), lettering::BODY, Anchor::End, feed.letter());
                book.draw_pin(&mut page.scene, pin, start);
            } else {
                end(book, page, far, start, Anchor::End);
            }
            if let (End::Pin(pin), true) = (far, first)
                && supply(pin)
            {
                track_supply(book, page, pin.part, point(left + 2.5, y - 6.5));
            }
        }
        let name = wiring.terminal_name(terminal);
        let net = book.net_name(wiring.terminal(terminal).net).to_owned();
        crate::draw::symbols::terminal::terminal(&mut page.scene, strip_at, name.clone(), net);
        page.scene.text(point(strip_at.x, y + 3.6), lettering::SMALL, Anchor::Middle, name);
        book.place(Thing::Terminal(terminal), page, strip_at);
        book.place(Thing::Part(bus.part), page, drop);
        links.extend(onward(book, terminal));
    }
    for (n, id) in links.into_iter().enumerate() {
        let y = page.inner.min.y + 5.0 + n as f64 * PITCH;
        let a = point(left + 160.0, y);
        straight(book, page, id, a, point(left + 205.0, y));
    }
}

/// Whether a terminal brings the feed in: it has a wire that comes from a terminal of another
/// strip, from the panel, or from the common of the contact that feeds a reversing section.
fn is_entry(book: &Book, t: crate::hardware::TerminalRef, bus: PinRef) -> bool {
    let circuit = &book.design.circuit;
    book.design.wiring.at_terminal(t).any(|w| {
        let far = if w.from == End::Terminal(t) { w.to } else { w.from };
        match far {
            End::Terminal(_) => true,
            End::Pin(p) => {
                let common = circuit.contacts.iter().any(|c| c.common() == p);
                p != bus && (common || circuit[p.part].place == Place::Panel)
            }
        }
    })
}

/// Wires from jumpered neighbours of a terminal to other strips.
fn onward(book: &Book, t: crate::hardware::TerminalRef) -> Vec<WireId> {
    let wiring = &book.design.wiring;
    let neighbours: Vec<_> = wiring.jumpers_at(t).map(|j| if j.from == t { j.to } else { j.from }).collect();
    wiring
        .wires
        .iter()
        .enumerate()
        .filter(|(_, w)| {
            matches!((w.from, w.to), (End::Terminal(a), End::Terminal(b))
                if neighbours.contains(&a) || neighbours.contains(&b))
        })
        .map(|(i, _)| WireId(i))
        .collect()
}

fn track_supply(book: &mut Book, page: &mut Page, part: PartId, at: Point) {
    let mut value = book.design.circuit[part].value.clone();
    if book.design.document.track_power.typical {
        value.push_str(" (typical, measure yours)");
    }
    page.scene.text(at, lettering::BODY, Anchor::Start, value);
    // A box for it: the two feeds leave at its right.
    let outline = crate::geom::Rect::new(at.x, at.y + 3.0, 20.0, 14.5);
    page.scene.rect(outline, Some(super::pen::thin()), None, Role::Decoration);
    let name = book.design.circuit[part].designation.clone();
    page.scene.bold(point(at.x + 3.0, at.y + 12.0), lettering::HEADING, Anchor::Start, name);
    book.place(Thing::Part(part), page, at);
}
