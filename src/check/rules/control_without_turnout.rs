//! A control throws nothing.
//!
//! Bad: `[control.S4]` with `throws = []`.
//!
//! Good: it names the turnout it throws, or is left out.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "control-without-turnout",
    title: "A control throws no turnout.",
    why: "It would be a hole in the panel without a wire to it.",
    mend: "Name the turnouts it throws, or leave the control out.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    view.document
        .controls
        .iter()
        .filter(|c| c.throws.is_empty())
        .map(|c| {
            Diagnostic::warning(RULE.code, format!("{} throws no turnout", *c.name))
                .label(c.span, "not wired")
                .help("name a turnout under `throws`, or leave this control out")
        })
        .collect()
}
