//! A frog of metal is not joined to any contact.
//!
//! Bad: `frog = "isolated-with-wire"` and the wire of the frog ends nowhere: engines with few
//! wheels stop on it. Or a live frog that has only its blades to feed it: they grow dirty.
//!
//! Good: a contact of the drive, a microswitch or a relay feeds it.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::parse::{FrogFeedBy, FrogKind};

pub const RULE: Rule = Rule {
    code: "frog-without-feed",
    title: "A metal frog has no contact to feed it.",
    why: "A separate frog stays dead, and engines stop on it. A live frog hangs on the touch of its blades, \
          which fails after months of dirt.",
    mend: "Feed it by a contact of the drive, a microswitch or a relay, or say that the frog is insulated.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for need in &view.rails.frogs {
        let spec = &view.document[need.turnout];
        // Whoever throws nothing, or has no contact where one was asked for, has heard of it.
        let Some(plan) = view.plan.of(need.turnout) else { continue };
        let refused = plan.frog_feed == Some(FrogFeedBy::Contact) && view.document[*spec.drive].contacts == 0;
        if refused || view.circuit.contact_of(need.turnout).is_some() {
            continue;
        }
        let message = format!("no contact feeds the frog of {}", *spec.name);
        let (diagnostic, text) = if *spec.frog == FrogKind::Live {
            (Diagnostic::warning(RULE.code, message), "fed through its blades alone")
        } else {
            (Diagnostic::error(RULE.code, message), "dead in both positions")
        };
        found.push(
            diagnostic
                .label(spec.frog.span, text)
                .help("give it frog-feed = \"microswitch\", or a drive with contacts = 1"),
        );
    }
    found
}
