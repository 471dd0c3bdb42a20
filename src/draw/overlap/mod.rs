//! Whether a sheet can be read: nothing covers a word, no wire ends in the air, no two nets seem to
//! touch. Works on the finished picture alone, so it finds whatever drew it.

pub(super) mod grid;
mod shapes;
mod texts;
mod wires;

use std::fmt;

use super::scene::Scene;
use crate::geom::Point;

/// What is wrong with a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FaultKind {
    /// Ink beyond the edge of the paper.
    OutsidePage,
    /// Capitals lower than 1.8 mm.
    TextTooSmall,
    /// The font would print a box.
    MissingGlyph,
    TextOnText,
    /// A line or shape runs through a text.
    TextCrossed,
    /// A filled shape drawn later hides a text.
    TextCovered,
    /// A wire's end with neither pin nor dot nor further wire.
    LooseEnd,
    /// Three or more wires of a net meet without a dot.
    MissingDot,
    /// Four wires meet at one dot: looks like a crossing.
    FourWay,
    /// A wire neither level nor upright.
    Oblique,
    /// Two wires lie on one another.
    SharedSegment,
    /// Wires of different nets touch, or a wire touches the dot or pin of another net.
    Touch,
    /// A wire runs through a symbol.
    ThroughSymbol,
}

/// One fault at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    pub kind: FaultKind,
    pub at: Point,
    /// The texts or nets concerned.
    pub detail: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:?} at {:.2},{:.2}: {}", self.kind, self.at.x, self.at.y, self.detail)
    }
}

/// How tangled the wires are.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Metrics {
    pub wires: usize,
    pub crossings: usize,
    pub bends: usize,
    /// Drawn length of all wires in millimetres.
    pub length: f64,
}

/// What [`check`] found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Report {
    /// In the order of kind, then place from top to bottom.
    pub faults: Vec<Fault>,
    pub metrics: Metrics,
}

/// Looks for every kind of fault and counts crossings and bends.
pub fn check(scene: &Scene) -> Report {
    let mut report = Report::default();
    texts::check(scene, &mut report.faults);
    report.metrics = wires::check(scene, &mut report.faults);
    let key = |f: &Fault| (f.kind, f.at.y, f.at.x);
    report.faults.sort_by(|a, b| {
        key(a).partial_cmp(&key(b)).unwrap_or(std::cmp::Ordering::Equal).then_with(|| a.detail.cmp(&b.detail))
    });
    report.faults.dedup();
    report
}

#[cfg(test)]
mod tests;
