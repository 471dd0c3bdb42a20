//! Solenoids: supply → (discharge unit) → momentary contacts → coils → common return.

use super::supplies::{decoder, fused_supply, panel_bus, two_coil_relay};
use super::track::TrackSide;
use super::{Builder, routes};
use crate::circuit::{DriveSymbol, NetId, NetKind, PartKind, Place};
use crate::drives::sizing::BankSizing;
use crate::drives::{BarPlan, Line, Pairing, UsePlan};
use crate::parse::{ControlKind, SupplyKind};
use crate::track::Position;

pub(super) fn build(b: &mut Builder, use_plan: &UsePlan, track: &TrackSide) {
    let Some(sizing) = b.sizing.solenoids.clone() else { return };
    let ac = use_plan.supply.kind == SupplyKind::Ac;
    let live = if ac { NetKind::AcSupply } else { NetKind::SupplyPositive };
    // The other pole is a return only where nothing stands between: DC, or AC fired directly.
    let other = if ac && sizing.bank.is_some() { NetKind::AcSupply } else { NetKind::Return };
    let live_name = if ac { "fused" } else { "+ fused" };
    let poles = fused_supply(b, use_plan, sizing.fuse, ("points", live_name), live, other);

    let panel = b.panel_controls(use_plan.kind);
    let discharged = panel.iter().any(|(_, m)| m[0].pairing == Pairing::SolenoidDischarge);
    let mut bank = None;
    if let (true, Some(values)) = (discharged, &sizing.bank) {
        bank = Some(discharge_unit(b, values, poles.live, poles.other, ac));
    }
    for discharge in [true, false] {
        let mine: Vec<_> = panel
            .iter()
            .filter(|(_, m)| (m[0].pairing == Pairing::SolenoidDischarge) == discharge)
            .cloned()
            .collect();
        let (plus, minus) = match (discharge, bank) {
            (true, Some(nets)) => nets,
            _ => (poles.live, poles.other),
        };
        if mine.is_empty() {
            continue;
        }
        panel_bus(b, plus, "+", "points +");
        let probe_wanted = mine.iter().any(|(c, _)| *b.document[*c].with == ControlKind::StudsAndProbe);
        if probe_wanted {
            let probe = b.numbered(
                PartKind::Probe,
                90,
                Place::Panel,
                "probe on a lead",
                "touches the studs of the track diagram",
                &["P"],
            );
            b.connect(plus, probe, "P");
        }
        let mut lines = Vec::new();
        for (control, members) in mine {
            let nets = panel_control(b, control, plus);
            wire_drives(b, &members, nets, minus);
            let line = |position| Line { control, position };
            lines.extend(Position::ALL.map(line).into_iter().zip(nets));
        }
        if discharge {
            routes::build(b, plus, &lines);
        }
    }
    for (control, members) in b.decoder_controls(use_plan.kind) {
        let part = decoder(b, control, &members, &poles, track, &["N", "R", "C"]);
        let name = b.document[control].name.value.clone();
        let lines = Position::ALL.map(|p| b.net(format!("{name} {}", p.word()), NetKind::Command(p)));
        let common = b.net(format!("{name} coil return"), NetKind::Return);
        b.connect(lines[0], part, "N");
        b.connect(lines[1], part, "R");
        b.connect(common, part, "C");
        wire_drives(b, &members, lines, common);
    }
}

/// Rectifier if AC, charging limiter, capacitor, bleed. Returns its + and − nets.
fn discharge_unit(
    b: &mut Builder,
    values: &BankSizing,
    live: NetId,
    other: NetId,
    ac: bool,
) -> (NetId, NetId) {
    let plus = b.net("points +", NetKind::CommonPositive);
    let (charge, minus) = if ac {
        let charge = b.net("points rectified +", NetKind::SupplyPositive);
        let minus = b.net("points common return", NetKind::Return);
        let rectifier = b.numbered(
            PartKind::Rectifier,
            1,
            Place::Panel,
            format!("bridge, {}, {}", values.rectifier_current, values.rectifier_voltage),
            "makes DC of the supply's AC",
            &["~1", "~2", "+", "−"],
        );
        b.connect(live, rectifier, "~1");
        b.connect(other, rectifier, "~2");
        b.connect(charge, rectifier, "+");
        b.connect(minus, rectifier, "−");
        (charge, minus)
    } else {
        (live, other)
    };
    let limiter = b.numbered(
        PartKind::Resistor,
        1,
        Place::Panel,
        format!("{}, {}", values.limiter, values.limiter_power),
        "limits the charging current, and the current in a coil whose contact sticks",
        &["1", "2"],
    );
    let bleed = b.numbered(
        PartKind::Resistor,
        2,
        Place::Panel,
        format!("{}, {}", values.bleed, values.bleed_power),
        "empties the capacitor when the supply is off",
        &["1", "2"],
    );
    let bank = b.numbered(
        PartKind::Capacitor,
        1,
        Place::Panel,
        format!("{}, {}", values.choice.words(), values.capacitor_voltage),
        "stores the pulse",
        &["+", "−"],
    );
    // The order is that of the wires: the bleed comes before the capacitor, so that the pulse's
    // path from the capacitor to the coils has no detour.
    b.connect(charge, limiter, "1");
    b.connect(plus, limiter, "2");
    b.connect(plus, bleed, "1");
    b.connect(plus, bank, "+");
    b.connect(minus, bleed, "2");
    b.connect(minus, bank, "−");
    (plus, minus)
}

/// The control on the panel, if it has anything of its own; returns the nets of its normal and
/// reverse lines.
fn panel_control(b: &mut Builder, control: crate::parse::ControlId, plus: NetId) -> [NetId; 2] {
    let kind = *b.document[control].with;
    let name = b.document[control].name.value.clone();
    let lines = Position::ALL.map(|p| b.net(format!("{name} {}", p.word()), NetKind::Command(p)));
    if kind == ControlKind::RouteButtons {
        return lines;
    }
    let pins: &[&str] = match kind {
        ControlKind::PushButtons => &["N1", "R1", "N", "R"],
        ControlKind::StudsAndProbe => &["N", "R"],
        _ => &["C", "N", "R"],
    };
    let part = b.control_part(control, 1, pins);
    match kind {
        ControlKind::PushButtons => {
            b.connect(plus, part, "N1");
            b.connect(plus, part, "R1");
        }
        ControlKind::StudsAndProbe => {}
        _ => b.connect(plus, part, "C"),
    }
    b.connect(lines[0], part, "N");
    b.connect(lines[1], part, "R");
    lines
}

fn wire_drives(b: &mut Builder, members: &[BarPlan], lines: [NetId; 2], common: NetId) {
    for member in members {
        let part = b.drive_part(member, DriveSymbol::TwinCoil, &["N", "R", "C"]);
        b.connect(lines[0], part, "N");
        b.connect(lines[1], part, "R");
        b.connect(common, part, "C");
        if b.plan.wants_relay(member.bar) {
            two_coil_relay(b, member, "for the bank's voltage", lines[0], lines[1], common);
        }
    }
}
