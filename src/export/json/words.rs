//! The words of `kind` keys.

use crate::circuit::{DriveSymbol, NetKind, PartKind};
use crate::parse::Word;
use crate::track::{Feed, Pole, Position};

pub fn part_kind(kind: PartKind) -> &'static str {
    match kind {
        PartKind::PlugInSupply => "plug-in supply",
        PartKind::TrackSupply => "track supply",
        PartKind::Fuse => "fuse",
        PartKind::Rectifier => "rectifier",
        PartKind::Resistor => "resistor",
        PartKind::Capacitor => "capacitor",
        PartKind::Control { kind, .. } => kind.word(),
        PartKind::Probe => "probe",
        PartKind::RouteButton { .. } => "route button",
        PartKind::Diode { .. } => "diode",
        PartKind::Link { .. } => "wire link",
        PartKind::Drive { pattern: DriveSymbol::TwinCoil, .. } => "solenoid",
        PartKind::Drive { pattern: DriveSymbol::Motor, .. } => "slow-motion",
        PartKind::Drive { pattern: DriveSymbol::Servo, .. } => "servo",
        PartKind::Microswitch { .. } => "microswitch",
        PartKind::Relay { .. } => "relay",
        PartKind::PolaritySwitch { .. } => "polarity-switch",
        PartKind::ReverserModule { .. } => "reverser-module",
        PartKind::DistrictCutout { .. } => "district-cutout",
        PartKind::SectionSwitch { .. } => "section-switch",
        PartKind::ServoController { .. } => "servo controller",
        PartKind::Decoder { .. } => "accessory decoder",
        PartKind::Bus => "bus",
        PartKind::Rail { .. } => "rail",
    }
}

pub fn net_kind(kind: NetKind) -> &'static str {
    match kind {
        NetKind::AcSupply => "ac supply",
        NetKind::SupplyPositive => "supply positive",
        NetKind::CommonPositive => "common positive",
        NetKind::CommonNegative => "common negative",
        NetKind::Return => "return",
        NetKind::Command(Position::Normal) => "command normal",
        NetKind::Command(Position::Reverse) => "command reverse",
        NetKind::Route(_) => "route",
        NetKind::MotorLine => "motor line",
        NetKind::Input => "input",
        NetKind::Signal => "signal",
        NetKind::ServoPositive => "servo positive",
        NetKind::ServoReturn => "servo return",
        NetKind::Data(Feed::A) => "data a",
        NetKind::Data(Feed::B) => "data b",
        NetKind::Cab(_, Feed::A) => "cab A",
        NetKind::Cab(_, Feed::B) => "cab B",
        NetKind::Track(Pole { feed: Feed::A, .. }) => "track A",
        NetKind::Track(Pole { feed: Feed::B, .. }) => "track B",
        NetKind::Frog(_) => "frog",
    }
}
