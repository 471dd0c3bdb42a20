//! What most likely makes a fault: the circuit against what was planned.

use super::conductors::{Link, Node, Via};
use super::rails::Prover;
use super::{Culprit, Step};
use crate::circuit::{Contact, NetKind};
use crate::track::{Position, RailId};

impl Prover<'_> {
    /// Contacts among these that have an outer on the wrong conductor.
    pub(super) fn wrong_contacts(&self, among: impl Fn(&Contact) -> bool) -> Vec<Culprit> {
        let mut found = Vec::new();
        for (i, contact) in self.circuit.contacts.iter().enumerate().filter(|(_, c)| among(c)) {
            let planned = self.plan.changeover(contact.changeover);
            let has = |p| self.circuit.pin(contact.outer(p)).net.map(|n| self.circuit[n].kind);
            let positions: Vec<Position> = Position::ALL
                .into_iter()
                .filter(|p| has(*p) != Some(NetKind::Track(planned.at(*p))))
                .collect();
            if !positions.is_empty() {
                found.push(Culprit::Contact { contact: i, positions });
            }
        }
        found
    }

    /// Links on the way that should not be: a frog in one metal with a rail of a fixed feed, or what
    /// is planned for one conductor joined to what is planned for another.
    pub(super) fn wrong_links(&self, path: &[Step]) -> Vec<Culprit> {
        let frog = |r: RailId| self.rails[r].pole.is_none();
        let link = |pair: &[Step]| match (pair[0].node, pair[1].node, pair[1].via?) {
            (Node::Rail(a), Node::Rail(b), Via::Metal) if frog(a) != frog(b) => Some(Culprit::Metal { a, b }),
            (Node::Net(net), Node::Rail(rail), via) | (Node::Rail(rail), Node::Net(net), via) => {
                self.misjoined(&Link { a: rail.0, b: self.conductors.index(Node::Net(net)), via })
            }
            (Node::Rail(a), Node::Rail(b), via) => self.misjoined(&Link { a: a.0, b: b.0, via }),
            _ => None,
        };
        path.windows(2).filter_map(link).collect()
    }

    /// Wires of a section that go to another conductor than its rails'.
    pub(super) fn wrong_droppers(&self, section: usize) -> Vec<Culprit> {
        let c = &self.conductors;
        c.links.iter().filter(|l| c.section[l.a] == section).filter_map(|l| self.misjoined(l)).collect()
    }

    /// A link that joins what is planned for one conductor to what is planned for another.
    pub(super) fn misjoined(&self, link: &Link) -> Option<Culprit> {
        let planned = |i| self.conductors.planned(i, self.rails, self.circuit);
        let (Some(a), Some(b)) = (planned(link.a), planned(link.b)) else { return None };
        match link.via {
            Via::Metal if a != b => Some(Culprit::Metal { a: RailId(link.a), b: RailId(link.b) }),
            Via::Pin(pin) if a != b && link.a < self.rails.rails.len() => {
                Some(Culprit::Dropper { pin, rail: RailId(link.a) })
            }
            _ => None,
        }
    }
}
