//! Live frogs as supplied: their contacts have to change at mid-travel.
//!
//! Bad: a contact that changes while a blade of a live frog still touches its stock rail: the
//! contact gives the frog one feed, the blade the other, each time the turnout moves.
//!
//! Good: the contact set so that it changes while no blade touches; or the blades bonded to their
//! stock rails and cut from the frog, when the moment no longer matters (`isolated-with-wire`).

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::circuit::PartKind;
use crate::diag::Diagnostic;
use crate::parse::{FrogKind, TurnoutId};

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
    let live: Vec<_> = view
        .circuit
        .contacts
        .iter()
        .map(|c| c.turnout)
        .filter(|t| *view.document[*t].frog == FrogKind::Live)
        .collect();
    if live.is_empty() {
        return Vec::new();
    }
    let mut found = by_relay(view, &live);
    let names = list(live.iter().map(|t| view.turnout(*t)));
    let whose = if live.len() == 1 { "the frog contact" } else { "the frog contacts" };
    found.push(
        Diagnostic::note(RULE.code, format!("{whose} of {names} must change at mid-travel, while no blade touches"))
            .label(view.document[live[0]].span, "a live frog, one metal with its blades")
            .help("set the contact when the drive is fitted: half-way, neither blade touches and the contact changes"),
    );
    found
}

/// A relay changes with the command, before the blades have moved at all.
fn by_relay(view: &View, live: &[TurnoutId]) -> Vec<Diagnostic> {
    let relay = |t: &&TurnoutId| {
        let contact = view.circuit.contact_of(**t);
        contact.is_some_and(|c| matches!(view.circuit[c.part].kind, PartKind::Relay { .. }))
    };
    live.iter()
        .filter(relay)
        .map(|t| {
            let name = view.turnout(*t);
            Diagnostic::warning(
                RULE.code,
                format!(
                    "the relay of {name} changes as soon as the control does, while a blade of its live frog still \
                     touches: a short until the blades have left"
                ),
            )
            .label(view.document[*t].span, "a live frog fed by a relay")
            .help("use frog-feed = \"microswitch\", or bond the blades to their stock rails and cut them from the frog")
        })
        .collect()
}
