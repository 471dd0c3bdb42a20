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
use crate::drives::Decider;
use crate::parse::TurnoutId;
use crate::proof::{Fault, When};
use crate::track::{Formation, Position};

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
        let mut diagnostic = match (culprits.as_slice(), misused(view, when)) {
            ([], Some(reason)) => Diagnostic::warning(RULE.code, message)
                .help(format!("never set these positions together: {reason}")),
            _ => view.blame(
                Diagnostic::error(RULE.code, message),
                culprits,
                "part the rails on this way by an insulated joint, or move the wire that joins them",
            ),
        };
        for span in when.deciders.iter().filter_map(|d| view.decider_span(*d)) {
            if diagnostic.labels.iter().all(|l| l.span != span) {
                diagnostic = diagnostic.label(span, "depends on the position of this");
            }
        }
        found.push(diagnostic);
    }
    found
}

/// Why no train may use a turnout in these positions, if that is so in each case.
fn misused(view: &View, when: &When) -> Option<&'static str> {
    let mut reasons = when.cases.iter().map(|case| forbidden(view, when, case));
    let first = reasons.next()??;
    reasons.all(|r| r.is_some()).then_some(first)
}

fn forbidden(view: &View, when: &When, case: &[Position]) -> Option<&'static str> {
    let position = |bar| {
        let at = when.deciders.iter().position(|d| *d == Decider::Bar(bar))?;
        case.get(at).copied()
    };
    (0..view.document.turnouts.len()).map(TurnoutId).find_map(|turnout| {
        let set: Vec<Position> = view.document.bars_of(turnout).map(position).collect::<Option<_>>()?;
        let formation = Formation::of(&view.document[turnout]);
        formation.forbidden().iter().find(|(setting, _)| *setting == set).map(|(_, reason)| *reason)
    })
}
