//! Makes the circuit: the track side first, then the accessory side, use by use.

mod contacts;
mod motors;
mod routes;
mod servos;
mod solenoids;
mod supplies;
mod track;

use super::designation::Designations;
use super::{
    CONTACT_PINS, Circuit, Contact, DriveSymbol, Net, NetId, NetKind, Part, PartId, PartKind, Pin, PinRef,
    Place,
};
use crate::drives::{BarPlan, ChangeoverId, Pairing, Plan, Sizing};
use crate::parse::{ControlId, ControlKind, Document, SupplyUse};
use crate::track::Rails;

/// The whole circuit of a layout.
pub fn build(document: &Document, rails: &Rails, plan: &Plan, sizing: &Sizing) -> Circuit {
    let mut b = Builder {
        document,
        rails,
        plan,
        sizing,
        circuit: Circuit::default(),
        names: Designations::new(document),
    };
    let track = track::build(&mut b);
    for use_plan in &plan.uses {
        match use_plan.kind {
            SupplyUse::Solenoids => solenoids::build(&mut b, use_plan, &track),
            SupplyUse::SlowMotion => motors::build(&mut b, use_plan, &track),
            SupplyUse::Servos => servos::build(&mut b, use_plan, &track),
        }
    }
    contacts::build(&mut b, &track);
    b.finish()
}

pub(super) struct Builder<'a> {
    pub document: &'a Document,
    pub rails: &'a Rails,
    pub plan: &'a Plan,
    pub sizing: &'a Sizing,
    pub circuit: Circuit,
    pub names: Designations,
}

