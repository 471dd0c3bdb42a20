//! One changeover contact serves two purposes, or follows another turnout than the one it feeds.
//!
//! Bad: two frogs on the common of one contact. As soon as the two turnouts lie differently one of
//! the frogs is wrong.
//!
//! Good: one changeover for each frog; a drive with two contacts feeds a second frog with the
//! second.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::circuit::{PartKind, PinRef};
use crate::diag::Diagnostic;
use crate::parse::TurnoutId;
use crate::track::RailPlace;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    code: "contact-used-twice",
    title: "A changeover contact is used for more than one frog.",
    why: "A contact follows one turnout. A second frog on it is right only while both turnouts happen to lie \
          alike.",
    mend: "Give each frog a contact of its own: a second one on the drive, a microswitch or a relay.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    let mut users: BTreeMap<PinRef, Vec<TurnoutId>> = BTreeMap::new();
    for contact in &view.circuit.contacts {
        users.entry(contact.common()).or_default().push(contact.turnout);
        let own = match view.circuit[contact.part].kind {
            PartKind::Drive { turnout, .. }
            | PartKind::Microswitch { turnout }
            | PartKind::Relay { turnout, .. } => turnout,
            _ => contact.turnout,
        };
        if own != contact.turnout {
            users.entry(contact.common()).or_default().push(own);
        }
    }
    for (pin, frogs) in &mut users {
        frogs.extend(frogs_on(view, *pin));
        frogs.sort_unstable();
        frogs.dedup();
        if frogs.len() < 2 {
            continue;
        }
        let names = list(frogs.iter().map(|t| view.turnout(*t)));
        let message = format!("the contact at {} serves {names} together", view.circuit.pin_name(*pin));
        let diagnostic = Diagnostic::error(RULE.code, message)
            .help("give each of these frogs a changeover contact of its own");
        found
            .push(frogs.iter().fold(diagnostic, |d, t| d.label(view.document[*t].span, "uses this contact")));
    }
    found
}

/// The turnouts whose frogs are joined to the net of a pin.
fn frogs_on(view: &View, pin: PinRef) -> Vec<TurnoutId> {
    let Some(net) = view.circuit.pin(pin).net else { return Vec::new() };
    let frog = |p: &PinRef| match view.circuit[p.part].kind {
        PartKind::Rail { rail } => match view.rails.rails[rail.0].place {
            RailPlace::Frog(turnout) => Some(turnout),
            _ => None,
        },
        _ => None,
    };
    view.circuit[net].pins.iter().filter_map(frog).collect()
}
