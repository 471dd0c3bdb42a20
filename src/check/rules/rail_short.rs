//! Two feeds of the track touch in some position of the turnouts.
//!
//! Bad: a live frog whose contact has its outer wires swapped. The closed blade gives the frog one
//! feed, the contact gives it the other: a dead short in every position. (A frog that is separate
//! from its blades shows the same mistake only when a wheel touches it: see `frog-wrong-feed`.)
//!
//! Good: the outer wires as on the wire list, and an insulated joint in each rail that leaves a
//! frog.
//!
//! Where no train may use a turnout in these positions anyway, such as both outer roads of a
//! three-way at once, it is a warning.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::proof::Fault;

pub const RULE: Rule = Rule {
    code: "rail-short",
    title: "The two feeds of the track touch in some position of the turnouts.",
    why: "The booster or controller cuts off, or what lies in the way burns. With a live frog that is one \
          metal with its blades, a contact with swapped outer wires is a dead short in every position.",
    mend: "Swap the two wires, move the dropper or cut the rail that the finding names.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for fault in &view.proof.faults {
        let Fault::Short { poles, when, path, culprits } = fault else { continue };
        let message = format!(
            "feed {} and feed {} touch {}: {}",
            view.pole(poles.0),
            view.pole(poles.1),
            when.words(view.document, view.plan),
            view.way(path)
        );
        let mut diagnostic = view.blame(
            Diagnostic::error(RULE.code, message),
            culprits,
            "part the rails on this way by an insulated joint, or move the wire that joins them",
        );
        for span in when.deciders.iter().filter_map(|d| view.decider_span(*d)) {
            if diagnostic.labels.iter().all(|l| l.span != span) {
                diagnostic = diagnostic.label(span, "depends on the position of this");
            }
        }
        found.push(diagnostic);
    }
    found.extend(view.proof.misused.iter().map(|m| {
        let message = format!(
            "feed {} and feed {} touch {}, which must never be set",
            view.pole(m.poles.0),
            view.pole(m.poles.1),
            m.when.words(view.document, view.plan)
        );
        Diagnostic::note(RULE.code, message)
            .label(view.document[m.turnout].span, m.reason)
            .help("mark it on the panel; the booster or controller cuts off if it happens")
    }));
    found
}
