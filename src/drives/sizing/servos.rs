//! Servos: the surge, the voltage that is left at the farthest one, the wire for it.

use super::conductors::Demand;
use super::{Figure, Load, ServoSizing, WireClass, Work};
use crate::diag::Diagnostic;
use crate::drives::{SUPPLY_LEAD, UsePlan, WITHIN_PANEL};
use crate::electrics::{fuse, preferred};
use crate::parse::{BarId, DriveModel, Servo, SupplyUse};
use crate::units::{Amps, Farads, Length, Volts, WireSize};

/// A regulated supply's tolerance (from memory).
const SUPPLY_LOW: f64 = 0.97;
/// A bistable relay's coil for 5 V (from memory).
const RELAY: Amps = Amps::new(0.04);
/// At the servos, beside the controller: 470–1000 µF in use (from memory).
const BULK: Farads = Farads::new(1000e-6);

pub(super) fn size(work: &mut Work, use_plan: &UsePlan) {
    let model = |t: BarId| -> Servo {
        match &work.document[*work.document[t].drive].model {
            DriveModel::Servo(s) => s.clone(),
            _ => unreachable!("members of this use are servos"),
        }
    };
    let members = &use_plan.members;
    let group = use_plan.groups.first().map(|(_, m)| m.clone()).unwrap_or_default();
    let zero = Amps::new(0.0);
    let stall = members.iter().map(|t| model(*t).stall).fold(zero, Amps::max);
    let moving: Amps = group.iter().skip(1).map(|t| model(*t).moving).sum();
    let idle: Amps = members.iter().filter(|t| !group.contains(t)).map(|t| model(*t).idle).sum();
    let relays = members.iter().filter(|t| work.plan.wants_relay(**t)).count();
    let worst = stall + moving + idle + RELAY * relays as f64;
    let voltage = use_plan.supply.voltage;
    let lowest = members.iter().map(|t| model(*t).lowest).fold(Volts::new(0.0), Volts::max);
    let cable = members.iter().map(|t| work.runs.panel_to_board[work.document.turnout_of(*t).board.0]);
    let cable = cable.fold(Length::new(0.0), Length::max) + SUPPLY_LEAD + WITHIN_PANEL * 2.0;
    let lead = members.iter().map(|t| work.runs.strip_to_drive[t.0]).fold(Length::new(0.0), Length::max);

    // Two thirds of what may be lost are spent on the supply's run, which is easily made thicker.
    let spare = voltage * SUPPLY_LOW - lowest;
    let supply_wire = work.choose(Demand {
        part: "servos",
        class: WireClass::ServoSupply,
        current: worst,
        lasting: worst,
        length: cable * 2.0,
        allowed_drop: spare * (2.0 / 3.0),
        least: WireSize::mm2(0.5),
    });
    let lead_wire = work.choose(Demand {
        part: "servos",
        class: WireClass::ServoLead,
        current: stall,
        lasting: stall,
        length: lead * 2.0,
        allowed_drop: spare / 3.0,
        least: WireSize::mm2(0.25),
    });
    let at_servo = voltage * SUPPLY_LOW
        - work.resistance(supply_wire, cable * 2.0) * worst
        - work.resistance(lead_wire, lead * 2.0) * stall;
    if at_servo < lowest {
        work.diagnostics.push(
            Diagnostic::error(
                "servo-voltage-too-low",
                format!(
                    "with {} moving and one of them stalled, {at_servo} is left at the farthest servo, which \
                     needs {lowest}",
                    group.len()
                ),
            )
            .help("use thicker wire, a shorter run, or a supply of a slightly higher voltage if the servos allow it"),
        );
    }
    let fuse = fuse::rating_at_least(worst * 1.25).unwrap_or(Amps::new(10.0));
    let supply = (worst * 1.25).max(fuse);
    work.supply_wire("servos", worst, fuse, voltage);
    if let Some(limit) = use_plan.supply.current {
        for (what, current) in [("supply of the servos", worst), ("fuse of the servos' supply", fuse)] {
            work.sizing.loads.push(Load {
                what: what.into(),
                current,
                limit,
                pulse: false,
                belongs_to: Some(SupplyUse::Servos),
            });
        }
    }
    let rated = preferred::rated_voltage_at_least(voltage * 1.5).unwrap_or(Volts::new(16.0));
    let typical = members.iter().any(|t| !work.document[*work.document[*t].drive].typical.is_empty());
    let note = if typical { "typical, measure yours: currents of the servos" } else { "" };
    work.sizing.figures.extend([
        Figure::new("servos", "worst load", worst)
            .input("moving together", group.len())
            .input("one of them stalled", stall)
            .input("idle", idle)
            .input("relays", relays)
            .input("to be bought: at least", supply)
            .by("stall + (n − 1)·moving + the others' idle current + relays", "addition")
            .note(note),
        Figure::new("servos", "voltage at the farthest servo", at_servo)
            .input("supply, low", voltage * SUPPLY_LOW)
            .input("supply wire, there and back", format!("{}, {}", cable * 2.0, supply_wire.label()))
            .input("lead, there and back", format!("{}, {}", lead * 2.0, lead_wire.label()))
            .input("must be at least", lowest)
            .by("V − I_worst·R_supply − I_stall·R_lead", "Ohm's law; IEC 60228 class 5"),
        Figure::new("servos", "fuse, time-lag", fuse).input("worst load", worst).by(
            "first rating ≥ 1.25 · worst load",
            "ratings: IEC 60127 (R10); factor: common practice, no source",
        ),
        Figure::new("servos", "bulk capacitor", format!("{BULK}, {rated}"))
            .by("470–1000 µF beside each group of servos", "common practice, no source"),
    ]);
    work.sizing.servos =
        Some(ServoSizing { fuse, worst, supply, bulk: format!("{BULK}, {rated}"), at_servo });
}
