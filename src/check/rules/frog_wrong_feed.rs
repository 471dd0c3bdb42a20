//! A frog does not have the feed that the road over it needs.
//!
//! Bad: the outer wires of the contact of a frog with a wire of its own are swapped. Nothing shows
//! on the bench; the first wheel that bridges frog and wing rail shorts the feeds.
//!
//! Good: seen from the toe, the frog takes the right stock rail's feed for the left road and the
//! left stock rail's for the right road. The frogs of a diamond or slip take that of the rail whose
//! road is used.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::parse::FrogKind;
use crate::proof::Fault;
use crate::track::{Formation, FrogId};

pub const RULE: Rule = Rule {
    code: "frog-wrong-feed",
    title: "A frog has the wrong feed for the road that is set.",
    why: "A wheel on the frog touches the rail before or behind it, which is in the other feed: a short under \
          the train. With a frog separate from its blades nothing shows before that.",
    mend: "Swap the two outer wires of the contact; the finding gives their numbers.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = Vec::new();
    let mut seen = Vec::new();
    for fault in &view.proof.faults {
        let Fault::FrogWrong { frog, culprits, .. } = fault else { continue };
        // Without any contact it is another rule's matter.
        if seen.contains(frog) || !has_contact(view, *frog) {
            continue;
        }
        seen.push(*frog);
        let spec = &view.document[view.rails[*frog].turnout];
        let mut message = format!("{} has the wrong feed: {}", view.frog(*frog), cases(view, *frog));
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

fn has_contact(view: &View, frog: FrogId) -> bool {
    view.plan.feeding(frog).is_some_and(|c| view.circuit.contact_of(c).is_some())
}

/// "A with T1 normal, where the road needs B; …"
fn cases(view: &View, of: FrogId) -> String {
    let turnout = &view.document[view.rails[of].turnout];
    let roads = Formation::of(turnout).roads();
    let mut cases = Vec::new();
    for fault in &view.proof.faults {
        let Fault::FrogWrong { frog, road, wanted, found, when, .. } = fault else { continue };
        if *frog != of {
            continue;
        }
        let has = found.map_or("none".into(), |p| view.pole(p));
        let road = match roads.get(*road) {
            Some(road) if turnout.kind.bars().len() != 1 => format!("the road {}", road.name()),
            _ => "the road".to_owned(),
        };
        let when = when.words(view.document, view.plan);
        cases.push(format!("{has} {when}, where {road} needs {}", view.pole(*wanted)));
    }
    cases.join("; ")
}
