//! What parts must stand, taken from the sizing and from the layout file.

use super::supplies;
use crate::Design;
use crate::circuit::{Part, PartId};
use crate::drives::sizing::BankSizing;
use crate::drives::{Pairing, UsePlan};
use crate::parse::{ControlId, Drive, DriveModel, SupplyKind, SupplyUse};
use crate::units::{Amps, Volts};

pub struct Ratings<'a> {
    bank: Option<&'a BankSizing>,
    /// Each plug-in supply with what it is for.
    supplies: Vec<(PartId, &'a UsePlan)>,
}

impl<'a> Ratings<'a> {
    pub fn of(design: &'a Design) -> Ratings<'a> {
        let bank = design.sizing.bank();
        // The circuit has one supply for each use that was sized, in the order of the plan.
        let sized = design.plan.uses.iter().filter(|u| needed(design, u.kind).is_some());
        Ratings { bank, supplies: supplies(&design.circuit).zip(sized).collect() }
    }

    /// "AC", "16 V, at least 511 mA", note.
    pub fn supply(&self, design: &Design, part: PartId) -> Option<(&'static str, String, String)> {
        let (_, use_plan) = self.supplies.iter().find(|(id, _)| *id == part)?;
        let supply = &use_plan.supply;
        let kind = match supply.kind {
            SupplyKind::Ac => "AC",
            SupplyKind::Dc => "DC",
            SupplyKind::SplitDc => "DC, two equal outputs in series",
        };
        Some(match (supply.owned, supply.current) {
            (Some(id), Some(current)) => (
                kind,
                format!("{}, {current}", supply.voltage),
                format!("you have it: \"{}\" of the layout file", *design.document[id].name),
            ),
            _ => {
                let current = needed(design, use_plan.kind)?;
                let rating = format!("{}, at least {current}", supply.voltage);
                (kind, rating, format!("for the {}", drives_words(use_plan.kind)))
            }
        })
    }

    pub fn rectifier(&self, part: &Part) -> String {
        self.bank.map_or_else(
            || part.value.clone(),
            |b| format!("at least {}, {}", b.rectifier_current, b.rectifier_voltage),
        )
    }

    /// What the contact of a control must bear. Controls that work alike get the rating of the one
    /// that needs most, so that one kind of switch is bought for all.
    pub fn control(&self, design: &Design, control: ControlId) -> String {
        let Some(pairing) = pairing(design, control) else { return String::new() };
        let most = |current: &dyn Fn(&Drive) -> Amps| {
            let alike = (0..design.document.controls.len()).map(ControlId);
            let alike = alike.filter(|c| self::pairing(design, *c) == Some(pairing));
            alike.map(|c| drives_of(design, c).map(current).sum::<Amps>()).fold(Amps::new(0.0), Amps::max)
        };
        match pairing {
            Pairing::SolenoidDischarge => self.bank_contact(),
            Pairing::SolenoidDirect => {
                let voltage = use_voltage(design, SupplyUse::Solenoids);
                format!("contact at least {}, in pulses", most(&|d| coil_current(d, voltage)))
            }
            Pairing::MotorReversing | Pairing::MotorSplit => format!("contact at least {}", most(&stall)),
            Pairing::ServoToggle => "any: it carries a signal, or the current of a relay's coil".into(),
            Pairing::SolenoidDecoder | Pairing::MotorDecoder | Pairing::ServoDecoder => String::new(),
        }
    }

    /// Contacts that fire the bank bear the strongest pulse of any: one kind of switch is bought for all.
    pub fn bank_contact(&self) -> String {
        self.bank
            .and_then(|b| b.fired.as_ref())
            .map_or_else(String::new, |f| format!("contact at least {}, in pulses", f.surge))
    }

    /// The links of a matrix are alike, so that one kind of diode is bought for all.
    pub fn route_diode(&self, design: &Design) -> String {
        let surge = design.sizing.fired().and_then(|f| f.diode_surge);
        let surge = surge.map_or_else(String::new, |s| format!(", surge at least {s}"));
        format!("at least 3 A, 100 V{surge}")
    }

    pub fn drive(&self, drive: &Drive) -> String {
        let model = match &drive.model {
            DriveModel::Solenoid(s) => format!("{} a coil", s.coil),
            DriveModel::SlowMotion(m) => format!("{}, {} stalled", m.voltage, m.stall),
            DriveModel::Servo(s) => format!("{}, {} stalled", s.voltage, s.stall),
        };
        match drive.contacts {
            0 => model,
            1 => format!("{model}; a changeover contact for {}", drive.contact_rating),
            n => format!("{model}; {n} changeover contacts for {}", drive.contact_rating),
        }
    }

    /// The contact of a frog or section must bear what the booster or controller lets through before
    /// it cuts off.
    pub fn frog_contact(&self, design: &Design) -> String {
        format!("contact at least {}", design.document.track_power.trip)
    }

    /// A reverser module carries what a section or frog draws until the booster cuts off.
    pub fn module(&self, design: &Design) -> String {
        let power = &design.document.track_power;
        format!("{}, at least {}", power.voltage, power.trip)
    }

    pub fn servo_voltage(&self, design: &Design) -> String {
        use_voltage(design, SupplyUse::Servos).to_string()
    }

    pub fn decoder_drives(&self, design: &Design, control: ControlId) -> &'static str {
        self.decoder_use(design, control).map_or("drives", drives_words)
    }

