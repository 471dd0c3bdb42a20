//! A rail lies in the other feed than the rails it continues.
//!
//! Bad: the dropper of a siding's left rail goes to bus A, though the rail before the joint is in
//! B. Nothing happens until a wheel or a coach's long bogie bridges the joint.
//!
//! Good: along a road, the rail on the same hand is in the same feed from end to end.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::proof::Fault;

pub const RULE: Rule = Rule {
    code: "rail-wrong-feed",
    title: "A rail is joined to the other feed than its own.",
    why: "A train that runs across the joint at its end bridges the two feeds: a short, and on DC it would \
          also run the other way there.",
    mend: "Move the dropper that the finding names to the other bus.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    // It follows from a reversing connection, which is reported with its own advice.
    if view.rails.conflicts > 0 {
        return Vec::new();
    }
    let mut found = Vec::new();
    for fault in &view.proof.faults {
        let Fault::WrongFeed { rails, found: feed, when, reached, culprits } = fault else { continue };
        let message = format!(
            "{} lies in feed {} {}, but belongs to {}",
            view.rails_named(rails),
            feed.letter(),
            when.words(view.document),
            feed.other().letter()
        );
        // Where no road leads there, both rails alike do no harm: a spur that is switched off so.
        let diagnostic = if *reached {
            Diagnostic::error(RULE.code, message)
        } else {
            Diagnostic::warning(RULE.code, message)
        };
        let diagnostic = view.blame(
            diagnostic,
            culprits,
            "give this rail an insulated joint and a dropper of its own, unless it is to be switched off so",
        );
        found.push(view.label_rails(diagnostic, rails, "here"));
    }
    found
}
