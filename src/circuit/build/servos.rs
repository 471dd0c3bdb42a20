//! Servos: a controller on the board turns the position of a toggle into pulses; a bulk capacitor
//! stands beside it, at the far end of the supply wires.

use super::Builder;
use super::supplies::{decoder, fused_supply, panel_bus, two_coil_relay};
use super::track::TrackSide;
use crate::circuit::{DriveSymbol, NetId, NetKind, PartId, PartKind, Place};
use crate::drives::{BarPlan, SERVO_CHANNELS as CHANNELS, UsePlan};
use crate::parse::BoardId;

const INPUTS: [&str; CHANNELS] = ["I1", "I2", "I3", "I4", "I5", "I6", "I7", "I8"];
const OUTPUTS: [(&str, &str, &str); CHANNELS] = [
    ("1S", "1+", "1−"),
    ("2S", "2+", "2−"),
    ("3S", "3+", "3−"),
    ("4S", "4+", "4−"),
    ("5S", "5+", "5−"),
    ("6S", "6+", "6−"),
    ("7S", "7+", "7−"),
    ("8S", "8+", "8−"),
];

pub(super) fn build(b: &mut Builder, use_plan: &UsePlan, track: &TrackSide) {
    let Some(sizing) = b.sizing.servos.clone() else { return };
    let poles =
        fused_supply(b, use_plan, sizing.fuse, ("servos", "+"), NetKind::ServoPositive, NetKind::ServoReturn);
    let panel = b.panel_controls(use_plan.kind);
    if !panel.is_empty() {
        let relays = panel.iter().any(|(_, m)| m.iter().any(|m| b.plan.wants_relay(m.bar)));
        if relays {
            panel_bus(b, poles.live, "+", "servos +");
        }
        panel_bus(b, poles.other, "-", "servos 0 V");
        let mut free: Vec<(BoardId, PartId, usize)> = Vec::new();
        for (control, members) in panel {
            let with_relay = members.iter().any(|m| b.plan.wants_relay(m.bar));
            let name = b.document[control].name.value.clone();
            let (poles_count, pins): (usize, &[&str]) =
                if with_relay { (2, &["1C", "1R", "2C", "2N", "2R"]) } else { (1, &["1C", "1R"]) };
            let part = b.control_part(control, poles_count, pins);
            let input = b.net(format!("{name} input"), NetKind::Input);
            b.connect(input, part, "1C");
            b.connect(poles.other, part, "1R");
            let relay_lines = with_relay.then(|| {
                let lines = crate::track::Position::ALL
                    .map(|p| b.net(format!("{name} {}", p.word()), NetKind::Command(p)));
                b.connect(poles.live, part, "2C");
                b.connect(lines[0], part, "2N");
                b.connect(lines[1], part, "2R");
                lines
            });
            for member in &members {
                let board = b.document.turnout_of(member.bar).board;
                let (controller, channel) = channel(b, &mut free, board, &poles, &sizing.bulk);
                b.connect(input, controller, INPUTS[channel]);
                servo(b, member, controller, OUTPUTS[channel]);
                if let (true, Some([set, reset])) = (b.plan.wants_relay(member.bar), relay_lines) {
                    let voltage = use_plan.supply.voltage.to_string();
                    two_coil_relay(b, member, &voltage, set, reset, poles.other);
                }
            }
        }
    }
    for (control, members) in b.decoder_controls(use_plan.kind) {
        let mut pins = Vec::new();
        for (s, p, m) in OUTPUTS.iter().take(members.len()) {
            pins.extend([*s, *p, *m]);
        }
        let part = decoder(b, control, &members, &poles, track, &pins);
        for (member, outputs) in members.iter().zip(OUTPUTS) {
            servo(b, member, part, outputs);
        }
    }
}

/// A free channel of a controller on this board, with a new controller when there is none.
fn channel(
    b: &mut Builder,
    free: &mut Vec<(BoardId, PartId, usize)>,
    board: BoardId,
    poles: &super::supplies::Poles,
    bulk: &str,
) -> (PartId, usize) {
    if let Some((_, part, used)) = free.iter_mut().find(|(on, _, used)| *on == board && *used < CHANNELS) {
        *used += 1;
        return (*part, *used - 1);
    }
    let mut pins = vec!["+", "−"];
    pins.extend(INPUTS);
    for (s, p, m) in OUTPUTS {
        pins.extend([s, p, m]);
    }
    let place = Place::Board(board);
    let part = b.numbered(
        PartKind::ServoController { channels: CHANNELS },
        90,
        place,
        format!("servo controller, {CHANNELS} channels"),
        "turns the position of a toggle into servo pulses",
        &pins,
    );
    let capacitor =
        b.numbered(PartKind::Capacitor, 1, place, bulk, "carries the surge when servos start", &["+", "−"]);
    for p in [part, capacitor] {
        b.connect(poles.live, p, "+");
        b.connect(poles.other, p, "−");
    }
    free.push((board, part, 1));
    (part, 0)
}

fn servo(
    b: &mut Builder,
    member: &BarPlan,
    controller: PartId,
    (signal, plus, minus): (&'static str, &'static str, &'static str),
) {
    let part = b.drive_part(member, DriveSymbol::Servo, &["S", "+", "−"]);
    let name = b.circuit[part].designation.clone();
    let mut join = |what: &str, kind, pin: &'static str, own: &'static str| -> NetId {
        let net = b.net(format!("{name} {what}"), kind);
        b.connect(net, controller, pin);
        b.connect(net, part, own);
        net
    };
    join("signal", NetKind::Signal, signal, "S");
    join("+", NetKind::ServoPositive, plus, "+");
    join("0 V", NetKind::ServoReturn, minus, "−");
}
