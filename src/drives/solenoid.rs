//! Twin-coil solenoid: a short pulse into one of two coils.

use super::{Pairing, Refusal};
use crate::parse::{ControlKind, FiredFrom, Solenoid};

/// Momentary controls only. A coil left on burns: it is made for pulses of a tenth of a second
/// (common practice, no source).
pub(super) fn pair(drive: &Solenoid, control: ControlKind) -> Result<Pairing, Refusal> {
    let direct = drive.fired_from == FiredFrom::Supply;
    match control {
        ControlKind::AccessoryDecoder => Ok(Pairing::SolenoidDecoder),
        ControlKind::RouteButtons if direct => Err(Refusal::new(
            "route buttons are wired for a discharge unit only: the diodes between them and a coil would have to \
             bear the supply for as long as a button is held",
            "write fired-from = \"discharge unit\" for its drive, or give it a control of its own",
        )),
        ControlKind::MaintainedToggle if direct => Err(Refusal::new(
            format!(
                "a maintained toggle leaves the supply on a solenoid's coil ({}), and the coil burns out",
                drive.coil
            ),
            "work it with a momentary toggle, push buttons or studs and probe, or fire it from a discharge \
             unit",
        )),
        ControlKind::MaintainedToggle => Err(Refusal::new(
            "a maintained toggle holds the discharge unit on one coil, so that it never recharges and \
             throws nothing else",
            "work it with a momentary toggle, push buttons or studs and probe",
        )),
        ControlKind::MomentaryToggle
        | ControlKind::PushButtons
        | ControlKind::StudsAndProbe
        | ControlKind::RouteButtons => {
            Ok(if direct { Pairing::SolenoidDirect } else { Pairing::SolenoidDischarge })
        }
    }
}
