//! Servo: three wires from a controller that turns the position of a toggle into pulses.

use super::{Pairing, Refusal};
use crate::parse::ControlKind;

/// The controller reads a contact that stays where it is put; its pulses hold the servo there.
pub(super) fn pair(control: ControlKind) -> Result<Pairing, Refusal> {
    match control {
        ControlKind::AccessoryDecoder => Ok(Pairing::ServoDecoder),
        ControlKind::MaintainedToggle => Ok(Pairing::ServoToggle),
        ControlKind::MomentaryToggle
        | ControlKind::PushButtons
        | ControlKind::StudsAndProbe
        | ControlKind::RouteButtons => Err(Refusal::new(
            "the input of a servo controller wants a contact that stays where it is put",
            "work it with a maintained toggle",
        )),
    }
}
