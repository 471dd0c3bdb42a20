//! Terminal strips.

use crate::circuit::{NetId, Place};

/// A strip, by its place in [`super::Wiring::strips`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StripId(pub usize);

/// A terminal: a strip and the terminal's place in it (its number less one).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TerminalRef {
    pub strip: StripId,
    pub index: usize,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// XP, XB1, XT1 …
    pub designation: String,
    pub place: Place,
    /// "panel", "drives, board 1 main"
    pub title: String,
    pub terminals: Vec<Terminal>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Terminal {
    /// As printed: 1, 2 …
    pub number: usize,
    pub net: NetId,
}
