//! The circuit and its sizing as JSON, for other programs.
//!
//! These structs are views made for export and documented in `docs/circuit-json.md`,
//! `docs/rails-json.md`, `docs/proof-json.md` and `docs/sizing.md`; the domain types themselves know nothing of JSON.

mod branches;
mod circuit;
mod margins;
mod proof;
mod rails;
mod sizing;
mod words;

use crate::Design;
use serde::Serialize;

/// Raised whenever a key is renamed, removed or changes its meaning; new keys do not raise it.
pub const FORMAT: u32 = 1;

/// `circuit.json`
pub fn circuit(design: &Design) -> String {
    pretty(&circuit::view(design))
}

/// `sizing.json`
pub fn sizing(design: &Design) -> String {
    pretty(&sizing::view(design))
}

/// `rails.json`
pub fn rails(design: &Design) -> String {
    pretty(&rails::view(design))
}

/// `proof.json`
pub fn proof(design: &Design) -> String {
    pretty(&proof::view(design))
}

fn pretty<T: Serialize>(view: &T) -> String {
    // Views hold texts, numbers and lists only: nothing in them can fail to be written.
    let mut text = serde_json::to_string_pretty(view).unwrap_or_default();
    text.push('\n');
    text
}

/// Four significant digits: more would be noise, and differ from machine to machine.
fn rounded(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}

#[cfg(test)]
mod tests;