impl Builder<'_> {
    pub fn part(
        &mut self,
        kind: PartKind,
        designation: String,
        place: Place,
        value: impl Into<String>,
        reason: impl Into<String>,
        pins: &[&'static str],
    ) -> PartId {
        let id = PartId(self.circuit.parts.len());
        self.circuit.parts.push(Part {
            designation,
            kind,
            place,
            value: value.into(),
            reason: reason.into(),
            pins: pins.iter().map(|name| Pin { name, net: None }).collect(),
        });
        id
    }

    /// A part whose designation is its class letter and a number.
    pub fn numbered(
        &mut self,
        kind: PartKind,
        number: usize,
        place: Place,
        value: impl Into<String>,
        reason: impl Into<String>,
        pins: &[&'static str],
    ) -> PartId {
        let designation = self.names.take(kind.class_letter(), number);
        self.part(kind, designation, place, value, reason, pins)
    }

    pub fn net(&mut self, name: impl Into<String>, kind: NetKind) -> NetId {
        let id = NetId(self.circuit.nets.len());
        self.circuit.nets.push(Net { name: name.into(), kind, pins: Vec::new() });
        id
    }

    /// Joins a pin to a net. A pin that is already joined, or that the part does not have, is a
    /// mistake in this folder.
    pub fn connect(&mut self, net: NetId, part: PartId, pin: &str) {
        let found = self.circuit[part].pins.iter().position(|p| p.name == pin && p.net.is_none());
        let Some(at) = found else {
            unreachable!("{} has no free pin {pin}", self.circuit[part].designation)
        };
        self.circuit.parts[part.0].pins[at].net = Some(net);
        self.circuit.nets[net.0].pins.push(PinRef { part, pin: at });
    }

    /// Takes all pins off a net again: they stay open, and the net goes.
    pub fn undo(&mut self, net: NetId) {
        for pin in std::mem::take(&mut self.circuit.nets[net.0].pins) {
            self.circuit.parts[pin.part.0].pins[pin.pin].net = None;
        }
    }

    /// Adds one more pin to a bus, or to a rail, and joins it.
    pub fn tap(&mut self, net: NetId, part: PartId, name: &'static str) {
        self.circuit.parts[part.0].pins.push(Pin { name, net: None });
        let pin = self.circuit[part].pins.len() - 1;
        self.circuit.parts[part.0].pins[pin].net = Some(net);
        self.circuit.nets[net.0].pins.push(PinRef { part, pin });
    }

    /// Notes that a part's pins (common, normal, reverse) carry a changeover.
    pub fn contact(&mut self, part: PartId, changeover: ChangeoverId, pins: [&str; 3]) {
        let pin = |name: &str| {
            let at = self.circuit[part].pins.iter().position(|p| p.name == name);
            at.unwrap_or_else(|| unreachable!("a contact has the pin {name}"))
        };
        let [common, normal, reverse] = pins.map(pin);
        let decider = self.plan.changeover(changeover).decider;
        self.circuit.contacts.push(Contact { part, changeover, decider, common, normal, reverse });
    }

    /// The members of a use, as planned, in drawing order.
    pub fn members(&self, use_kind: SupplyUse) -> Vec<BarPlan> {
        let Some(use_plan) = self.plan.use_of(use_kind) else { return Vec::new() };
        self.plan.bars.iter().filter(|t| use_plan.members.contains(&t.bar)).cloned().collect()
    }

    /// The controls of a use that are on the panel, in drawing order, each with its turnouts.
    pub fn panel_controls(&self, use_kind: SupplyUse) -> Vec<(ControlId, Vec<BarPlan>)> {
        self.controls(use_kind, |p| !p.by_decoder())
    }

    pub fn decoder_controls(&self, use_kind: SupplyUse) -> Vec<(ControlId, Vec<BarPlan>)> {
        self.controls(use_kind, Pairing::by_decoder)
    }

    fn controls(
        &self,
        use_kind: SupplyUse,
        wanted: impl Fn(Pairing) -> bool,
    ) -> Vec<(ControlId, Vec<BarPlan>)> {
        let mut found: Vec<(ControlId, Vec<BarPlan>)> = Vec::new();
        for member in self.members(use_kind) {
            if !wanted(member.pairing) {
                continue;
            }
            match found.iter_mut().find(|(c, _)| *c == member.control) {
                Some((_, list)) => list.push(member),
                None => found.push((member.control, vec![member])),
            }
        }
        found
    }

    pub fn control_part(&mut self, control: ControlId, poles: usize, pins: &[&'static str]) -> PartId {
        let spec = &self.document[control];
        let names: Vec<&str> = spec.throws.iter().map(|t| self.document[t.value].name.as_str()).collect();
        let kind: ControlKind = *spec.with;
        let (value, designation) = (control_value(kind, poles), spec.name.value.clone());
        self.part(
            PartKind::Control { control, kind, poles },
            designation,
            Place::Panel,
            value,
            format!("throws {}", names.join(" and ")),
            pins,
        )
    }

    pub fn drive_part(&mut self, member: &BarPlan, symbol: DriveSymbol, pins: &[&'static str]) -> PartId {
        let drive = self.document.drive_of(member.bar);
        let mut pins = pins.to_vec();
        let used = self.plan.carried(member.bar, crate::parse::FrogFeedBy::Contact);
        pins.extend(contact_pins(used.min(drive.contacts)));
        self.numbered(
            PartKind::Drive { bar: member.bar, pattern: symbol },
            member.number,
            Place::Board(self.document.turnout_of(member.bar).board),
            drive_value(drive),
            format!("drives {}", self.document[member.bar].name),
            &pins,
        )
    }

    fn finish(mut self) -> Circuit {
        // A pin on a net of its own is an open pin.
        for net in 0..self.circuit.nets.len() {
            if self.circuit.nets[net].pins.len() == 1 {
                let pin = self.circuit.nets[net].pins[0];
                self.circuit.parts[pin.part.0].pins[pin.pin].net = None;
                self.circuit.nets[net].pins.clear();
            }
        }
        let kept: Vec<usize> =
            (0..self.circuit.nets.len()).filter(|n| !self.circuit.nets[*n].pins.is_empty()).collect();
        for part in &mut self.circuit.parts {
            for pin in &mut part.pins {
                pin.net = pin.net.and_then(|n| kept.binary_search(&n.0).ok().map(NetId));
            }
        }
        self.circuit.nets = kept.into_iter().map(|n| self.circuit.nets[n].clone()).collect();
        self.circuit
    }
}

/// The pins of so many changeover contacts.
pub(super) fn contact_pins(contacts: usize) -> impl Iterator<Item = &'static str> {
    CONTACT_PINS.iter().take(contacts).flatten().copied()
}

fn control_value(kind: ControlKind, poles: usize) -> &'static str {
    match (kind, poles) {
        (ControlKind::MomentaryToggle, _) => "toggle, sprung to centre off",
        (ControlKind::PushButtons, _) => "two push buttons",
        (ControlKind::StudsAndProbe, _) => "two studs",
        (ControlKind::MaintainedToggle, 1) => "toggle, single-pole changeover",
        (ControlKind::MaintainedToggle, _) => "toggle, double-pole changeover",
        (ControlKind::AccessoryDecoder, _) => "accessory decoder",
        (ControlKind::RouteButtons, _) => "route buttons",
    }
}

fn drive_value(drive: &crate::parse::Drive) -> String {
    use crate::parse::DriveModel;
    match &drive.model {
        DriveModel::Solenoid(s) => format!("solenoid, {} a coil", s.coil),
        DriveModel::SlowMotion(m) => format!("slow-motion, {}", m.voltage),
        DriveModel::Servo(s) => format!("servo, {}", s.voltage),
    }
}
