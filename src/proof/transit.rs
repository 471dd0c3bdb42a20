//! The moments between positions: blades on their way, and wheels on an insulated joint.

use crate::circuit::{Circuit, PartKind};
use crate::drives::{ChangeoverId, Decider, Plan};
use crate::parse::BarId;
use crate::track::{Connection, Pole, Rails};

/// A frog that is one metal with its blades: if the contact changes while a blade still touches,
/// two conductors meet through the frog.
#[derive(Clone, Debug, PartialEq)]
pub struct Moving {
    pub bar: BarId,
    pub changeover: ChangeoverId,
    /// What meets.
    pub poles: (Pole, Pole),
    /// Whether the moment can be set: a contact on the drive or tie bar can be made to change at
    /// mid-travel, a relay changes with the command.
    pub can_be_set: bool,
}

/// A joint between two conductors that are fed apart: wheels on it join them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bridged {
    /// By its place in [`Rails::joints`].
    pub joint: usize,
    pub inside: Pole,
    pub outside: Pole,
}

/// Every frog whose blades and contact can disagree while they move.
pub fn moving(rails: &Rails, plan: &Plan, circuit: &Circuit) -> Vec<Moving> {
    let mut found = Vec::new();
    for (i, changeover) in plan.changeovers.iter().enumerate() {
        let (Decider::Bar(bar), crate::drives::Feeds::Frogs(frogs)) = (changeover.decider, &changeover.feeds)
        else {
            continue;
        };
        let touched = frogs.iter().any(|f| {
            let node = petgraph::graph::NodeIndex::new(rails[*f].rail.0);
            rails.graph.edges(node).any(|e| matches!(e.weight(), Connection::Blade(..)))
        });
        let Some(contact) = circuit.contact_of(ChangeoverId(i)) else { continue };
        if touched && changeover.at[0] != changeover.at[1] {
            let can_be_set = !matches!(circuit[contact.part].kind, PartKind::Relay { .. });
            let poles = (changeover.at[0], changeover.at[1]);
            found.push(Moving { bar, changeover: ChangeoverId(i), poles, can_be_set });
        }
    }
    found
}

/// Joints at the borders of sections.
pub fn bridged(rails: &Rails) -> Vec<Bridged> {
    let joint = |(i, joint): (usize, &crate::track::Joint)| {
        let (inside, outside) = (rails[joint.inside].pole?, rails[joint.outside].pole?);
        (inside.zone != outside.zone).then_some(Bridged { joint: i, inside, outside })
    };
    rails.joints.iter().enumerate().filter_map(joint).collect()
}
