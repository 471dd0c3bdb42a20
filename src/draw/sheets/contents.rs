//! The first sheet: what is in the book, how to read it, and what the proof of the rails showed.

mod proved;

use super::Book;
use crate::circuit::{DriveSymbol, PartKind};
use crate::draw::ink::conductor;
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Role};
use crate::draw::symbols::{CELL, SYMBOLS};
use crate::draw::text::{self, lettering};
use crate::geom::point;
use crate::hardware::{colour_words, nominal};
use crate::parse::{Colour, ControlKind, TrainControl, WireFunction};
use crate::units::WireSize;
use std::collections::BTreeSet;

const PITCH: f64 = 5.0;

pub(super) fn draw(book: &mut Book) {
    let mut page = book.page("contents", "Contents and how to read it", "none");
    let (left, top) = (page.inner.min.x + 2.5, page.inner.min.y);
    sheets(book, &mut page, left, top);
    let below = colours(book, &mut page, left + 92.5, top);
    proved::draw(book, &mut page, left + 92.5, below);
    legend(book, &mut page, left + 182.5, top);
    reading(book, &mut page, left, top);
    let area = page.note_area;
    let cautions = [
        "Everything here is on the low-voltage side of approved, enclosed supplies. Mains wiring is for licensed \
         people, by the local code.",
        "Switch off and unplug before you work. Solder and coils that stay on burn.",
    ];
    if caution_strip(&mut page.scene, area, &cautions, &[]).is_err() {
        let _ = caution_strip(&mut page.scene, area, &cautions[..1], &[]);
    }
    book.add(page);
}

fn heading(page: &mut Page, x: f64, y: f64, words: &str) {
    page.scene.bold(point(x, y), lettering::HEADING, Anchor::Start, words);
}

fn sheets(book: &Book, page: &mut Page, x: f64, top: f64) {
    heading(page, x, top + 6.5, "Sheets");
    let most = ((page.inner.max.y - top - 90.0) / PITCH) as usize;
    let titles = &book.known.titles;
    for (i, (number, title)) in titles.iter().take(most).enumerate() {
        let y = top + 13.5 + i as f64 * PITCH;
        page.scene.bold(point(x + 6.0, y), lettering::BODY, Anchor::End, number.to_string());
        let title = text::fit(title, lettering::BODY, false, 78.0).into_owned();
        page.scene.text(point(x + 9.0, y), lettering::BODY, Anchor::Start, title);
    }
    if titles.len() > most {
        let words = format!("and {} more, in the PDF's outline", titles.len() - most);
        let y = top + 13.5 + most as f64 * PITCH;
        page.scene.text(point(x + 9.0, y), lettering::BODY, Anchor::Start, words);
    }
}

/// The colours that this layout's wires have, by what they are for.
fn colours(book: &Book, page: &mut Page, x: f64, top: f64) -> f64 {
    let own = !book.design.document.colours.is_empty();
    heading(page, x, top + 6.5, if own { "Wire colours (your own)" } else { "Wire colours (NEM 605)" });
    let dcc = *book.design.document.layout.control == TrainControl::Dcc;
    let mut used: Vec<(WireFunction, Colour)> = book
        .design
        .wiring
        .wires
        .iter()
        .map(|w| (book.design.circuit[w.net].kind.function(dcc), w.colour))
        .collect();
    used.sort_unstable();
    used.dedup();
    let below = top + 13.5 + used.len() as f64 * PITCH;
    for (i, (function, colour)) in used.into_iter().enumerate() {
        let y = top + 13.5 + i as f64 * PITCH;
        let (a, b) = (point(x, y - 1.25), point(x + 12.0, y - 1.25));
        page.scene.line(a, b, conductor(colour, 0.7), Role::Decoration);
        page.scene.text(point(x + 15.0, y), lettering::BODY, Anchor::Start, colour_words(colour));
        page.scene.text(point(x + 38.0, y), lettering::BODY, Anchor::Start, function_words(function));
    }
    below
}

fn function_words(function: WireFunction) -> &'static str {
    match function {
        WireFunction::DcCommon => "common return, 0 V",
        WireFunction::DcPositive => "positive",
        WireFunction::DcNegative => "negative",
        WireFunction::AcSupply => "AC",
        WireFunction::DigitalA => "track feed A",
        WireFunction::DigitalB => "track feed B",
        WireFunction::TractionPositive => "track feed A",
        WireFunction::TractionNegative => "track feed B",
        WireFunction::TurnoutCommand => "from control to drive",
        WireFunction::Feedback => "position reports",
        WireFunction::Other => "frog",
    }
}

/// Symbols that some sheet uses, with their names.
fn legend(book: &Book, page: &mut Page, x: f64, top: f64) {
    heading(page, x, top + 6.5, "Symbols");
    let used = used_symbols(book);
    let entries: Vec<_> = SYMBOLS.iter().filter(|e| used.contains(e.name)).collect();
    let pitch = 22.5;
    let per_column = ((page.inner.max.y - top - 10.0) / pitch) as usize;
    for (i, entry) in entries.iter().enumerate() {
        let (column, row) = (i / per_column.max(1), i % per_column.max(1));
        let cell_x = x + column as f64 * 40.0;
        if cell_x + CELL.x > page.inner.max.x {
            break;
        }
        let middle = top + 18.75 + row as f64 * pitch;
        (entry.draw)(&mut page.scene, point(cell_x, middle));
        let name_at = point(cell_x + CELL.x / 2.0, middle + CELL.y / 2.0 + 2.4);
        let name = text::fit(entry.name, lettering::SMALL, false, 39.0).into_owned();
        page.scene.text(name_at, lettering::SMALL, Anchor::Middle, name);
    }
}

