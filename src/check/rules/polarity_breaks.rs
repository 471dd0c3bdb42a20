//! A rail changes polarity at the border of a reversing section while a train can cross it.
//!
//! Bad: the changeover of a loop wired the wrong way round. The train that the blades let in has one
//! polarity before the joint and the other behind it.
//!
//! Good: the section has the polarity of the rails that the train comes from, and is turned before
//! it leaves.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::parse::Word;
use crate::proof::Fault;

pub const RULE: Rule = Rule {
    code: "polarity-breaks",
    title: "The polarity changes across a joint that a train can cross.",
    why: "The first wheel on the joint of a reversing section shorts the feeds; on DC the engine would also turn \
          back there.",
    mend: "Swap the wires that the finding names, so that the section takes the polarity of the road that is set.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for fault in &view.proof.faults {
        let Fault::Broken { joint: number, when, culprits } = fault else { continue };
        let Some(joint) = view.rails.joints.get(*number) else { continue };
        let place = format!("{}.{}", view.turnout(joint.turnout), joint.port.word());
        let message = format!(
            "the polarity changes across joint J{} at {place} {}, between {} and {}",
            number + 1,
            when.words(view.document, view.plan),
            view.rail(joint.inside),
            view.rail(joint.outside)
        );
        let otherwise = "exchange the two wires that feed the reversing section from its changeover";
        let mut diagnostic = view.blame(Diagnostic::error(RULE.code, message), culprits, otherwise);
        for rail in [joint.inside, joint.outside] {
            let span = view.rail_span(rail);
            if diagnostic.labels.iter().all(|l| l.span != span) {
                diagnostic = diagnostic.label(span, format!("J{} is at an end of it", number + 1));
            }
        }
        found.push(diagnostic);
    }
    found
}
