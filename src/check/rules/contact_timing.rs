//! Live frogs as supplied: their contacts have to change at mid-travel.
//!
//! Bad: a contact that changes while a blade of a live frog still touches its stock rail: the
//! contact gives the frog one feed, the blade the other, each time the turnout moves.
//!
//! Good: the contact set so that it changes while no blade touches; or the blades bonded to their
//! stock rails and cut from the frog, when the moment no longer matters (`isolated-with-wire`).

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::circuit::{Contact, PartKind};
use crate::diag::Diagnostic;
use crate::drives::Decider;
use crate::parse::{BarId, FrogKind, TurnoutId};
use std::collections::BTreeSet;

pub const RULE: Rule = Rule {
    code: "contact-timing",
    title: "Contacts of live frogs must change at mid-travel.",
    why: "Blades, closure rails and frog are one metal. If the contact changes while a blade still touches its \
          stock rail, the feeds touch each time the turnout moves.",
    mend: "Set each of these contacts so that it changes while neither blade touches. Or bond the blades to \
           their stock rails, cut them from the frog and say frog = \"isolated-with-wire\".",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let live: BTreeSet<(TurnoutId, BarId)> = contacts(view).map(|(turnout, bar, _)| (turnout, bar)).collect();
    let mut turnouts: Vec<TurnoutId> = live.iter().map(|(turnout, _)| *turnout).collect();
    turnouts.dedup();
    let Some(first) = turnouts.first() else { return Vec::new() };
    let mut found = by_relay(view);
    let names = list(turnouts.iter().map(|t| view.turnout(*t)));
    let whose = if live.len() == 1 { "the frog contact" } else { "the frog contacts" };
    found.push(
        Diagnostic::note(RULE.code, format!("{whose} of {names} must change at mid-travel, while no blade touches"))
            .label(view.document[*first].span, "a live frog, one metal with its blades")
            .help("set the contact when the drive is fitted: half-way, neither blade touches and the contact changes"),
    );
    found
}

/// Contacts of live frogs that are one metal with blades, with the turnout and the bar they follow.
fn contacts<'a>(view: &'a View<'a>) -> impl Iterator<Item = (TurnoutId, BarId, &'a Contact)> {
    view.circuit.contacts.iter().filter_map(|contact| {
        let Decider::Bar(bar) = contact.decider else { return None };
        let turnout = view.plan.changeover(contact.changeover).turnout(view.rails)?;
        let spec = &view.document[turnout];
        (*spec.frog == FrogKind::Live && spec.kind.has_toe()).then_some((turnout, bar, contact))
    })
}

/// A relay changes with the command, before the blades have moved at all.
fn by_relay(view: &View) -> Vec<Diagnostic> {
    let relays =
        contacts(view).filter(|(_, _, c)| matches!(view.circuit[c.part].kind, PartKind::Relay { .. }));
    let relays: BTreeSet<(TurnoutId, BarId)> = relays.map(|(turnout, bar, _)| (turnout, bar)).collect();
    relays
        .into_iter()
        .map(|(turnout, bar)| {
            let name = &view.document[bar].name;
            Diagnostic::warning(
                RULE.code,
                format!(
                    "the relay of {name} changes as soon as the control does, while a blade of its live frog still \
                     touches: a short until the blades have left"
                ),
            )
            .label(view.document[turnout].span, "a live frog fed by a relay")
            .help("use frog-feed = \"microswitch\", or bond the blades to their stock rails and cut them from the frog")
        })
        .collect()
}
