//! So many turnouts hang together that not all their positions were looked at.
//!
//! Bad: twenty live frogs joined rail to rail without a joint between them.
//!
//! Good: joints that make each frog an island of its own; they are set wherever a frog's rails
//! leave its turnout.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::proof::MOST_TOGETHER;

pub const RULE: Rule = Rule {
    code: "not-examined",
    title: "Rails that hang on too many turnouts were not examined.",
    why: "Every turnout doubles the number of settings; past a limit they are not looked at one by one, so a \
          short among them would not be found.",
    mend: "Cut the rails between some of these turnouts.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    view.proof
        .left_out
        .iter()
        .map(|turnouts| {
            let names = list(turnouts.iter().map(|t| view.turnout(*t)));
            let message = format!(
                "{} turnouts hang together ({names}), more than the {MOST_TOGETHER} whose settings can all be \
                 looked at",
                turnouts.len()
            );
            let first = turnouts.first().map(|t| view.document[*t].span);
            let diagnostic =
                Diagnostic::warning(RULE.code, message).help("cut the rails between some of these turnouts");
            match first {
                Some(span) => diagnostic.label(span, "one of them"),
                None => diagnostic,
            }
        })
        .collect()
}
