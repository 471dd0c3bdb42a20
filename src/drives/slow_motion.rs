//! Slow-motion motor: a geared motor that is held against its stop by the current it goes on
//! drawing; the polarity decides which way.

use super::{Pairing, Refusal};
use crate::parse::{ControlKind, SupplyKind};

/// It needs its voltage all the time, so the control must stay where it is put.
pub(super) fn pair(control: ControlKind, supply: SupplyKind) -> Result<Pairing, Refusal> {
    match control {
        ControlKind::AccessoryDecoder => Ok(Pairing::MotorDecoder),
        ControlKind::MaintainedToggle if supply == SupplyKind::SplitDc => Ok(Pairing::MotorSplit),
        ControlKind::MaintainedToggle => Ok(Pairing::MotorReversing),
        ControlKind::MomentaryToggle
        | ControlKind::PushButtons
        | ControlKind::StudsAndProbe
        | ControlKind::RouteButtons => Err(Refusal::new(
            "a slow-motion motor takes seconds to throw and is held there by its current; a momentary \
                 contact lets it stop half-way",
            "work it with a maintained toggle",
        )),
    }
}
