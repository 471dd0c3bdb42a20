//! A rail has no feed.
//!
//! Bad: a siding beyond the joints of a live frog with `droppers = false`: the rail behind the
//! joint is joined to nothing.
//!
//! Good: every stretch of rail between insulated joints has a dropper.

use crate::check::words::is;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::proof::Fault;

pub const RULE: Rule = Rule {
    code: "dead-rail",
    title: "A rail has no feed, always or in some positions.",
    why: "Trains stop there. A rail that is only dead while its road is not set may be meant so, to hold an \
          engine; the finding is then a warning.",
    mend: "Give the rail a dropper.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for fault in &view.proof.faults {
        let Fault::Dead { rails, when, reached } = fault else { continue };
        let message = format!(
            "{} {} dead {}",
            view.rails_named(rails),
            is(rails.len()),
            when.words(view.document, view.plan)
        );
        let diagnostic = if *reached {
            Diagnostic::error(RULE.code, message).help("give it a dropper: leave out `droppers = false`")
        } else {
            Diagnostic::warning(RULE.code, message).help(
                "what stands there is switched off until the road is set; if that is not wanted, leave out \
                 `droppers = false`",
            )
        };
        found.push(view.label_rails(diagnostic, rails, "no feed here"));
    }
    found
}
