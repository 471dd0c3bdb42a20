//! Turnouts, one row band each, with the same anatomy in every band: control, panel strip, board
//! strip, drive and its contact, track strip, frog and rails.

mod band;
mod columns;
mod control;
mod drive;
mod jumpers;
mod picture;

use super::{Book, Thing};
use crate::circuit::{Contact, NetKind, PartKind, PinRef, Place};
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::lettering;
use crate::drives::{BarPlan, Decider, Pairing};
use crate::geom::point;
use crate::hardware::End;
use crate::parse::{BarId, BoardId, FrogKind};
use crate::track::Feed;
use columns::Columns;

pub(super) fn draw(book: &mut Book) {
    for page in pages(book) {
        sheet(book, &page);
    }
}

/// Bands of one board and one pattern, as many as fit.
struct PlannedPage {
    board: BoardId,
    bands: Vec<(BarPlan, f64)>,
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
        if before != Some((board, plan.pairing)) || used + height > space + 0.01 {
            pages.push(PlannedPage { board, bands: Vec::new() });
            used = 0.0;
        }
        before = Some((board, plan.pairing));
        used += height;
        if let Some(page) = pages.last_mut() {
            page.bands.push((plan.clone(), height));
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
    let cols = Columns::for_page(&page, book, planned.board);
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
    notes(book, &mut page, planned);
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
    let mut panel = Vec::new();
    for bus in &work.taps {
        let Some(last) = bus.at.iter().copied().reduce(f64::max) else { continue };
        let (a, b) = (point(bus.x, top), point(bus.x, last));
        let Some(net) = book.design.circuit.pin(bus.pin).net else { continue };
        book.draw_net(&mut page.scene, net, vec![a, b], true);
        book.draw_pin(&mut page.scene, bus.pin, a);
        page.scene.bold(point(bus.x, top - 0.9), lettering::BODY, Anchor::Middle, bus.sign.clone());
        for y in &bus.at {
            book.draw_dot(&mut page.scene, net, point(bus.x, *y));
        }
        // Where the bus comes from: beside its head.
        let part = &book.design.circuit[bus.pin.part];
        let words = format!("{} {}", part.designation, book.reference(Thing::Part(bus.pin.part)));
        let words = words.trim_end().to_owned();
        let y = top - 0.9;
        if part.place == Place::Panel {
            panel.push(words);
        } else if bus.x < work.cols.track_bus[1] {
            page.scene.text(point(bus.x - 2.0, y), lettering::SMALL, Anchor::End, words);
        } else {
            page.scene.text(point(bus.x + 2.0, y), lettering::SMALL, Anchor::Start, words);
        }
    }
    let at = point(work.cols.panel_bus[1] + 2.5, top - 0.9);
    page.scene.text(at, lettering::SMALL, Anchor::Start, panel.join(", "));
}

fn notes(book: &Book, page: &mut Page, planned: &PlannedPage) {
    let mut cautions = Vec::new();
    if planned.bands.iter().any(|(p, _)| p.pairing == Pairing::SolenoidDischarge) {
        cautions
            .push("Stored charge: switch off, wait a minute, measure the capacitor, then work.".to_owned());
    }
    let live = |plan: &BarPlan| {
        book.design.plan.feeds_frogs(plan.bar)
            && *book.design.document.turnout_of(plan.bar).frog == FrogKind::Live
    };
    let names: Vec<&str> = planned
        .bands
        .iter()
        .filter(|(p, _)| live(p))
        .map(|(p, _)| book.design.document[p.bar].name.as_str())
        .collect();
    if !names.is_empty() {
        cautions.push(format!(
            "Live frogs ({}): set the contact to change at mid-travel, while no blade touches, else A meets B.",
            names.join(", ")
        ));
    }
    let mut note =
        "Contacts are drawn with every turnout normal: 11 common, 12 closed in normal, 14 in reverse. \
                    If a frog proves wrong, swap 12 and 14 at the track strip."
            .to_owned();
    if planned.bands.iter().any(|(p, _)| matches!(p.pairing, Pairing::MotorReversing | Pairing::MotorSplit)) {
        note.push_str(" If a motor runs the wrong way, swap its two wires at the board strip.");
    }
    let typical = |plan: &BarPlan| !book.design.document.drive_of(plan.bar).typical.is_empty();
    if planned.bands.iter().any(|(p, _)| typical(p)) {
        note.push_str(" Drive values: typical, measure yours.");
    }
    let caution: Vec<&str> = cautions.iter().map(String::as_str).collect();
    let area = page.note_area;
    if caution_strip(&mut page.scene, area, &caution, &[&note]).is_err() {
        // The page is too narrow for all of it: the caution comes first.
        let _ = caution_strip(&mut page.scene, area, &caution, &[]);
    }
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

/// The feed that a bus of the track carries; `None` if it is something else.
fn bus_feed(book: &Book, pin: PinRef) -> Option<Feed> {
    let circuit = &book.design.circuit;
    match (circuit[pin.part].kind, circuit[circuit.pin(pin).net?].kind) {
        (PartKind::Bus, NetKind::Track(pole)) => Some(pole.feed),
        _ => None,
    }
}

/// The first contact that follows a tie bar.
fn contact_of<'a>(book: &Book<'a>, bar: BarId) -> Option<&'a Contact> {
    let design = book.design;
    let first = design.plan.following(Decider::Bar(bar)).next()?;
    design.circuit.contact_of(first)
}
