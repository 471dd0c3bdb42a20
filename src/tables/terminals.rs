//! The terminal strips: what is on each side of every terminal.
//!
//! Which side a wire is on follows from where its far end is. *External* is what comes from
//! elsewhere or leaves the strip's own wiring: from the panel, the booster or controller or another
//! board, and on a track strip what goes on to the bus or to a rail. *Internal* is what goes to the
//! parts that the strip serves: drives, relays and contacts of its board, or parts of the panel. If
//! both wires of a terminal come out on the same side, the one from farther away keeps the outside.

use super::words::{end_words, terminal_purpose};
use super::{Table, colour_words, number, place_words, text};
use crate::Design;
use crate::circuit::{PartKind, Place};
use crate::hardware::{End, Strip, StripId, TerminalRef, Wire};
use crate::parse::Colour;
use crate::units::WireSize;

/// One terminal.
#[derive(Clone, Debug, PartialEq)]
pub struct TerminalRow {
    pub strip: String,
    /// Where the strip is: "board 1 quarry".
    pub place: String,
    pub number: usize,
    pub net: String,
    pub purpose: String,
    /// At most one wire unless the strip is overfull.
    pub external: Vec<WireEnd>,
    pub internal: Vec<WireEnd>,
    /// The terminals it is joined to by jumpers.
    pub jumpers: Vec<usize>,
}

/// A wire as seen from one of its ends.
#[derive(Clone, Debug, PartialEq)]
pub struct WireEnd {
    pub number: usize,
    pub colour: Colour,
    pub size: WireSize,
    /// "M1:n", "XP:4", "bus W1A"
    pub far_end: String,
}

/// How far from the strip's own parts a wire leads: the rank decides which side it is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Reach {
    /// To a part beside the strip or on its board.
    Part,
    /// To the bus or a rail of the same board.
    Track,
    /// To another place.
    Elsewhere,
}

/// Strip by strip, in the order of the terminals.
pub fn rows(design: &Design) -> Vec<TerminalRow> {
    let strips = design.wiring.strips.iter().enumerate();
    strips
        .flat_map(|(s, strip)| {
            (0..strip.terminals.len())
                .map(move |index| row(design, strip, TerminalRef { strip: StripId(s), index }))
        })
        .collect()
}

fn row(design: &Design, strip: &Strip, at: TerminalRef) -> TerminalRow {
    let wiring = &design.wiring;
    let terminal = wiring.terminal(at);
    let (external, internal) = sides(design, strip.place, at);
    let seen = |wires: Vec<&Wire>| wires.into_iter().map(|w| wire_end(design, w, at)).collect();
    let mut jumpers: Vec<usize> = wiring
        .jumpers_at(at)
        .map(|j| wiring.terminal(if j.from == at { j.to } else { j.from }).number)
        .collect();
    jumpers.sort_unstable();
    TerminalRow {
        strip: strip.designation.clone(),
        place: place_words(&design.document, strip.place),
        number: terminal.number,
        net: design.circuit[terminal.net].name.clone(),
        purpose: terminal_purpose(design, at),
        external: seen(external),
        internal: seen(internal),
        jumpers,
    }
}

/// The wires of a terminal: external, internal.
fn sides(design: &Design, place: Place, at: TerminalRef) -> (Vec<&Wire>, Vec<&Wire>) {
    let mut wires: Vec<(Reach, bool, &Wire)> = design
        .wiring
        .at_terminal(at)
        .map(|w| (reach(design, place, far(w, at)), w.to == End::Terminal(at), w))
        .collect();
    // The farthest first; of two that lead equally far the one that brings the net in.
    wires.sort_by_key(|(reach, arrives, w)| (std::cmp::Reverse((*reach, *arrives)), w.number));
    let one_side =
        wires.iter().all(|(r, ..)| *r > Reach::Part) || wires.iter().all(|(r, ..)| *r == Reach::Part);
    let split =
        if wires.len() > 1 && one_side { 1 } else { wires.iter().filter(|(r, ..)| *r > Reach::Part).count() };
    let internal = wires.split_off(split);
    let only = |list: Vec<(Reach, bool, _)>| list.into_iter().map(|(_, _, w)| w).collect();
    (only(wires), only(internal))
}

fn far(wire: &Wire, at: TerminalRef) -> End {
    if wire.from == End::Terminal(at) { wire.to } else { wire.from }
}

fn reach(design: &Design, strip: Place, end: End) -> Reach {
    let pin = match end {
        End::Terminal(t) if design.wiring.strips[t.strip.0].place == strip => return Reach::Part,
        End::Terminal(_) => return Reach::Elsewhere,
        End::Pin(pin) => pin,
    };
    let part = &design.circuit[pin.part];
    if part.place != strip {
        Reach::Elsewhere
    } else if strip != Place::Panel && matches!(part.kind, PartKind::Bus | PartKind::Rail { .. }) {
        Reach::Track
    } else {
        Reach::Part
    }
}

fn wire_end(design: &Design, wire: &Wire, at: TerminalRef) -> WireEnd {
    WireEnd {
        number: wire.number,
        colour: wire.colour,
        size: wire.size,
        far_end: end_words(design, far(wire, at)),
    }
}

pub fn table(design: &Design) -> Table {
    let cells = |wires: &[WireEnd]| -> [String; 4] {
        let all = |f: &dyn Fn(&WireEnd) -> String| wires.iter().map(f).collect::<Vec<_>>().join(" + ");
        [
            all(&|w| w.number.to_string()),
            all(&|w| colour_words(w.colour)),
            all(&|w| w.size.label()),
            all(&|w| w.far_end.clone()),
        ]
    };
    let rows = rows(design)
        .into_iter()
        .map(|r| {
            let jumpers: Vec<String> = r.jumpers.iter().map(usize::to_string).collect();
            let mut row = vec![r.strip, r.number.to_string(), r.net, r.purpose];
            row.extend(cells(&r.external));
            row.extend(cells(&r.internal));
            row.push(jumpers.join(", "));
            row
        })
        .collect();
    Table {
        slug: "terminals",
        title: "Terminal strips",
        note: "External wires come from the panel, the track supply or another board, or go on to the track; \
               internal wires go to the parts the strip serves. A jumper joins terminals of the same strip.",
        columns: vec![
            text("Strip"),
            number("Terminal"),
            text("Net"),
            text("For"),
            number("External wire"),
            text("External colour"),
            text("External size"),
            text("External far end"),
            number("Internal wire"),
            text("Internal colour"),
            text("Internal size"),
            text("Internal far end"),
            text("Jumper to"),
        ],
        rows,
    }
}
