//! Slow-motion motors: the load that stands, its fuse, the wire, and what is left at the farthest.

use super::conductors::Demand;
use super::tolerance::REGULATED_LOW;
use super::{Figure, MotorSizing, WireClass, Work, fuse_and_supply, schemes, typical};
use crate::diag::Diagnostic;
use crate::drives::{Pairing, SUPPLY_LEAD, UsePlan, WITHIN_PANEL};
use crate::electrics::supply::SourceKind;
use crate::parse::{BarId, DriveModel, SlowMotion};
use crate::units::{Amps, Length, Volts, WireSize};

pub(super) fn size(work: &mut Work, use_plan: &UsePlan) {
    let members = &use_plan.members;
    let stalls: Vec<Amps> = members.iter().map(|bar| stall(work, *bar)).collect();
    let standing: Amps = stalls.iter().copied().sum();
    let one = stalls.into_iter().fold(Amps::new(0.0), Amps::max);
    let voltage = use_plan.supply.voltage;
    let longest = members.iter().map(|bar| work.to_drive(*bar)).fold(Length::new(0.0), Length::max);
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
    work.choose(demand(WireClass::Common, standing, WITHIN_PANEL * 2.0, WireSize::mm2(0.5)));
    work.choose(demand(WireClass::Return, standing, longest, WireSize::mm2(0.5)));

    let most = Amps::new(10.0);
    let (fuse, supply) =
        fuse_and_supply(standing).unwrap_or((most, SourceKind::Regulated.rating_for(standing)));
    work.supply_wire("motors", standing, fuse, voltage);
    let margin = SourceKind::Regulated.rating_for(standing);
    work.supply_bears(use_plan, [("supply of the motors", margin), ("fuse of the motors' supply", fuse)]);
    let note =
        typical::note(work.document, members, &[("stall", typical::CURRENT), ("lowest", typical::LOWEST)]);
    work.sizing.figures.push(
        Figure::new("motors", "standing load", standing)
            .input("motors", members.len())
            .input("to be bought: at least", supply)
            .by("sum of the stall currents: every motor is stalled at its stop", "addition")
            .note(note.clone()),
    );
    work.sizing.figures.push(
        Figure::new("motors", "fuse, time-lag", fuse).input("standing load", standing).by(
            "first rating of which the standing load is at most 0.8; 100 mA at least",
            "ratings: IEC 60127 (R10); factor: common practice, no source",
        ),
    );
    let farthest = farthest(work, use_plan, standing, note);
    let schemes = schemes::compare(work.document, work.plan, use_plan, standing);
    work.sizing.slow_motion = Some(MotorSizing { fuse, standing, supply, at_farthest: farthest, schemes });
}

fn model<'a>(work: &Work<'a>, bar: BarId) -> &'a SlowMotion {
    match &work.document.drive_of(bar).model {
        DriveModel::SlowMotion(m) => m,
        _ => unreachable!("members of this use are slow-motion motors"),
    }
}

/// As it goes into a worst case.
fn stall(work: &Work, bar: BarId) -> Amps {
    typical::current(work.document.drive_of(bar), "stall", model(work, bar).stall)
}

/// What is left at the motor that comes off worst, with all of them stalled (which is more than all of
/// them running): supply low, wires hot.
fn farthest(work: &mut Work, use_plan: &UsePlan, standing: Amps, note: String) -> Volts {
    let low = use_plan.supply.voltage * REGULATED_LOW;
    let common = work.resistance(work.sizing.wire(WireClass::Supply), SUPPLY_LEAD * 2.0)
        + work.resistance(work.sizing.wire(WireClass::Common), WITHIN_PANEL * 2.0);
    let [line, back] = [WireClass::Command, WireClass::Return].map(|class| work.sizing.wire(class));
    let left = |bar: BarId| {
        let together = use_plan.groups.iter().find(|(_, m)| m.contains(&bar));
        let group: Amps = together.into_iter().flat_map(|(_, m)| m).map(|b| stall(work, *b)).sum();
        let (along, run) = (work.resistance(line, work.to_drive(bar)), work.to_drive(bar));
        let split = work.plan.of(bar).is_some_and(|b| b.pairing == Pairing::MotorSplit);
        // The common return of a split supply carries the current of all.
        let returning = if split { work.resistance(back, run) * standing } else { along * group };
        low - common * standing - along * group - returning
    };
    let needs = |bar: BarId| {
        let m = model(work, bar);
        typical::lowest(work.document.drive_of(bar), m.lowest, m.voltage)
    };
    let worst = use_plan
        .members
        .iter()
        .map(|bar| (*bar, left(*bar), needs(*bar)))
        .min_by(|a, b| (a.1 / a.2).total_cmp(&(b.1 / b.2)));
    let Some((bar, left, needed)) = worst else { return low };
    let (name, run) = (work.document[bar].name.clone(), work.to_drive(bar));
    if left < needed {
        let drive = work.document.drive_of(bar);
        let stands_in = if drive.typical.contains(&"lowest") { ", a typical figure" } else { "" };
        work.diagnostics.push(
            Diagnostic::error(
                "motor-voltage-too-low",
                format!("with all motors stalled, {left} is left at the motor of {name}, which needs {needed}"),
            )
            .label(drive.span, format!("`lowest`{stands_in}"))
            .help(
                "use thicker wire, a supply of a higher voltage, or split the motors over two supplies; if they \
                 move at less, say so with `lowest`",
            ),
        );
    }
    work.sizing.figures.push(
        Figure::new("motors", "voltage at the farthest motor", left)
            .input("must be at least", needed)
            .input("that of", &name)
            .input("supply, low", low)
            .input("all stalled", standing)
            .input("run, one way", run)
            .input("wires of the lines", line.label())
            .by(
                "V − I_all·R_supply − I_group·R_line − I_group·R_line (split supply: − I_all·R_return)",
                "Ohm's law; IEC 60228 class 5; supply 3 % low: from memory",
            )
            .note(note),
    );
    left
}
