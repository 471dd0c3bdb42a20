//! A capacitor sees more than its rated voltage.
//!
//! Bad: 25 V printed on the capacitor of a discharge unit behind 24 V AC: without load it charges
//! to more than 40 V.
//!
//! Good: a rating a tenth above the highest voltage without load.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "capacitor-over-rating",
    title: "A capacitor sees more than its rated voltage.",
    why: "An electrolytic capacitor above its rating gases and bursts.",
    mend: "Use a capacitor of a higher rated voltage, or a supply of a lower one.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    view.sizing
        .stresses
        .iter()
        .filter(|s| s.voltage > s.rating)
        .map(|s| {
            let message = format!("{} sees up to {}, but is rated for {}", s.what, s.voltage, s.rating);
            Diagnostic::error(RULE.code, message)
                .help("use a capacitor of a higher rated voltage, or a supply of a lower one")
        })
        .collect()
}
