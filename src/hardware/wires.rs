//! Wires and jumpers.

use super::strips::TerminalRef;
use crate::circuit::{NetId, PinRef};
use crate::drives::WireClass;
use crate::parse::Colour;
use crate::units::{Length, WireSize};

/// A wire, by its place in [`super::Wiring::wires`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WireId(pub usize);

/// What a wire ends on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum End {
    Pin(PinRef),
    Terminal(TerminalRef),
}

/// One physical wire between two ends.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// As written on its labels: 1, 2 …
    pub number: usize,
    pub net: NetId,
    pub from: End,
    pub to: End,
    pub class: WireClass,
    pub colour: Colour,
    pub size: WireSize,
    /// With slack at both ends.
    pub length: Length,
}

/// A jumper between two terminals that stand side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Jumper {
    pub net: NetId,
    pub from: TerminalRef,
    pub to: TerminalRef,
}

impl Wire {
    pub fn joins(&self, a: End, b: End) -> bool {
        (self.from, self.to) == (a, b) || (self.from, self.to) == (b, a)
    }

    /// "12 GN 0.5": number, IEC 60757 colour, size in mm².
    pub fn label(&self) -> String {
        format!("{} {} {}", self.number, super::colour_code(self.colour), self.size.short())
    }
}
