//! Boosters or controllers, and what stands between them and the sections of the track: switches,
//! cut-outs. One booster or controller alone is drawn with the feeds of the track.

use super::super::pen::{Label, pin_name, thin};
use super::super::{Book, Thing};
use crate::circuit::{NetId, PartId, PartKind, PinRef};
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, Rect, point};
use crate::hardware::{End, WireId};

/// From row to row, and what a part needs beside its rows.
const ROW: f64 = 5.0;
const BETWEEN: f64 = 20.0;
/// From channel to channel of the wires that run from part to part.
const CHANNEL: f64 = 5.0;

pub(super) fn draw(book: &mut Book) {
    let circuit = &book.design.circuit;
    let is_source = |k: PartKind| k == PartKind::TrackSupply;
    let is_between =
        |k: PartKind| matches!(k, PartKind::SectionSwitch { .. } | PartKind::DistrictCutout { .. });
    let parts: Vec<PartId> =
        circuit.parts().filter(|(_, p)| is_source(p.kind) || is_between(p.kind)).map(|(id, _)| id).collect();
    if parts.len() < 2 {
        return;
    }
    let space = book.format().frame().height() - 17.5 - 2.0 * crate::draw::M;
    let mut pages: Vec<Vec<PartId>> = vec![Vec::new()];
    let mut used = 10.0;
    for part in parts {
        let height = height(book, part);
        if used + height > space {
            pages.push(Vec::new());
            used = 10.0;
        }
        used += height;
        if let Some(page) = pages.last_mut() {
            page.push(part);
        }
    }
    for (i, parts) in pages.iter().enumerate() {
        sheet(book, i, parts);
    }
}

/// Pins by the side they are drawn on: those that lead on to the track at the right.
fn pins(book: &Book, part: PartId) -> (Vec<PinRef>, Vec<PinRef>) {
    let of = &book.design.circuit[part];
    let wired = (0..of.pins.len()).map(|pin| PinRef { part, pin }).filter(|p| {
        // Accessory data leaves for the decoders, drawn with these.
        ["a", "b"].iter().all(|name| of.pins[p.pin].name != *name) && of.pins[p.pin].net.is_some()
    });
    wired.partition(|p| of.pins[p.pin].name.len() > 1)
}

fn height(book: &Book, part: PartId) -> f64 {
    let (inputs, outputs) = pins(book, part);
    inputs.len().max(outputs.len()) as f64 * ROW + BETWEEN
}

fn sheet(book: &mut Book, index: usize, parts: &[PartId]) {
    let title = if index == 0 { "Track supply".to_owned() } else { format!("Track supply {}", index + 1) };
    let mut page = book.page(format!("track-supply-{}", index + 1), title, "none");
    let left = page.inner.min.x;
    // A channel for each net that runs from part to part, the first outermost.
    let mut nets: Vec<NetId> = Vec::new();
    for part in parts {
        for pin in [pins(book, *part).0, supply_pins(book, *part)].concat() {
            nets.extend(book.design.circuit.pin(pin).net.filter(|n| !nets.contains(n)));
        }
    }
    let first = left + 55.0;
    let box_left = first + CHANNEL * nets.len() as f64 + 5.0;
    let mut placed: Vec<(PinRef, Point)> = Vec::new();
    let mut top = page.inner.min.y + 10.0;
    for part in parts {
        let (inputs, outputs) = pins(book, *part);
        let rows = inputs.len().max(outputs.len());
        let outline = Rect::new(box_left, top, 30.0, (rows as f64 + 0.5) * ROW);
        page.scene.rect(outline, Some(thin()), None, Role::Symbol);
        words(book, &mut page, *part, outline);
        let is_supply = book.design.circuit[*part].kind == PartKind::TrackSupply;
        let channel = |net: Option<NetId>| {
            let n = nets.iter().position(|o| Some(*o) == net).unwrap_or(0);
            first + CHANNEL * n as f64
        };
        let taps = if is_supply { supply_pins(book, *part) } else { inputs };
        for (i, pin) in taps.iter().enumerate() {
            let y = top + 3.75 + ROW * i as f64;
            let at = point(channel(book.design.circuit.pin(*pin).net), y);
            // No part of the box: channels cross it.
            page.scene.line(at, point(box_left, y), thin(), Role::Decoration);
            let name = book.design.circuit.pin(*pin).name;
            pin_name(&mut page.scene, point(box_left + 1.0, y + 0.9), Anchor::Start, name);
            book.draw_pin(&mut page.scene, *pin, at);
            placed.push((*pin, at));
        }
        for (i, pin) in outputs.iter().enumerate() {
            let y = top + 3.75 + ROW * i as f64;
            output(book, &mut page, *pin, point(outline.max.x, y));
        }
        top += rows as f64 * ROW + BETWEEN;
    }
    between(book, &mut page, &placed);
    let note =
        "A and B are the two feeds of the track. Names at the left and right ends say where a wire goes on.";
    let area = page.note_area;
    let _ = caution_strip(&mut page.scene, area, &[], &[note]);
    book.add(page);
}

/// Pins of a supply from which wires run to other parts of the panel.
fn supply_pins(book: &Book, part: PartId) -> Vec<PinRef> {
    if book.design.circuit[part].kind != PartKind::TrackSupply {
        return Vec::new();
    }
    let leads_on = |p: &PinRef| {
        book.design.wiring.at_pin(*p).any(|w| matches!((w.from, w.to), (End::Pin(_), End::Pin(_))))
    };
    pins(book, part).1.into_iter().filter(leads_on).collect()
}

