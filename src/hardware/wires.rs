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

/// The size as labels bear it.
pub fn nominal(size: WireSize) -> String {
    match size {
        WireSize::Strands { .. } => {
            // Two digits are what wire is sold by: 0.50, 0.75, 1.0.
            let area = size.area().mm2();
            let step = if area < 1.0 { 100.0 } else { 10.0 };
            WireSize::mm2((area * step).round() / step).short()
        }
        _ => size.short(),
    }
}

impl Wire {
    pub fn joins(&self, a: End, b: End) -> bool {
        (self.from, self.to) == (a, b) || (self.from, self.to) == (b, a)
    }

    /// "12 GN 0.5": number, IEC 60757 colour, size in mm². Stranded wire is named by its nominal
    /// area here, 16/0.2 as 0.5; the tables give it in full. AWG sizes stay AWG.
    pub fn label(&self) -> String {
        format!("{} {} {}", self.number, super::colour_code(self.colour), nominal(self.size))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Quantity;

    /// Nominal areas of n/0.2 equipment wire as it is sold (common practice, no source).
    #[test]
    fn stranded_wire_is_labelled_by_its_nominal_area() {
        for (size, label) in [
            ("7/0.2", "0.22"),
            ("16/0.2", "0.5"),
            ("24/0.2", "0.75"),
            ("32/0.2", "1"),
            ("AWG 20", "AWG20"),
            ("0.34 mm2", "0.34"),
        ] {
            assert_eq!(nominal(WireSize::parse(size).unwrap()), label, "{size}");
        }
    }
}
