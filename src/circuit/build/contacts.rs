//! The contact that feeds each frog: outers from the feeds of the turnout's own stock rails,
//! common to the frog.

use super::Builder;
use super::track::TrackSide;
use crate::circuit::{PartId, PartKind, Pin, Place};
use crate::parse::FrogFeedBy;
use crate::track::Position;

pub(super) fn build(b: &mut Builder, track: &TrackSide) {
    for need in b.rails.frogs.clone() {
        let Some(member) = b.plan.of(need.turnout).cloned() else { continue };
        let Some(frog) = track.frog(need.turnout) else { continue };
        let Some(by) = member.frog_feed else { continue };
        let found = b.circuit.find(|k| match by {
            FrogFeedBy::Contact => matches!(k, PartKind::Drive { turnout, .. } if turnout == need.turnout),
            FrogFeedBy::Relay => matches!(k, PartKind::Relay { turnout, .. } if turnout == need.turnout),
            FrogFeedBy::Microswitch => false,
        });
        let part: PartId = match found {
            Some(part) => part,
            None => {
                let turnout = &b.document[need.turnout];
                b.numbered(
                    PartKind::Microswitch { turnout: need.turnout },
                    member.number,
                    Place::Board(turnout.board),
                    "microswitch, changeover",
                    format!("follows the tie bar of {}", *turnout.name),
                    &crate::circuit::CONTACT_PINS,
                )
            }
        };
        if !b.circuit[part].pins.iter().any(Pin::is_contact) {
            continue; // a drive without contacts: reported when it was planned
        }
        b.connect(track.net(need.at(Position::Normal).1), part, "12");
        b.connect(track.net(need.at(Position::Reverse).1), part, "14");
        b.connect(frog, part, "11");
        b.contact(part, need.turnout);
    }
}
