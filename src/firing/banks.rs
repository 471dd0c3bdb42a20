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
    match &document.capacitor_stock {
        Some(stock) => {
            let values = stock.values.iter();
            let all = values
                .flat_map(|each| (1..=MOST_IN_PARALLEL).map(|count| BankChoice { each: *each, count }))
                .collect();
            in_order(all, highest)
        }
        None => sold(highest),
    }
}

/// Banks of what is sold. That goes up to the largest; only beyond it several are worth it.
pub fn sold(highest: Volts) -> Vec<BankChoice> {
    let single = preferred::BANK_CAPACITANCES.map(|each| BankChoice { each, count: 1 });
    let largest = single[single.len() - 1].each;
    let several = (2..=MOST_IN_PARALLEL).map(|count| BankChoice { each: largest, count });
    in_order(single.into_iter().chain(several).collect(), highest)
}

fn in_order(mut banks: Vec<BankChoice>, highest: Volts) -> Vec<BankChoice> {
    banks.sort_by(|a, b| a.total().total_cmp(&b.total()).then(a.count.cmp(&b.count)));
    banks.dedup_by(|next, kept| (next.total() / kept.total() - 1.0).abs() < 1e-9);
    let safe = |b: &BankChoice| stored_energy(b.total() * 1.2, highest) < MOST_STORED;
    banks.retain(safe);
    banks
}
