//! The banks to choose from.

use crate::drives::sizing::BankChoice;
use crate::electrics::preferred;
use crate::electrics::supply::stored_energy;
use crate::parse::Document;
use crate::units::{Joules, Volts};

/// So many of one value at most, in parallel.
const MOST_IN_PARALLEL: usize = 6;
/// Stored energy counts as hazardous from here on (IEC 60950-1, from memory).
const MOST_STORED: Joules = Joules::new(20.0);

/// All banks that may be built, the smallest first; of the same capacitance the one of fewer parts.
/// Those that could hold a hazardous energy at the highest voltage are left out.
pub fn banks(document: &Document, highest: Volts) -> Vec<BankChoice> {
    let sold = preferred::BANK_CAPACITANCES;
    let mut banks: Vec<BankChoice> = match &document.capacitor_stock {
        Some(stock) => stock
            .values
            .iter()
            .flat_map(|each| (1..=MOST_IN_PARALLEL).map(|count| BankChoice { each: *each, count }))
            .collect(),
        // What is sold goes up to the largest; only beyond that several are worth it.
        None => {
            let largest = sold[sold.len() - 1];
            let several = (2..=MOST_IN_PARALLEL).map(|count| BankChoice { each: largest, count });
            sold.iter().map(|each| BankChoice { each: *each, count: 1 }).chain(several).collect()
        }
    };
    banks.sort_by(|a, b| a.total().total_cmp(&b.total()).then(a.count.cmp(&b.count)));
    banks.dedup_by(|next, kept| (next.total() / kept.total() - 1.0).abs() < 1e-9);
    let safe = |b: &BankChoice| stored_energy(b.total() * 1.2, highest) < MOST_STORED;
    banks.retain(safe);
    banks
}
