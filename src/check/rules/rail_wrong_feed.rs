//! A rail lies in the other feed than the rails it continues.
//!
//! Bad: the dropper of a siding's left rail goes to bus A, though the rail before the joint is in
//! B. Nothing happens until a wheel or a coach's long bogie bridges the joint.
//!
//! Good: along a road, the rail on the same hand is in the same feed from end to end.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::proof::Fault;
use crate::track::RailId;

pub const RULE: Rule = Rule {
    code: "rail-wrong-feed",
    title: "A rail is joined to the other feed than its own.",
    why: "A train that runs across the joint at its end bridges the two feeds: a short, and on DC it would \
          also run the other way there.",
    mend: "Move the dropper that the finding names to the other bus.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for fault in &view.proof.faults {
        let Fault::WrongFeed { rails, found: feed, when, reached, culprits } = fault else { continue };
        let message = format!(
            "{} {} in feed {} {}, but {}",
            view.rails_named(rails),
            if rails.len() == 1 { "lies" } else { "lie" },
            view.pole(*feed),
            when.words(view.document, view.plan),
            own(view, rails)
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

/// "belongs to B"
fn own(view: &View, rails: &[RailId]) -> String {
    let own = rails.iter().find_map(|r| view.rails[*r].pole).map_or("another".into(), |p| view.pole(p));
    format!("{} to {own}", if rails.len() == 1 { "belongs" } else { "belong" })
}
