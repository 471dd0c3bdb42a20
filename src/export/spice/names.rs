//! Names that SPICE reads: letters, digits and underscores, of either case alike, none twice.

use std::collections::BTreeSet;

#[derive(Default)]
pub struct Names {
    taken: BTreeSet<String>,
}

impl Names {
    /// A legal name like this one that nothing else has yet.
    pub fn own(&mut self, name: &str) -> String {
        let spelt: String = name.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '_' }).collect();
        let mut spelt = spelt.to_ascii_lowercase();
        // A bare number could be taken for ground, and some functions know "time" and "temper".
        if spelt.is_empty() || !spelt.starts_with(|c: char| c.is_ascii_alphabetic()) {
            spelt.insert(0, 'n');
        }
        let mut tried = spelt.clone();
        let mut count = 1;
        while !self.taken.insert(tried.clone()) {
            count += 1;
            tried = format!("{spelt}_{count}");
        }
        tried
    }
}