fn words(book: &mut Book, page: &mut Page, part: PartId, outline: Rect) {
    let of = &book.design.circuit[part];
    let (name, value, reason) = (of.designation.clone(), of.value.clone(), of.reason.clone());
    page.scene.bold(
        point(outline.centre().x, outline.centre().y + lettering::HEADING / 2.0),
        lettering::HEADING,
        Anchor::Middle,
        name,
    );
    let words = format!("{value}: {reason}");
    let room = page.inner.max.x - outline.min.x - 2.0;
    let size = lettering::BODY;
    let words = text::fit(&words, size, false, room).into_owned();
    page.scene.text(point(outline.min.x, outline.min.y - 1.5), size, Anchor::Start, words);
    book.place(Thing::Part(part), page, outline.centre());
}

/// From an output to the terminal where it comes to a board.
fn output(book: &mut Book, page: &mut Page, pin: PinRef, edge: Point) {
    let Some((id, terminal)) = book.terminal_of(End::Pin(pin)) else { return };
    let at = point(edge.x + 2.5, edge.y);
    page.scene.line(edge, at, thin(), Role::Symbol);
    let name = book.design.circuit.pin(pin).name;
    pin_name(&mut page.scene, point(edge.x - 1.0, edge.y + 0.9), Anchor::End, name);
    book.draw_pin(&mut page.scene, pin, at);
    let end = point(at.x + 40.0, at.y);
    let label = Label { x: at.x + 2.0, y: at.y, width: 34.0 };
    book.draw_wire(&mut page.scene, id, vec![at, end], Some(label));
    let net = book.net_name(book.design.wiring.terminal(terminal).net).to_owned();
    let name = book.design.wiring.terminal_name(terminal);
    let words = format!("{name} {}, {net}", book.reference(Thing::Terminal(terminal)));
    crate::draw::symbols::terminal::terminal(&mut page.scene, end, name, net);
    let room = page.inner.max.x - end.x - 4.0;
    let words = text::fit(&words, lettering::SMALL, false, room).into_owned();
    page.scene.text(point(end.x + 2.8, end.y + 0.9), lettering::SMALL, Anchor::Start, words);
}

/// The wires from part to part in their channels; one that comes from elsewhere, or from the other
/// side of a part, begins at the left.
fn between(book: &mut Book, page: &mut Page, placed: &[(PinRef, Point)]) {
    let wires: Vec<(WireId, PinRef, PinRef)> = book
        .design
        .wiring
        .wires
        .iter()
        .enumerate()
        .filter_map(|(i, w)| match (w.from, w.to) {
            (End::Pin(a), End::Pin(b)) => Some((WireId(i), a, b)),
            _ => None,
        })
        .collect();
    let at = |p: PinRef| placed.iter().find(|(o, _)| *o == p).map(|(_, at)| *at);
    for (id, a, b) in wires {
        match (at(a), at(b)) {
            (Some(from), Some(to)) => {
                book.draw_wire(&mut page.scene, id, vec![from, to], None);
                let label = book.design.wiring.wires[id.0].label();
                let (low, high) = (from.y.min(to.y), from.y.max(to.y));
                // In the widest gap between the rows that it passes: rows cross the channels.
                let mut rows: Vec<f64> =
                    placed.iter().map(|(_, p)| p.y).filter(|y| (low..=high).contains(y)).collect();
                rows.sort_by(f64::total_cmp);
                let widest = rows.windows(2).max_by(|p, q| (p[1] - p[0]).total_cmp(&(q[1] - q[0])));
                let Some(gap) = widest else { continue };
                if text::width(&label, lettering::SMALL, false) < gap[1] - gap[0] - 1.0 {
                    let middle = point(from.x - 0.8, (gap[0] + gap[1]) / 2.0);
                    page.scene.upright(middle, lettering::SMALL, Anchor::Middle, label);
                }
            }
            (Some(here), None) if is_before(book, b, a) => incoming(book, page, id, b, here),
            (None, Some(here)) if is_before(book, a, b) => incoming(book, page, id, a, here),
            _ => {}
        }
    }
}

/// Whether a pin stands before another on their net: it feeds the other.
fn is_before(book: &Book, one: PinRef, other: PinRef) -> bool {
    let circuit = &book.design.circuit;
    let Some(net) = circuit.pin(one).net else { return false };
    let place = |p: PinRef| circuit[net].pins.iter().position(|o| *o == p);
    place(one) < place(other)
}

fn incoming(book: &mut Book, page: &mut Page, id: WireId, from: PinRef, to: Point) {
    let start = point(page.inner.min.x + 25.0, to.y);
    let words = format!("{} {}", book.design.circuit.pin_name(from), book.reference(Thing::Part(from.part)));
    page.scene.text(point(start.x - 1.2, to.y + 0.9), lettering::SMALL, Anchor::End, words.trim_end());
    book.draw_pin(&mut page.scene, from, start);
    let label = Label { x: start.x + 1.2, y: to.y, width: 26.0 };
    book.draw_wire(&mut page.scene, id, vec![start, to], Some(label));
}