    pub fn decoder_voltage(&self, design: &Design, control: ControlId) -> String {
        let outputs = design.document[control].throws.len();
        let voltage = self.decoder_use(design, control).map(|u| use_voltage(design, u).to_string());
        match (voltage, outputs) {
            (Some(v), n) if n > 1 => format!("{v}, {n} drives together"),
            (Some(v), _) => v,
            (None, _) => String::new(),
        }
    }

    fn decoder_use(&self, design: &Design, control: ControlId) -> Option<SupplyUse> {
        match pairing(design, control)? {
            Pairing::SolenoidDecoder => Some(SupplyUse::Solenoids),
            Pairing::MotorDecoder => Some(SupplyUse::SlowMotion),
            Pairing::ServoDecoder => Some(SupplyUse::Servos),
            _ => None,
        }
    }
}

/// How a control works its drives; those of one control are alike.
fn pairing(design: &Design, control: ControlId) -> Option<Pairing> {
    design.plan.bars.iter().find(|b| b.control == control).map(|b| b.pairing)
}

/// The drives that a control throws.
fn drives_of(design: &Design, control: ControlId) -> impl Iterator<Item = &Drive> {
    let members = design.plan.bars.iter().filter(move |b| b.control == control);
    members.map(|b| design.document.drive_of(b.bar))
}

/// "47 Ω, 10 W" as "47 Ω, at least 10 W": the value is meant exactly, the rating is a least one.
pub fn with_rating(value: &str) -> String {
    match value.split_once(", ") {
        Some((value, rating)) => format!("{value}, at least {rating}"),
        None => value.to_owned(),
    }
}

/// What the supply of a use should be able to give.
fn needed(design: &Design, kind: SupplyUse) -> Option<Amps> {
    let sizing = &design.sizing;
    match kind {
        SupplyUse::Solenoids => sizing.solenoids.as_ref().map(|s| s.supply),
        SupplyUse::SlowMotion => sizing.slow_motion.as_ref().map(|s| s.supply),
        SupplyUse::Servos => sizing.servos.as_ref().map(|s| s.supply),
    }
}

fn use_voltage(design: &Design, kind: SupplyUse) -> Volts {
    design.plan.use_of(kind).map_or(Volts::new(0.0), |u| u.supply.voltage)
}

fn drives_words(kind: SupplyUse) -> &'static str {
    match kind {
        SupplyUse::Solenoids => "solenoids",
        SupplyUse::SlowMotion => "slow-motion motors",
        SupplyUse::Servos => "servos",
    }
}

fn coil_current(drive: &Drive, voltage: Volts) -> Amps {
    match &drive.model {
        DriveModel::Solenoid(s) => voltage / s.coil,
        _ => Amps::new(0.0),
    }
}

fn stall(drive: &Drive) -> Amps {
    match &drive.model {
        DriveModel::SlowMotion(m) => m.stall,
        _ => Amps::new(0.0),
    }
}
