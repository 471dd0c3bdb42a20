//! Which control may work which drive.

use super::{servo, slow_motion, solenoid};
use crate::parse::{ControlKind, Drive, DriveModel, SupplyKind};

/// A circuit pattern: a drive worked by a control.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Pairing {
    /// Supply → discharge unit → momentary contacts → coils → common return.
    SolenoidDischarge,
    /// Supply → momentary contacts → coils → common return, without a discharge unit.
    SolenoidDirect,
    /// Decoder output pair (which discharges a capacitor of its own) → coils.
    SolenoidDecoder,
    /// Reversing double-pole toggle on one supply.
    MotorReversing,
    /// Single-pole toggle on a split supply.
    MotorSplit,
    /// Decoder output that reverses its polarity.
    MotorDecoder,
    /// Maintained toggle → controller input → servo.
    ServoToggle,
    /// Servo output of a decoder.
    ServoDecoder,
}

/// Why a pairing is not wired, and what to do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    pub reason: String,
    pub mend: String,
}

impl Refusal {
    pub(super) fn new(reason: impl Into<String>, mend: impl Into<String>) -> Refusal {
        Refusal { reason: reason.into(), mend: mend.into() }
    }
}

/// The pattern for a drive under a control, from a supply of the given kind.
pub fn pair(drive: &Drive, control: ControlKind, supply: SupplyKind) -> Result<Pairing, Refusal> {
    match &drive.model {
        DriveModel::Solenoid(s) => solenoid::pair(s, control),
        DriveModel::SlowMotion(_) => slow_motion::pair(control, supply),
        DriveModel::Servo(_) => servo::pair(control),
    }
}

impl Pairing {
    pub fn by_decoder(self) -> bool {
        matches!(self, Pairing::SolenoidDecoder | Pairing::MotorDecoder | Pairing::ServoDecoder)
    }

    /// In words, for the sheet.
    pub fn describe(self) -> &'static str {
        match self {
            Pairing::SolenoidDischarge => "coil pulsed from the discharge unit",
            Pairing::SolenoidDirect => "coil pulsed straight from the supply",
            Pairing::SolenoidDecoder => "coil pulsed by the decoder",
            Pairing::MotorReversing => "motor reversed by a double-pole toggle",
            Pairing::MotorSplit => "motor on a split supply, single-pole toggle",
            Pairing::MotorDecoder => "motor reversed by the decoder",
            Pairing::ServoToggle => "servo controller, input from a toggle",
            Pairing::ServoDecoder => "servo on a decoder",
        }
    }
}
