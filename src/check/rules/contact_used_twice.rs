//! One changeover contact serves purposes that need not go together, or follows another tie bar
//! than the one it should.
//!
//! Bad: the frogs of two turnouts on the common of one contact. As soon as the two turnouts lie
//! differently one of the frogs is wrong.
//!
//! Good: one changeover for each frog; a drive with two contacts feeds a second frog with the
//! second. Frogs of one turnout that always need the same feed may share a contact.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::circuit::{Contact, NetId, PartKind};
use crate::diag::Diagnostic;
use crate::drives::{Decider, Feeds};
use crate::source::Span;
use crate::track::FrogId;
use std::collections::{BTreeMap, BTreeSet};

pub const RULE: Rule = Rule {
    code: "contact-used-twice",
    title: "A changeover contact is used for frogs that need not lie alike.",
    why: "A contact follows one tie bar. A second frog on it is right only while both happen to need the same.",
    mend: "Give each frog a contact of its own: a second one on the drive, a microswitch or a relay.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found: Vec<Diagnostic> = view.circuit.contacts.iter().filter_map(|c| astray(view, c)).collect();
    let mut commons: BTreeMap<NetId, Vec<&Contact>> = BTreeMap::new();
    for contact in &view.circuit.contacts {
        if let Some(net) = view.circuit.pin(contact.common()).net {
            commons.entry(net).or_default().push(contact);
        }
    }
    for (net, contacts) in &commons {
        let frogs = frogs(view, *net, contacts);
        let shared = contacts.len() == 1 && alike(view, *net, contacts[0], &frogs);
        if shared {
            continue;
        }
        let places = list(contacts.iter().map(|c| view.circuit.pin_name(c.common())));
        let served = list(frogs.iter().map(|f| view.frog(*f)));
        let message = match (contacts.len(), served.is_empty()) {
            (1, _) => format!("the contact at {places} serves {served} together"),
            (_, true) => format!("the contacts at {places} are joined"),
            (_, false) => format!("the contacts at {places} are joined; they serve {served} together"),
        };
        let mut diagnostic = Diagnostic::error(RULE.code, message)
            .help("give each of these frogs a changeover contact of its own");
        let turnouts = frogs.iter().map(|f| view.document[view.rails[*f].turnout].span);
        let sections = contacts.iter().filter_map(|c| view.changeover_span(c.changeover));
        let spans: BTreeSet<Span> = turnouts.chain(sections).collect();
        for span in spans {
            diagnostic = diagnostic.label(span, "uses this contact");
        }
        found.push(diagnostic);
    }
    found
}

/// Frogs on a common net, and those that its contacts are meant for.
fn frogs(view: &View, net: NetId, contacts: &[&Contact]) -> BTreeSet<FrogId> {
    let of_rail = |rail| view.rails.frogs.iter().position(|f| f.rail == rail).map(FrogId);
    let joined = view.circuit[net].pins.iter().filter_map(|p| match view.circuit[p.part].kind {
        PartKind::Rail { rail } => of_rail(rail),
        _ => None,
    });
    let meant = contacts.iter().flat_map(|c| match &view.plan.changeover(c.changeover).feeds {
        Feeds::Frogs(frogs) => frogs.as_slice(),
        Feeds::Zone(_) => &[],
    });
    joined.chain(meant.copied()).collect()
}

/// Whether one changeover of the plan feeds all that is on a contact's net.
fn alike(view: &View, net: NetId, contact: &Contact, frogs: &BTreeSet<FrogId>) -> bool {
    // A reversing section has no frog on its conductors that changes on its own.
    if matches!(view.plan.changeover(contact.changeover).feeds, Feeds::Zone(_)) {
        return frogs.is_empty() && view.circuit.is_track_side(net);
    }
    view.plan.changeovers.iter().any(|c| match &c.feeds {
        Feeds::Frogs(fed) => frogs.iter().all(|f| fed.contains(f)),
        Feeds::Zone(_) => false,
    })
}

/// A contact in a part that follows something else than it should.
fn astray(view: &View, contact: &Contact) -> Option<Diagnostic> {
    let follows = match view.circuit[contact.part].kind {
        PartKind::Drive { bar, .. } | PartKind::Microswitch { bar } | PartKind::Relay { bar, .. } => {
            Decider::Bar(bar)
        }
        PartKind::PolaritySwitch { selector } | PartKind::ReverserModule { selector } => {
            Decider::Selector(selector)
        }
        _ => return None,
    };
    if follows == contact.decider {
        return None;
    }
    let message = format!(
        "the contact at {} follows {}, but what it feeds depends on {}",
        view.circuit.pin_name(contact.common()),
        view.decider(follows),
        view.decider(contact.decider)
    );
    let diagnostic = Diagnostic::error(RULE.code, message)
        .help(format!("use a contact that follows {}", view.decider(contact.decider)));
    let spans: BTreeSet<Span> =
        [follows, contact.decider].into_iter().filter_map(|d| view.decider_span(d)).collect();
    Some(spans.into_iter().fold(diagnostic, |d, span| d.label(span, "concerned by this contact")))
}
