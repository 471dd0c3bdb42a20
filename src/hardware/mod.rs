//! How the circuit is carried out: terminal strips, wires with number, colour, size and length.
//!
//! Every net becomes a tree of wires between pins and terminals, by rules that follow from where
//! its pins are:
//! - what leaves the panel for drives leaves it through the panel strip (XP); the track feeds go
//!   straight to the track strip of the panel's board, so that track and accessories share nothing;
//! - every drive, relay and decoder meets the strip of its board (XB1, XB2 …), every frog and
//!   frog contact the track strip (XT1 …), so that the two sides never share a strip;
//! - route buttons tap the positive bus of the panel, and their links are chained row by row and line by
//!   line; a line that has a control too meets them at a terminal of their own beside its own;
//! - a terminal holds one wire on each side; terminals of one net stand side by side and are
//!   joined by jumpers;
//! - droppers tap the bus directly.
//!
//! Whoever holds a [`Wiring`] need not worry any more that a wire lacks a number, colour, size or
//! length, or that a pin of a net is left out.

mod colours;
mod nets;
mod strips;
mod wires;

pub use colours::{Palette, code as colour_code, colour_words, nem_605};
pub use strips::{Strip, StripId, Terminal, TerminalRef};
pub use wires::{End, Jumper, Wire, WireId, nominal};

use crate::circuit::{Circuit, NetId, PartKind, PinRef};
use crate::drives::{Runs, Sizing};
use crate::parse::Document;
use crate::track::Rails;

/// The product of this stage.
#[derive(Clone, Debug)]
pub struct Wiring {
    pub strips: Vec<Strip>,
    /// Numbered 1, 2 … in this order.
    pub wires: Vec<Wire>,
    pub jumpers: Vec<Jumper>,
    pub palette: Palette,
}

/// Carries a circuit out.
pub fn wire(document: &Document, rails: &Rails, circuit: &Circuit, sizing: &Sizing, runs: &Runs) -> Wiring {
    let mut b = nets::Wirer::new(document, rails, circuit, sizing, runs);
    b.accessory_side();
    b.track_side();
    b.finish()
}

impl Wiring {
    pub fn wires_of(&self, net: NetId) -> impl Iterator<Item = &Wire> {
        self.wires.iter().filter(move |w| w.net == net)
    }

    pub fn terminal(&self, at: TerminalRef) -> &Terminal {
        &self.strips[at.strip.0].terminals[at.index]
    }

    /// "XB1:4"
    pub fn terminal_name(&self, at: TerminalRef) -> String {
        format!("{}:{}", self.strips[at.strip.0].designation, self.terminal(at).number)
    }

    /// "M1:n" or "XB1:4"
    pub fn end_name(&self, circuit: &Circuit, end: End) -> String {
        match end {
            End::Pin(pin) => circuit.pin_name(pin),
            End::Terminal(t) => self.terminal_name(t),
        }
    }

    /// What a wire ends on, for people: "M1:N", "XP:4"; a bus or a rail by its name alone, because a
    /// wire may meet it anywhere.
    pub fn end_words(&self, circuit: &Circuit, end: End) -> String {
        match end {
            End::Pin(pin) => match circuit[pin.part].kind {
                PartKind::Bus => format!("bus {}", circuit[pin.part].designation),
                PartKind::Rail { .. } => circuit[pin.part].designation.clone(),
                _ => circuit.pin_name(pin),
            },
            End::Terminal(at) => self.terminal_name(at),
        }
    }

    /// Wires that end at a pin.
    pub fn at_pin(&self, pin: PinRef) -> impl Iterator<Item = &Wire> {
        self.wires.iter().filter(move |w| w.from == End::Pin(pin) || w.to == End::Pin(pin))
    }

    /// Wires that end at a terminal.
    pub fn at_terminal(&self, at: TerminalRef) -> impl Iterator<Item = &Wire> {
        self.wires.iter().filter(move |w| w.from == End::Terminal(at) || w.to == End::Terminal(at))
    }

    /// The jumpers of a terminal.
    pub fn jumpers_at(&self, at: TerminalRef) -> impl Iterator<Item = &Jumper> {
        self.jumpers.iter().filter(move |j| j.from == at || j.to == at)
    }
}
