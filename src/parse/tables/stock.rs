//! `[wire]` and `[colours]`: what wire the builder has.

use crate::diag::Diagnostic;
use crate::parse::document::{Colour, WireFunction};
use crate::parse::reader::{Found, Table};
use crate::parse::words::Word;
use crate::source::At;
use crate::units::WireSize;

/// The sizes in `stock`; empty if it is not given.
pub fn wire(table: &Table<'_>, found: &mut Found) -> Option<Vec<WireSize>> {
    table.sizes("stock", found)
}

/// The colours that the builder sets.
pub fn colours(table: &Table<'_>, found: &mut Found) -> Vec<(WireFunction, At<Colour>)> {
    let mut colours = Vec::new();
    for (key, function, _) in WireFunction::WORDS {
        if table.name_is(key, "GNYE") {
            found.push(protective_earth(table, key));
        } else if let Some(colour) = table.word(key, found) {
            colours.push((*function, colour));
        }
    }
    colours
}

/// NEM 605: green-yellow is kept for the protective earth of the mains.
fn protective_earth(table: &Table<'_>, key: &str) -> Diagnostic {
    Diagnostic::error("reserved-colour", format!("`{key}` of {} cannot be green-yellow", table.what))
        .label(table.place(key), "kept for the protective earth of the mains")
        .help("NEM 605 forbids it anywhere on a layout; choose another colour")
}
