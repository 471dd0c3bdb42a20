//! A frog does not have the feed that the road over it needs.
//!
//! Bad: the outer wires of the contact of a frog with a wire of its own are swapped. Nothing shows
//! on the bench; the first wheel that bridges frog and wing rail shorts the feeds.
//!
//! Good: seen from the toe, the frog takes the right stock rail's feed for the left road and the
//! left stock rail's for the right road.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::parse::FrogKind;
use crate::proof::Fault;

pub const RULE: Rule = Rule {
    code: "frog-wrong-feed",
    title: "A frog has the wrong feed for the road that is set.",
    why: "A wheel on the frog touches the rail before or behind it, which is in the other feed: a short under \
          the train. With a frog separate from its blades nothing shows before that.",
    mend: "Swap the two outer wires of the contact; the finding gives their numbers.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    // It follows from a reversing connection, which is reported with its own advice.
    if view.rails.conflicts > 0 {
        return Vec::new();
    }
    let mut found: Vec<Diagnostic> = Vec::new();
    let mut seen = Vec::new();
    for fault in &view.proof.faults {
        let Fault::FrogWrong { turnout, culprits, .. } = fault else { continue };
        // Without any contact it is another rule's matter.
        if seen.contains(turnout) || view.circuit.contact_of(*turnout).is_none() {
            continue;
        }
        seen.push(*turnout);
        let spec = &view.document[*turnout];
        let mut message = format!("the frog of {} has the wrong feed: {}", *spec.name, cases(view, *turnout));
        if *spec.frog == FrogKind::IsolatedWithWire {
            message += "; with a separate frog this shows only under wheels";
        }
        let otherwise = "look for a joint that is bridged, or for a wire of the contact that is missing";
        let diagnostic = view.blame(Diagnostic::error(RULE.code, message), culprits, otherwise);
        found.push(if diagnostic.labels.is_empty() {
            diagnostic.label(spec.span, "this turnout")
        } else {
            diagnostic
        });
    }
    found
}

/// "A with T1 normal, where the road needs B; …"
fn cases(view: &View, wanted: crate::parse::TurnoutId) -> String {
    let mut cases = Vec::new();
    for fault in &view.proof.faults {
        let Fault::FrogWrong { turnout, wanted: need, found, when, .. } = fault else { continue };
        if *turnout != wanted {
            continue;
        }
        let has = found.map_or("none", |f| f.letter());
        cases.push(format!("{has} {}, where the road needs {}", when.words(view.document), need.letter()));
    }
    cases.join("; ")
}