fn used_symbols(book: &Book) -> BTreeSet<&'static str> {
    let mut used = BTreeSet::from(["Terminal", "Wires joined", "Plug-in supply"]);
    if !book.design.circuit.contacts.is_empty() {
        used.insert("Contact, changeover");
    }
    for part in &book.design.circuit.parts {
        used.extend(match part.kind {
            PartKind::Fuse => Some("Fuse"),
            PartKind::Rectifier => Some("Bridge rectifier"),
            PartKind::Resistor => Some("Resistor"),
            PartKind::Capacitor => Some("Capacitor, polarised"),
            PartKind::Probe => Some("Probe"),
            PartKind::RouteButton { .. } => Some("Push-button"),
            PartKind::Diode { .. } => Some("Diode"),
            PartKind::Link { .. } => Some("Wire link"),
            PartKind::Relay { .. } => Some("Coil"),
            PartKind::PolaritySwitch { .. } => Some("Switch, changeover"),
            PartKind::Drive { pattern: DriveSymbol::TwinCoil, .. } => Some("Coil"),
            PartKind::Drive { pattern: DriveSymbol::Motor, .. } => Some("Motor"),
            PartKind::Drive { pattern: DriveSymbol::Servo, .. } => Some("Servo"),
            PartKind::Control { kind, .. } => match kind {
                ControlKind::MomentaryToggle => Some("Switch, sprung to centre"),
                ControlKind::PushButtons => Some("Push-button"),
                ControlKind::StudsAndProbe => Some("Stud"),
                ControlKind::MaintainedToggle => Some("Switch, changeover"),
                ControlKind::AccessoryDecoder | ControlKind::RouteButtons => None,
            },
            _ => None,
        });
    }
    used
}

fn reading(book: &Book, page: &mut Page, x: f64, top: f64) {
    let y = page.inner.max.y - 72.0;
    let _ = top;
    heading(page, x, y, "How to read it");
    let (joints, droppers) = (book.design.rails.joints.len(), book.design.rails.droppers.len());
    let (r, w) = match book.design.plan.routes.is_empty() {
        true => ("resistor", "bus"),
        false => ("resistor or diode", "bus or wire link"),
    };
    let mut lines = vec![
        "A wire bears its number, colour and size at every sheet that shows it: 12 GN 0.5 is wire 12, green, \
         0.5 mm². A dot joins, a plain crossing does not."
            .to_owned(),
        "References give sheet and zone: 4/C3. XP is the strip of the panel; XB1 and XT1 are the strips of board 1 \
         for drives and for track."
            .to_owned(),
        "Contacts and blades are drawn with every turnout normal. A and B are the two feeds of the track; feed B is \
         drawn hollow, or with a dashed core. A heavy black bar between terminals is a jumper; a dash-dot frame is one assembly."
            .to_owned(),
        format!(
            "Letters: B position switch, C capacitor, F fuse, G supply, K relay, controller or decoder, M drive, R \
             {r}, S control, TB rectifier, W {w}, X terminal strip (IEC 81346-2)."
        ),
        format!("J1 to J{joints}: insulated joints. D1 to D{droppers}: droppers. Sizes and currents: sizing.md."),
    ];
    if joints == 0 {
        lines[4] =
            format!("D1 to D{droppers}: droppers. No insulated joints. Sizes and currents: sizing.md.");
    }
    let typical = book.design.document.drives.iter().any(|d| !d.typical.is_empty());
    if typical || book.design.document.track_power.typical {
        lines.push(
            "Some figures are typical ones, because the layout file does not give them: measure yours."
                .to_owned(),
        );
    }
    if let Some(line) = sizes_in_full(book) {
        lines.push(line);
    }
    let mut at = y + 6.5;
    for line in lines {
        for part in text::wrap(&line, lettering::BODY, false, 170.0) {
            page.scene.text(point(x, at), lettering::BODY, Anchor::Start, part);
            at += 4.2;
        }
        at += 1.2;
    }
}

/// What the nominal sizes on the labels are in full, where they are not the same.
fn sizes_in_full(book: &Book) -> Option<String> {
    let mut sizes: Vec<_> = book.design.wiring.wires.iter().map(|w| w.size).collect();
    sizes.sort_by(|a, b| a.area().total_cmp(&b.area()));
    sizes.dedup();
    let words: Vec<String> = sizes
        .into_iter()
        .filter(|s| matches!(s, WireSize::Strands { .. }))
        .map(|s| format!("{} is {}", nominal(s), s.label()))
        .collect();
    if words.is_empty() { None } else { Some(format!("Wire: {}.", words.join(", "))) }
}
