//! Turnouts, one row band for each tie bar, with the same anatomy in every band: control, panel strip, board
//! strip, drive and its contact, track strip, frog and rails.

mod band;
mod columns;
mod control;
mod drive;
mod jumpers;
mod notes;
mod picture;
mod selectors;
mod storeys;

use super::{Book, Thing};
use crate::circuit::{NetKind, PartKind, PinRef, Place};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::lettering;
use crate::drives::{BarPlan, Decider, Pairing};
use crate::geom::point;
use crate::hardware::{End, TerminalRef, WireId};
use crate::parse::{BoardId, Word};
use crate::track::{Pole, ZoneId};
use columns::Columns;

pub(super) fn draw(book: &mut Book) {
    for page in pages(book) {
        sheet(book, &page);
    }
    selectors::draw(book);
}

/// Bands of one board and one pattern, as many as fit.
struct PlannedPage {
    board: BoardId,
    bands: Vec<(BarPlan, f64)>,
    /// Whose buses the contacts tap.
    zones: Vec<ZoneId>,
}

/// Zones whose buses the changeovers of a decider tap.
fn zones_of(book: &Book, decider: Decider) -> Vec<ZoneId> {
    let plan = &book.design.plan;
    let mut zones: Vec<ZoneId> =
        plan.following(decider).flat_map(|c| plan.changeover(c).at).map(|pole| pole.zone).collect();
    zones.sort_unstable();
    zones.dedup();
    zones
}

fn together(one: &[ZoneId], other: &[ZoneId]) -> Vec<ZoneId> {
    let mut all = [one, other].concat();
    all.sort_unstable();
    all.dedup();
    all
}

fn pages(book: &Book) -> Vec<PlannedPage> {
    let space = {
        let format = book.format();
        // Header and the row of bus names take 10 mm; the rest is bands.
        format.frame().height() - 17.5 - 2.0 * crate::draw::M - 10.0
    };
    let mut pages: Vec<PlannedPage> = Vec::new();
    let mut used = f64::INFINITY;
    let mut before: Option<(BoardId, Pairing)> = None;
    for plan in &book.design.plan.bars {
        let board = book.design.document.turnout_of(plan.bar).board;
        let height = band::height(book, plan);
        let zones = zones_of(book, Decider::Bar(plan.bar));
        // More than the buses of two zones make a page too narrow.
        let crowded = pages.last().is_some_and(|p| together(&p.zones, &zones).len() > 2);
        if before != Some((board, plan.pairing)) || used + height > space + 0.01 || crowded {
            pages.push(PlannedPage { board, bands: Vec::new(), zones: Vec::new() });
            used = 0.0;
        }
        before = Some((board, plan.pairing));
        used += height;
        if let Some(page) = pages.last_mut() {
            page.bands.push((plan.clone(), height));
            page.zones = together(&page.zones, &zones);
        }
    }
    pages
}

fn sheet(book: &mut Book, planned: &PlannedPage) {
    let document = &book.design.document;
    let name = |i: usize| document[planned.bands[i].0.bar].name.clone();
    let names: Vec<String> = (0..planned.bands.len()).map(name).collect();
    let title = match names.as_slice() {
        [one] => format!("Turnout {one}"),
        [all @ .., last] => format!("Turnouts {} and {last}", all.join(", ")),
        [] => "Turnouts".to_owned(),
    };
    let slug = format!("turnouts-{}", name(0).to_lowercase().replace(|c: char| !c.is_alphanumeric(), "-"));
    let mut page = book.page(slug, title, "none");
    let cols = Columns::for_page(&page, book, planned.board, &planned.zones);
    header(&mut page, &cols);
    let mut work = band::Work::new(cols);
    let mut top = page.inner.min.y + 10.0;
    for (i, (plan, height)) in planned.bands.iter().enumerate() {
        book.place(Thing::Bar(plan.bar), &page, point(page.inner.min.x, top + 10.0));
        let with_control = planned.bands[..i].iter().all(|(p, _)| p.control != plan.control)
            && is_first_of_control(book, plan);
        work.tops.push(top);
        band::draw(book, &mut page, &mut work, plan, top, with_control);
        top += height;
        if i + 1 < planned.bands.len() {
            let (a, b) = (point(page.inner.min.x, top), point(page.inner.max.x, top));
            page.scene.line(a, b, super::pen::light(), Role::Decoration);
        }
    }
    jumpers::draw(book, &mut page, &work);
    buses(book, &mut page, &work);
    notes::draw(book, &mut page, &planned.bands);
    book.add(page);
}

