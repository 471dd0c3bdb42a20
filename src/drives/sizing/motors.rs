//! Slow-motion motors: the load that stands, its fuse, the wire.

use super::conductors::Demand;
use super::{Figure, Load, MotorSizing, WireClass, Work};
use crate::drives::UsePlan;
use crate::electrics::fuse;
use crate::parse::{BarId, DriveModel, SlowMotion, SupplyUse};
use crate::units::{Amps, Length, WireSize};

pub(super) fn size(work: &mut Work, use_plan: &UsePlan) {
    let model = |t: BarId| -> SlowMotion {
        match &work.document[*work.document[t].drive].model {
            DriveModel::SlowMotion(m) => m.clone(),
            _ => unreachable!("members of this use are slow-motion motors"),
        }
    };
    let standing: Amps = use_plan.members.iter().map(|t| model(*t).stall).sum();
    let one = use_plan.members.iter().map(|t| model(*t).stall).fold(Amps::new(0.0), Amps::max);
    let voltage = use_plan.supply.voltage;
    let longest = use_plan.members.iter().map(|t| work.runs.panel_to_drive(work.document, *t));
    let longest = longest.fold(Length::new(0.0), Length::max);
    let typical: Vec<String> = use_plan
        .members
        .iter()
        .map(|t| &work.document[*work.document[*t].drive])
        .filter(|d| !d.typical.is_empty())
        .map(|d| format!("{} of drive {}", d.typical.join(", "), *d.name))
        .collect();
    let least = WireSize::mm2(0.25);
    let demand = |class, current, length: Length, least| Demand {
        part: "motors",
        class,
        current,
        lasting: current,
        length,
        allowed_drop: voltage * 0.05,
        least,
    };
    let group = use_plan.groups.first().map_or(1, |(_, m)| m.len());
    work.choose(demand(WireClass::Command, one * group as f64, longest * 2.0, least));
    work.choose(demand(WireClass::Common, standing, crate::drives::WITHIN_PANEL * 2.0, WireSize::mm2(0.5)));
    work.choose(demand(WireClass::Return, standing, longest, WireSize::mm2(0.5)));

    let fuse = fuse::rating_at_least((standing * 1.25).max(Amps::new(0.1))).unwrap_or(Amps::new(10.0));
    let supply = (standing * 1.5).max(fuse);
    work.supply_wire("motors", standing, fuse, voltage);
    if let Some(limit) = use_plan.supply.current {
        for (what, current) in
            [("supply of the motors", standing * 1.25), ("fuse of the motors' supply", fuse)]
        {
            work.sizing.loads.push(Load {
                what: what.into(),
                current,
                limit,
                pulse: false,
                belongs_to: Some(SupplyUse::SlowMotion),
            });
        }
    }
    let mut typical = typical;
    typical.sort();
    typical.dedup();
    let note = if typical.is_empty() {
        String::new()
    } else {
        format!("typical, measure yours: {}", typical.join("; "))
    };
    work.sizing.figures.push(
        Figure::new("motors", "standing load", standing)
            .input("motors", use_plan.members.len())
            .input("to be bought: at least", supply)
            .by("sum of the stall currents: every motor is stalled at its stop", "addition")
            .note(note),
    );
    work.sizing.figures.push(
        Figure::new("motors", "fuse, time-lag", fuse).input("standing load", standing).by(
            "first rating ≥ 1.25 · standing load, 100 mA at least",
            "ratings: IEC 60127 (R10); factor: common practice, no source",
        ),
    );
    work.sizing.slow_motion = Some(MotorSizing { fuse, standing, supply });
}
