//! The contact that carries each changeover: outers from the conductors of the section the frog lies
//! in, common to the frog or to the conductor of a reversing section.

use super::Builder;
use super::track::TrackSide;
use crate::circuit::{CONTACT_PINS, PartId, PartKind, Place};
use crate::drives::{ChangeoverId, Decider, SelectorId, fed};
use crate::parse::{BarId, FrogFeedBy};
use crate::track::Position;

pub(super) fn build(b: &mut Builder, track: &TrackSide) {
    for id in (0..b.plan.changeovers.len()).map(ChangeoverId) {
        let changeover = b.plan.changeover(id);
        let found = match (changeover.by, changeover.decider) {
            (FrogFeedBy::Contact, Decider::Bar(bar)) => {
                b.circuit.find(|k| matches!(k, PartKind::Drive { bar: of, .. } if of == bar))
            }
            (FrogFeedBy::Relay, Decider::Bar(bar)) => {
                b.circuit.find(|k| matches!(k, PartKind::Relay { bar: of, .. } if of == bar))
            }
            (_, Decider::Bar(bar)) => Some(microswitch(b, id, bar)),
            (FrogFeedBy::ReverserModule, Decider::Selector(selector)) => {
                module(b, track, id, selector);
                continue;
            }
            (_, Decider::Selector(selector)) => Some(switch(b, id, selector)),
        };
        // A drive without so many contacts, a relay that nothing can work: reported with the plan.
        let Some((part, pins)) = found.and_then(|part| Some((part, free_contact(b, part)?))) else {
            continue;
        };
        let [common, normal, reverse] = pins;
        let at = Position::ALL.map(|p| track.net(b.plan.changeover(id).at(p)));
        b.connect(at[0], part, normal);
        b.connect(at[1], part, reverse);
        b.connect(track.fed(id), part, common);
        b.contact(part, id, pins);
    }
}

/// The first of a part's changeovers that nothing is wired to.
fn free_contact(b: &Builder, part: PartId) -> Option<[&'static str; 3]> {
    let free = |name: &str| b.circuit[part].pins.iter().any(|p| p.name == name && p.net.is_none());
    CONTACT_PINS.into_iter().find(|pins| pins.iter().all(|p| free(p)))
}

fn microswitch(b: &mut Builder, id: ChangeoverId, bar: BarId) -> PartId {
    let number = b.plan.of(bar).map_or(1, |p| p.number);
    let board = b.document.turnout_of(bar).board;
    let own = b.plan.changeover(id).turnout(b.rails) == Some(b.document[bar].turnout);
    let name = &b.document[bar].name;
    let reason = if own {
        format!("follows the tie bar of {name}")
    } else {
        format!(
            "follows the tie bar of {name} for {}",
            fed(b.document, b.rails, &b.plan.changeover(id).feeds)
        )
    };
    let kind = PartKind::Microswitch { bar };
    b.numbered(kind, number, Place::Board(board), "microswitch, changeover", reason, &CONTACT_PINS[0])
}

/// The panel switch of a selector, made for its first changeover with a pole for each.
fn switch(b: &mut Builder, id: ChangeoverId, selector: SelectorId) -> PartId {
    let kind = PartKind::PolaritySwitch { selector };
    if let Some(part) = b.circuit.find(|k| k == kind) {
        return part;
    }
    let poles = b.plan.following(b.plan.changeover(id).decider).count();
    let spec = b.plan.selector(selector);
    let value = match poles {
        1 => "toggle, single-pole changeover".to_owned(),
        2 => "toggle, double-pole changeover".to_owned(),
        n => format!("switch, {n}-pole changeover"),
    };
    let reason =
        format!("sets {}: normal for {}, reverse for {}", spec.name, spec.positions[0], spec.positions[1]);
    let pins: Vec<&'static str> = super::contact_pins(poles).collect();
    b.numbered(kind, 1, Place::Panel, value, reason, &pins)
}

/// An automatic reverser: its outputs X and Y lie on its inputs A and B, straight or crossed.
fn module(b: &mut Builder, track: &TrackSide, id: ChangeoverId, selector: SelectorId) {
    let kind = PartKind::ReverserModule { selector };
    let changeover = b.plan.changeover(id).clone();
    let part = match b.circuit.find(|k| k == kind) {
        Some(part) => part,
        None => {
            let spec = b.plan.selector(selector);
            let (board, reason) = (spec.board, format!("turns the polarity of {} by itself", spec.name));
            let pins = ["A", "B", "X", "Y"];
            let part = b.numbered(kind, 80, Place::Board(board), "reverser module", reason, &pins);
            let zone = changeover.at[0].zone;
            for feed in crate::track::Feed::ALL {
                b.connect(track.net(crate::track::Pole { zone, feed }), part, feed.letter());
            }
            part
        }
    };
    let free = |name: &str| b.circuit[part].pins.iter().any(|p| p.name == name && p.net.is_none());
    let Some(output) = ["X", "Y"].into_iter().find(|o| free(o)) else { return };
    b.connect(track.fed(id), part, output);
    let [normal, reverse] = changeover.at.map(|pole| pole.feed.letter());
    b.contact(part, id, [output, normal, reverse]);
}