/// A control is drawn once, in the first band that it throws.
fn is_first_of_control(book: &Book, plan: &BarPlan) -> bool {
    let first = book.design.plan.bars.iter().find(|b| b.control == plan.control);
    first.is_some_and(|b| b.bar == plan.bar)
}

fn header(page: &mut Page, cols: &Columns) {
    let y = page.inner.min.y + 4.5;
    for (x, anchor, words) in &cols.titles {
        page.scene.bold(point(*x, y), lettering::BODY, *anchor, words.clone());
    }
    let y = page.inner.min.y + 6.5;
    let (a, b) = (point(page.inner.min.x, y), point(page.inner.max.x, y));
    page.scene.line(a, b, super::pen::thin(), Role::Decoration);
}

/// The vertical buses: those of the panel at the left, the track's at the right.
fn buses(book: &mut Book, page: &mut Page, work: &band::Work) {
    let top = page.inner.min.y + 11.25;
    let y = top - 0.9;
    let (mut panel, mut track) = (Vec::new(), Vec::new());
    for bus in &work.taps {
        let Some(last) = bus.at.iter().copied().reduce(f64::max) else { continue };
        let (a, b) = (point(bus.x, top), point(bus.x, last));
        let Some(net) = book.design.circuit.pin(bus.pin).net else { continue };
        book.draw_net(&mut page.scene, net, vec![a, b], true);
        book.draw_pin(&mut page.scene, bus.pin, a);
        page.scene.bold(point(bus.x, y), lettering::BODY, Anchor::Middle, bus.sign.clone());
        for tap in &bus.at {
            book.draw_dot(&mut page.scene, net, point(bus.x, *tap));
        }
        // Where the bus comes from: beside its head.
        let part = &book.design.circuit[bus.pin.part];
        let words = format!("{} {}", part.designation, book.reference(Thing::Part(bus.pin.part)));
        let words = words.trim_end().to_owned();
        if part.place == Place::Panel { panel.push(words) } else { track.push((bus.x, words)) }
    }
    // One left and one right of a pair; more of them all at the left.
    track.sort_by(|a, b| a.0.total_cmp(&b.0));
    let [first, last] = [work.cols.first_bus(), work.cols.first_bus() + 5.0];
    if track.iter().all(|(x, _)| *x <= last) {
        for (x, words) in track {
            let (x, anchor) = if x == first { (x - 2.0, Anchor::End) } else { (x + 2.0, Anchor::Start) };
            page.scene.text(point(x, y), lettering::SMALL, anchor, words);
        }
    } else {
        let words: Vec<String> = track.into_iter().map(|(_, words)| words).collect();
        page.scene.text(point(first - 2.5, y), lettering::SMALL, Anchor::End, words.join(", "));
    }
    let at = point(work.cols.panel_bus[1] + 2.5, y);
    page.scene.text(at, lettering::SMALL, Anchor::Start, panel.join(", "));
}

/// The bus part of a place that a pin is wired to.
fn bus_of(book: &Book, place: Place, pin: PinRef) -> Option<PinRef> {
    let wiring = &book.design.wiring;
    let circuit = &book.design.circuit;
    wiring.at_pin(pin).find_map(|w| {
        let far = if w.from == End::Pin(pin) { w.to } else { w.from };
        match far {
            End::Pin(p) if circuit[p.part].kind == PartKind::Bus && circuit[p.part].place == place => Some(p),
            _ => None,
        }
    })
}

/// The conductor that a bus of the track carries; `None` if it is something else.
fn bus_pole(book: &Book, pin: PinRef) -> Option<Pole> {
    let circuit = &book.design.circuit;
    match (circuit[pin.part].kind, circuit[circuit.pin(pin).net?].kind) {
        (PartKind::Bus, NetKind::Track(pole)) => Some(pole),
        _ => None,
    }
}

/// "reversing section, from T5.diverging to T5.straight"
fn section_words(book: &Book, zone: ZoneId) -> String {
    let Some(reversing) = book.design.rails.reversing(zone) else { return "section".into() };
    let ends: Vec<String> = reversing
        .boundaries
        .iter()
        .map(|b| format!("{}.{}", *book.design.document[b.turnout].name, b.port.word()))
        .collect();
    format!("reversing section: {}", ends.join(", "))
}

/// The other wire of a terminal and where it goes.
fn outside(book: &Book, terminal: TerminalRef, inside: WireId) -> Option<(WireId, End)> {
    let end = End::Terminal(terminal);
    book.design.wiring.wires.iter().enumerate().find_map(|(i, w)| {
        if WireId(i) == inside {
            None
        } else if w.from == end {
            Some((WireId(i), w.to))
        } else if w.to == end {
            Some((WireId(i), w.from))
        } else {
            None
        }
    })
}
