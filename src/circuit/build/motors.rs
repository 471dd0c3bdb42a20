//! Slow-motion motors: a double-pole toggle that reverses one supply, a single-pole toggle on a
//! split supply, or a decoder output.

use super::Builder;
use super::supplies::{decoder, fused_supply, one_coil_relay, panel_bus};
use super::track::TrackSide;
use crate::circuit::{DriveSymbol, NetId, NetKind, PartKind, Place};
use crate::drives::{BarPlan, UsePlan};
use crate::parse::SupplyKind;

pub(super) fn build(b: &mut Builder, use_plan: &UsePlan, track: &TrackSide) {
    let Some(sizing) = b.sizing.slow_motion.clone() else { return };
    let split = use_plan.supply.kind == SupplyKind::SplitDc;
    let other = if split { NetKind::Return } else { NetKind::CommonNegative };
    let poles = fused_supply(b, use_plan, sizing.fuse, ("motors", "+"), NetKind::CommonPositive, other);
    let panel = b.panel_controls(use_plan.kind);
    if !panel.is_empty() {
        panel_bus(b, poles.live, "+", "motors +");
        if split {
            let negative = split_negative(b, &poles, sizing.fuse);
            panel_bus(b, negative, "-", "motors −");
            for (control, members) in panel {
                let part = b.control_part(control, 1, &["C", "N", "R"]);
                let name = b.document[control].name.value.clone();
                b.connect(poles.live, part, "N");
                b.connect(negative, part, "R");
                let line = b.net(format!("{name} line"), NetKind::MotorLine);
                b.connect(line, part, "C");
                wire_drives(b, &members, line, poles.other);
            }
        } else {
            panel_bus(b, poles.other, "-", "motors −");
            for (control, members) in panel {
                let part = b.control_part(control, 2, &["1C", "1N", "1R", "2C", "2N", "2R"]);
                let name = b.document[control].name.value.clone();
                // Line 1 is positive in the normal position and negative in the reverse one.
                for (net, pins) in [(poles.live, ["1N", "2R"]), (poles.other, ["1R", "2N"])] {
                    for pin in pins {
                        b.connect(net, part, pin);
                    }
                }
                let lines = ["1", "2"].map(|l| b.net(format!("{name} line {l}"), NetKind::MotorLine));
                b.connect(lines[0], part, "1C");
                b.connect(lines[1], part, "2C");
                wire_drives(b, &members, lines[0], lines[1]);
            }
        }
    }
    for (control, members) in b.decoder_controls(use_plan.kind) {
        let part = decoder(b, control, &members, &poles, track, &["1", "2"]);
        let name = b.document[control].name.value.clone();
        let lines = ["1", "2"].map(|l| b.net(format!("{name} line {l}"), NetKind::MotorLine));
        b.connect(lines[0], part, "1");
        b.connect(lines[1], part, "2");
        wire_drives(b, &members, lines[0], lines[1]);
    }
}

/// The negative pole of a split supply, with a fuse of its own.
fn split_negative(b: &mut Builder, poles: &super::supplies::Poles, fuse: crate::units::Amps) -> NetId {
    let raw = b.net("motors − before the fuse", NetKind::CommonNegative);
    let negative = b.net("motors −", NetKind::CommonNegative);
    let part = b.numbered(
        PartKind::Fuse,
        1,
        Place::Panel,
        format!("T {fuse}"),
        "protects the wires after it",
        &["1", "2"],
    );
    b.connect(raw, poles.source, "−");
    b.connect(raw, part, "1");
    b.connect(negative, part, "2");
    negative
}

fn wire_drives(b: &mut Builder, members: &[BarPlan], one: NetId, two: NetId) {
    for member in members {
        let part = b.drive_part(member, DriveSymbol::Motor, &["1", "2"]);
        b.connect(one, part, "1");
        b.connect(two, part, "2");
        if b.plan.wants_relay(member.bar) {
            one_coil_relay(b, member, one, two);
        }
    }
}
