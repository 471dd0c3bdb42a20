//! A turnout, or one tie bar of a turnout with two, that nothing throws.
//!
//! Bad: `[turnout.T7]` with a drive, but no control lists T7 under `throws`.
//!
//! Good: `[control.S7]` with `throws = "T7"`.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "turnout-without-control",
    title: "No control throws a turnout, or one of its two tie bars.",
    why: "Its drive would have no wires, and its frog no contact that follows it.",
    mend: "List the turnout under `throws` of a control; of a turnout with two tie bars each of these, as \
           \"T5.left\" and \"T5.right\".",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let thrown = |b: usize| view.document.controls.iter().any(|c| c.throws.iter().any(|x| x.value.0 == b));
    view.document
        .bars
        .iter()
        .enumerate()
        .filter(|(i, _)| !thrown(*i))
        .map(|(_, bar)| {
            Diagnostic::error(RULE.code, format!("no control throws {}", bar.name))
                .label(view.document[bar.turnout].span, "its drive would not be wired")
                .help(format!("add a control: [control.S] with throws = \"{}\"", bar.name))
        })
        .collect()
}
