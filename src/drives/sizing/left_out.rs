//! What the calculation leaves out, and where to look if a drive sticks although it is enough.

use crate::parse::SupplyUse;

/// Where builders find the fault when the electrics are sufficient (collected from the trade).
pub const LOOK_FIRST: &str = "If the electrics are sufficient and it still sticks, look here first: the drive \
     mounted off the middle of the travel, fixing screws too tight, two centre springs working against each \
     other, friction of the tie bar and under the blades.";

/// What is not in the figures of a kind of drive.
pub fn left_out(kind: SupplyUse) -> &'static str {
    match kind {
        SupplyUse::Solenoids => {
            "Left out: the iron (saturation, eddy currents), the change of inductance while the core moves, \
             friction of core and tie bar, contacts and plugs."
        }
        SupplyUse::SlowMotion => {
            "Left out: friction of gear and tie bar, the force of the spring wire, back-EMF while it moves (a \
             moving motor draws less), drops in decoder outputs and plugs."
        }
        SupplyUse::Servos => {
            "Left out: the load on the servo's horn (it decides between moving and stalled current), friction of \
             gear and linkage, plugs, disturbance of the pulse line."
        }
    }
}

/// A line for the supply's sheet.
pub const SHORT: &str = "Enough here and it still sticks? Look at mounting, screws, springs, friction.";

/// The heading under which its figures stand.
pub(super) fn part(kind: SupplyUse) -> &'static str {
    match kind {
        SupplyUse::Solenoids => "points",
        SupplyUse::SlowMotion => "motors",
        SupplyUse::Servos => "servos",
    }
}

/// What is left out, by the name of a part of the figures; `None` for the track.
pub fn left_out_of(name: &str) -> Option<&'static str> {
    [SupplyUse::Solenoids, SupplyUse::SlowMotion, SupplyUse::Servos]
        .into_iter()
        .find(|kind| part(*kind) == name)
        .map(left_out)
}
