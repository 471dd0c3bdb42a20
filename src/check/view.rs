//! The finished design as the rules see it.

use super::words::{list, wires};
use crate::circuit::{Circuit, Contact, PartId, PartKind, PinRef};
use crate::diag::Diagnostic;
use crate::drives::{ChangeoverId, Decider, Feeds, Plan, SelectorKind, Sizing};
use crate::hardware::Wiring;
use crate::parse::{Document, TurnoutId};
use crate::proof::{Culprit, Node, RailProof, Step};
use crate::source::Span;
use crate::track::{FrogId, Pole, Position, RailId, RailPlace, Rails, ZoneId};

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
        &self.rails[rail].name
    }

    /// "the frog of T1", "the T5 left frog"
    pub(super) fn frog(&self, frog: FrogId) -> String {
        crate::drives::fed(self.document, self.rails, &Feeds::Frogs(vec![frog]))
    }

    /// "A"; where the track has several sections "yard A".
    pub(super) fn pole(&self, pole: Pole) -> String {
        self.rails.pole_words(pole)
    }

    /// "T1", "the switch of loop"
    pub(super) fn decider(&self, decider: Decider) -> String {
        match decider {
            Decider::Bar(bar) => self.document[bar].name.clone(),
            Decider::Selector(id) => {
                let selector = self.plan.selector(id);
                let what = match selector.kind {
                    SelectorKind::Switch => "switch",
                    SelectorKind::Module => "module",
                };
                format!("the {what} of {}", selector.name)
            }
        }
    }

    /// Where the file speaks of what has the two positions; of a switch or module: of what it serves.
    pub(super) fn decider_span(&self, decider: Decider) -> Option<Span> {
        match decider {
            Decider::Bar(bar) => Some(self.document.turnout_of(bar).span),
            Decider::Selector(_) => self.changeover_span(self.plan.following(decider).next()?),
        }
    }

    /// Where the file speaks of what a changeover feeds.
    pub(super) fn changeover_span(&self, changeover: ChangeoverId) -> Option<Span> {
        let changeover = self.plan.changeover(changeover);
        match (&changeover.feeds, changeover.turnout(self.rails)) {
            (_, Some(turnout)) => Some(self.document[turnout].span),
            (Feeds::Zone(pole), None) => self.zone_span(pole.zone),
            (Feeds::Frogs(_), None) => None,
        }
    }

    /// The section of the file, or the track that was made a reversing section.
    fn zone_span(&self, zone: ZoneId) -> Option<Span> {
        let track = self.rails.reversing(zone).and_then(|r| r.tracks.first());
        let section = || self.document.sections.get(zone.0).map(|s| s.span).filter(|s| *s != Span::default());
        track.map(|t| self.document[*t].span).or_else(section)
    }

    pub(super) fn rails_named(&self, rails: &[RailId]) -> String {
        list(rails.iter().map(|r| self.rail(*r)))
    }

    /// Where the file speaks of a rail's track or turnout.
    pub(super) fn rail_span(&self, rail: RailId) -> Span {
        match self.rails[rail].place {
            RailPlace::Track(track, _) => self.document[track].span,
            RailPlace::Stock(t, _) | RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => self.document[t].span,
        }
    }

    /// Where the file speaks of what a part belongs to.
    pub(super) fn part_span(&self, part: PartId) -> Option<Span> {
        match self.circuit[part].kind {
            PartKind::Control { control, .. } | PartKind::Decoder { control } => {
                Some(self.document[control].span)
            }
            PartKind::RouteButton { route } | PartKind::Diode { route } | PartKind::Link { route } => {
                Some(self.document[route].span)
            }
            PartKind::Drive { bar, .. } | PartKind::Microswitch { bar } | PartKind::Relay { bar, .. } => {
                Some(self.document.turnout_of(bar).span)
            }
            PartKind::PolaritySwitch { selector } | PartKind::ReverserModule { selector } => {
                self.decider_span(Decider::Selector(selector))
            }
            PartKind::DistrictCutout { zone } | PartKind::SectionSwitch { zone } => self.zone_span(zone),
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
    pub(crate) fn way(&self, path: &[Step]) -> String {
        let name = |step: &Step| match step.node {
            Node::Rail(rail) => Some(self.rail(rail).to_owned()),
            Node::Net(net) => Some(self.circuit[net].name.clone()),
            Node::Source(_) => None,
        };
        path.iter().filter_map(name).collect::<Vec<_>>().join(" – ")
    }

    /// What to do about a culprit.
    pub(crate) fn mend(&self, culprit: &Culprit) -> String {
        match culprit {
            Culprit::Contact { contact, positions } => {
                self.mend_contact(&self.circuit.contacts[*contact], positions)
            }
            Culprit::Dropper { pin, rail } => {
                let to = self.rails[*rail]
                    .pole
                    .map_or("its own feed".into(), |p| format!("feed {}", self.pole(p)));
                format!("move {} at {} to {to}", self.wires_at(*pin), self.rail(*rail))
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
            let to = self.pole(self.plan.changeover(contact.changeover).at(*p));
            format!("{} must go to feed {to} ({} ends there)", self.circuit.pin_name(pin), self.wires_at(pin))
        });
        list(each)
    }

    /// Labels what a culprit belongs to.
    pub(super) fn label_culprit(&self, diagnostic: Diagnostic, culprit: &Culprit) -> Diagnostic {
        match culprit {
            Culprit::Contact { contact, .. } => {
                let contact = &self.circuit.contacts[*contact];
                let changeover = self.plan.changeover(contact.changeover);
                let what = match (&changeover.feeds, changeover.turnout(self.rails)) {
                    (Feeds::Zone(_), _) => "this section",
                    (Feeds::Frogs(_), Some(t)) if self.document[t].kind.bars().len() != 1 => "a frog of it",
                    _ => "its frog",
                };
                let text =
                    format!("{what} is fed by the contact in {}", self.circuit[contact.part].designation);
                match self.changeover_span(contact.changeover) {
                    Some(span) => diagnostic.label(span, text),
                    None => diagnostic,
                }
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
