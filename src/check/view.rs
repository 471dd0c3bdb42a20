//! The finished design as the rules see it.

use super::words::{list, wires};
use crate::circuit::{Circuit, Contact, PartId, PartKind, PinRef};
use crate::diag::Diagnostic;
use crate::drives::{Plan, Sizing};
use crate::hardware::Wiring;
use crate::parse::{Document, TurnoutId};
use crate::proof::{Culprit, Node, RailProof, Step};
use crate::source::Span;
use crate::track::{Feed, Position, RailId, RailPlace, Rails};

/// Borrows of everything a rule may look at.
#[derive(Clone, Copy)]
pub struct View<'a> {
    pub document: &'a Document,
    pub rails: &'a Rails,
    pub plan: &'a Plan,
    pub sizing: &'a Sizing,
    pub circuit: &'a Circuit,
    pub wiring: &'a Wiring,
    pub proof: &'a RailProof,
}

impl<'a> View<'a> {
    pub fn of(
        document: &'a Document,
        rails: &'a Rails,
        plan: &'a Plan,
        sizing: &'a Sizing,
        circuit: &'a Circuit,
        wiring: &'a Wiring,
        proof: &'a RailProof,
    ) -> View<'a> {
        View { document, rails, plan, sizing, circuit, wiring, proof }
    }

    pub(super) fn turnout(&self, turnout: TurnoutId) -> &'a str {
        &self.document[turnout].name.value
    }

    pub(super) fn rail(&self, rail: RailId) -> &'a str {
        &self.rails.rails[rail.0].name
    }

    pub(super) fn rails_named(&self, rails: &[RailId]) -> String {
        list(rails.iter().map(|r| self.rail(*r)))
    }

    /// Where the file speaks of a rail's track or turnout.
    pub(super) fn rail_span(&self, rail: RailId) -> Span {
        match self.rails.rails[rail.0].place {
            RailPlace::Track(track, _) => self.document[track].span,
            RailPlace::Stock(t, _) | RailPlace::Frog(t) | RailPlace::Inner(t, _) => self.document[t].span,
        }
    }

    /// Where the file speaks of what a part belongs to.
    pub(super) fn part_span(&self, part: PartId) -> Option<Span> {
        match self.circuit[part].kind {
            PartKind::Control { control, .. } | PartKind::Decoder { control } => {
                Some(self.document[control].span)
            }
            PartKind::Drive { turnout, .. }
            | PartKind::Microswitch { turnout }
            | PartKind::Relay { turnout, .. } => Some(self.document[turnout].span),
            PartKind::Rail { rail } => Some(self.rail_span(rail)),
            PartKind::TrackSupply => Some(self.document.track_power.span),
            _ => None,
        }
    }

    /// Labels each of the rails' tracks and turnouts once.
    pub(super) fn label_rails(&self, mut diagnostic: Diagnostic, rails: &[RailId], text: &str) -> Diagnostic {
        let mut spans: Vec<Span> = rails.iter().map(|r| self.rail_span(*r)).collect();
        spans.sort_unstable();
        spans.dedup();
        for span in spans {
            diagnostic = diagnostic.label(span, text);
        }
        diagnostic
    }

    /// "wire 12", "wires 12 and 14", "no wire".
    pub(super) fn wires_at(&self, pin: PinRef) -> String {
        let numbers: Vec<String> = self.wiring.at_pin(pin).map(|w| w.number.to_string()).collect();
        if numbers.is_empty() { "no wire".into() } else { wires(&numbers) }
    }

    /// "track A – T1 left stock rail – T1 frog"
    pub(super) fn way(&self, path: &[Step]) -> String {
        let name = |step: &Step| match step.node {
            Node::Rail(rail) => Some(self.rail(rail).to_owned()),
            Node::Net(net) => Some(self.circuit[net].name.clone()),
            Node::Source(_) => None,
        };
        path.iter().filter_map(name).collect::<Vec<_>>().join(" – ")
    }

    /// What to do about a culprit.
    pub(super) fn mend(&self, culprit: &Culprit) -> String {
        match culprit {
            Culprit::Contact { contact, positions } => {
                self.mend_contact(&self.circuit.contacts[*contact], positions)
            }
            Culprit::Dropper { pin, rail } => {
                let to = self.rails.rails[rail.0].feed.map_or("its own feed", Feed::letter);
                format!("move {} at {} to feed {to}", self.wires_at(*pin), self.rail(*rail))
            }
            Culprit::Metal { a, b } => {
                format!("part {} and {} by an insulated joint", self.rail(*a), self.rail(*b))
            }
        }
    }

    fn mend_contact(&self, contact: &Contact, positions: &[Position]) -> String {
        let [normal, reverse] = Position::ALL.map(|p| contact.outer(p));
        if positions.len() == 2 {
            return format!(
                "the outer pins of the contact are the wrong way round: swap {} at {} with {} at {}",
                self.wires_at(normal),
                self.circuit.pin_name(normal),
                self.wires_at(reverse),
                self.circuit.pin_name(reverse),
            );
        }
        let each = positions.iter().map(|p| {
            let pin = contact.outer(*p);
            let to = self.rails.frog(contact.turnout).map_or("?", |need| need.at(*p).1.letter());
            format!("{} must go to feed {to} ({} ends there)", self.circuit.pin_name(pin), self.wires_at(pin))
        });
        list(each)
    }

    /// Labels what a culprit belongs to.
    pub(super) fn label_culprit(&self, diagnostic: Diagnostic, culprit: &Culprit) -> Diagnostic {
        match culprit {
            Culprit::Contact { contact, .. } => {
                let contact = &self.circuit.contacts[*contact];
                let text =
                    format!("its frog is fed by the contact in {}", self.circuit[contact.part].designation);
                diagnostic.label(self.document[contact.turnout].span, text)
            }
            Culprit::Dropper { rail, .. } => {
                diagnostic.label(self.rail_span(*rail), "a dropper on the wrong feed")
            }
            Culprit::Metal { a, b } => self.label_rails(diagnostic, &[*a, *b], "these rails touch"),
        }
    }

    /// Labels and help of a fault: its culprits, or else `otherwise`.
    pub(super) fn blame(
        &self,
        mut diagnostic: Diagnostic,
        culprits: &[Culprit],
        otherwise: &str,
    ) -> Diagnostic {
        for culprit in culprits {
            diagnostic = self.label_culprit(diagnostic, culprit);
        }
        let mends: Vec<String> = culprits.iter().map(|c| self.mend(c)).collect();
        diagnostic.help(if mends.is_empty() { otherwise.to_owned() } else { mends.join("; ") })
    }
}
