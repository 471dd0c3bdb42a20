//! A turnout that nothing throws.
//!
//! Bad: `[turnout.T7]` with a drive, but no control lists T7 under `throws`.
//!
//! Good: `[control.S7]` with `throws = "T7"`.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "turnout-without-control",
    title: "No control throws a turnout.",
    why: "Its drive would have no wires, and its frog no contact that follows it.",
    mend: "List the turnout under `throws` of a control.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let thrown = |t: usize| view.document.controls.iter().any(|c| c.throws.iter().any(|x| x.value.0 == t));
    view.document
        .turnouts
        .iter()
        .enumerate()
        .filter(|(i, _)| !thrown(*i))
        .map(|(_, t)| {
            Diagnostic::error(RULE.code, format!("no control throws {}", *t.name))
                .label(t.span, "its drive would not be wired")
                .help(format!("add a control: [control.S] with throws = \"{}\"", *t.name))
        })
        .collect()
}
