//! A frog of metal is not joined to any contact.
//!
//! Bad: `frog = "isolated-with-wire"` and the wire of the frog ends nowhere: engines with few
//! wheels stop on it. Or a live frog that has only its blades to feed it: they grow dirty.
//!
//! Good: a contact of a drive, a microswitch, a relay, a switch or a reverser module feeds it.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::drives::{Decider, Pairing};
use crate::parse::{FrogFeedBy, FrogKind};
use crate::track::FrogId;

pub const RULE: Rule = Rule {
    code: "frog-without-feed",
    title: "A metal frog has no contact to feed it.",
    why: "A separate frog stays dead, and engines stop on it. A live frog hangs on the touch of its blades, \
          which fails after months of dirt.",
    mend: "Feed it by a contact of the drive, a microswitch or a relay, where no blades tell the road by a panel \
           switch or a reverser module; or say that the frog is insulated.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let frogs = (0..view.rails.frogs.len()).map(FrogId);
    frogs.filter(|f| !is_fed(view, *f) && !is_told(view, *f)).map(|f| report(view, f)).collect()
}

fn is_fed(view: &View, frog: FrogId) -> bool {
    view.plan.feeding(frog).is_some_and(|c| view.circuit.contact_of(c).is_some())
}

/// Whoever throws nothing, or cannot have the contact that was asked for, has heard of it.
fn is_told(view: &View, frog: FrogId) -> bool {
    let Some(id) = view.plan.feeding(frog) else {
        return view.document.bars_of(view.rails[frog].turnout).any(|bar| view.plan.of(bar).is_none());
    };
    let changeover = view.plan.changeover(id);
    let Decider::Bar(bar) = changeover.decider else { return false };
    match changeover.by {
        FrogFeedBy::Contact => {
            view.plan.carried(bar, FrogFeedBy::Contact) > view.document.drive_of(bar).contacts
        }
        FrogFeedBy::Relay => view
            .plan
            .of(bar)
            .is_some_and(|p| matches!(p.pairing, Pairing::ServoDecoder | Pairing::MotorSplit)),
        _ => false,
    }
}

fn report(view: &View, frog: FrogId) -> Diagnostic {
    let spec = &view.document[view.rails[frog].turnout];
    let message = format!("no contact feeds {}", view.frog(frog));
    // Blades feed the live frogs of what has a toe.
    let (diagnostic, text) = if *spec.frog == FrogKind::Live && spec.kind.has_toe() {
        (Diagnostic::warning(RULE.code, message), "fed through its blades alone")
    } else {
        (Diagnostic::error(RULE.code, message), "dead in every position")
    };
    let help = if spec.kind.has_toe() {
        "give it frog-feed = \"microswitch\", or a drive with contacts = 1"
    } else {
        "give it frog-feed = \"panel switch\", or with DCC \"reverser module\""
    };
    diagnostic.label(spec.frog.span, text).help(help)
}
