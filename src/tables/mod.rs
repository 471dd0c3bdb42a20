//! Lists for the workbench: what to buy, cut, join and solder. Each file holds one table, as typed
//! rows and as the [`Table`] that exporters write out.
//!
//! Whoever holds a [`Table`] need not worry any more about order, units or wording: its cells are
//! what is printed.

pub mod droppers;
pub mod joints;
pub mod lengths;
pub mod parts;
pub mod terminals;
pub mod wires;
mod words;

pub use crate::hardware::colour_words;
pub use words::place_words;

use crate::Design;

/// A column of a [`Table`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    pub heading: &'static str,
    /// Holds numbers: set to the right.
    pub number: bool,
}

/// A table ready to be written out. Every row has one cell for each column.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// For file names: `wire-lengths`.
    pub slug: &'static str,
    pub title: &'static str,
    /// What the reader should know before reading, in one or two sentences.
    pub note: &'static str,
    pub columns: Vec<Column>,
    pub rows: Vec<Vec<String>>,
}

/// All tables, in the order in which they are needed: buy, cut, then wire.
pub fn all(design: &Design) -> Vec<Table> {
    vec![
        parts::table(design),
        lengths::table(design),
        wires::table(design),
        terminals::table(design),
        joints::table(design),
        droppers::table(design),
    ]
}

fn text(heading: &'static str) -> Column {
    Column { heading, number: false }
}

fn number(heading: &'static str) -> Column {
    Column { heading, number: true }
}

#[cfg(test)]
mod tests;
