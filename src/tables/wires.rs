//! The cut list: every wire once, with its label, ends and length.

use super::words::{end_words, wire_purpose};
use super::{Table, colour_words, number, place_words, text};
use crate::Design;
use crate::circuit::{NetKind, PartKind, Place};
use crate::drives::WireClass;
use crate::parse::{Colour, TrainControl};
use crate::units::{Length, WireSize};

/// One piece of wire to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct WireRow {
    /// The number on its labels, or the bus that it is: "12", "W1A".
    pub mark: String,
    pub net: String,
    pub purpose: String,
    pub from: String,
    pub to: String,
    pub colour: Colour,
    pub size: WireSize,
    /// With slack.
    pub length: Length,
    pub class: WireClass,
}

/// The numbered wires in order, then the track buses, which are wires along a whole board.
pub fn rows(design: &Design) -> Vec<WireRow> {
    let end = |e| end_words(design, e);
    let numbered = design.wiring.wires.iter().map(|w| WireRow {
        mark: w.number.to_string(),
        net: design.circuit[w.net].name.clone(),
        purpose: wire_purpose(design, w),
        from: end(w.from),
        to: end(w.to),
        colour: w.colour,
        size: w.size,
        length: w.length,
        class: w.class,
    });
    numbered.chain(buses(design)).collect()
}

fn buses(design: &Design) -> Vec<WireRow> {
    let dcc = *design.document.layout.control == TrainControl::Dcc;
    let mut rows = Vec::new();
    for (_, part) in design.circuit.parts().filter(|(_, p)| p.kind == PartKind::Bus) {
        let Place::Board(board) = part.place else { continue };
        let Some(net) = part.pins.iter().find_map(|p| p.net) else { continue };
        let kind = design.circuit[net].kind;
        if !matches!(kind, NetKind::Track(_)) {
            continue;
        }
        let place = place_words(&design.document, part.place);
        rows.push(WireRow {
            mark: part.designation.clone(),
            net: design.circuit[net].name.clone(),
            purpose: part.value.clone(),
            from: format!("left end of {place}"),
            to: format!("right end of {place}"),
            colour: design.wiring.palette.colour(kind.function(dcc)),
            size: design.sizing.wire(WireClass::TrackBus),
            length: design.runs.bus[board.0],
            class: WireClass::TrackBus,
        });
    }
    rows
}

/// Whole millimetres: lengths are estimates.
pub(super) fn millimetres(length: Length) -> String {
    format!("{:.0}", length.mm())
}

pub fn table(design: &Design) -> Table {
    let rows = rows(design)
        .into_iter()
        .map(|r| {
            vec![
                r.mark,
                r.net,
                r.purpose,
                r.from,
                r.to,
                colour_words(r.colour),
                r.size.label(),
                millimetres(r.length),
                r.class.word().to_owned(),
            ]
        })
        .collect();
    Table {
        slug: "wires",
        title: "Wires to cut",
        note: "Write the number on both ends of the wire. Lengths are estimates with slack at both ends: lay \
               one wire of each run before you cut the rest.",
        columns: vec![
            text("Wire"),
            text("Net"),
            text("For"),
            text("From"),
            text("To"),
            text("Colour"),
            text("Size"),
            number("Length (mm)"),
            text("Kind"),
        ],
        rows,
    }
}
