//! `[wire]`, `[capacitor]` and `[colours]`: what the builder has.

use crate::diag::Diagnostic;
use crate::parse::document::{CapacitorStock, Colour, WireFunction};
use crate::parse::reader::{Found, Table};
use crate::parse::words::Word;
use crate::source::At;
use crate::units::{Farads, Volts, WireSize};

/// The sizes in `stock`; empty if it is not given.
pub fn wire(table: &Table<'_>, found: &mut Found) -> Option<Vec<WireSize>> {
    table.sizes("stock", found)
}

/// The capacitors that the builder has; `None` inside if the file names none.
pub fn capacitors(table: &Table<'_>, found: &mut Found) -> Option<Option<CapacitorStock>> {
    let values = table.sizes::<Farads>("stock", found);
    let voltage = table.quantity::<Volts>("voltage", found);
    let mut values = values?;
    if let Some(wrong) = values.iter().find(|c| !BELIEVED.contains(&c.farads())) {
        found.push(
            Diagnostic::error(
                "absurd-value",
                format!("{}: no bank is made of capacitors of {wrong}", table.what),
            )
            .label(table.place("stock"), "between 1 µF and 1 F, please")
            .help("write microfarads as \"4700 uF\""),
        );
        return None;
    }
    if values.is_empty() {
        return Some(None);
    }
    values.sort_by(Farads::total_cmp);
    values.dedup();
    Some(Some(CapacitorStock { values, voltage: voltage.map(|at| at.value), span: table.place("stock") }))
}

/// In farads. Only catches slips of the unit.
const BELIEVED: std::ops::RangeInclusive<f64> = 1e-6..=1.0;

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
