//! Designations: a class letter of IEC 81346-2 and a number that nobody else bears.

use crate::parse::Document;
use std::collections::BTreeSet;

/// Hands out designations, around the names the builder already uses.
pub(super) struct Designations {
    taken: BTreeSet<String>,
}

impl Designations {
    pub fn new(document: &Document) -> Designations {
        let names = document.turnouts.iter().map(|t| &t.name);
        let names = names.chain(document.controls.iter().map(|c| &c.name));
        let names = names.chain(document.routes.iter().map(|r| &r.name));
        Designations { taken: names.map(|n| n.value.clone()).collect() }
    }

    /// `letter` + `wanted`, or the next higher number that is free.
    pub fn take(&mut self, letter: &str, wanted: usize) -> String {
        let mut number = wanted;
        loop {
            let name = format!("{letter}{number}");
            if self.taken.insert(name.clone()) {
                return name;
            }
            number += 1;
        }
    }
}
