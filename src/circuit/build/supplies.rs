//! What the uses share: the plug-in supply with its fuse, the common buses of the panel, relays
//! that follow a command, decoders.

use super::Builder;
use super::track::TrackSide;
use crate::circuit::{NetId, NetKind, PartId, PartKind, Place};
use crate::drives::{TurnoutPlan, UsePlan};
use crate::parse::{ControlId, FrogFeedBy, SupplyKind};
use crate::track::Feed;
use crate::units::Amps;

/// The supply's two poles after the fuse.
pub(super) struct Poles {
    /// Fused: the positive, or the fused AC conductor.
    pub live: NetId,
    /// The negative, 0 V, or the other AC conductor.
    pub other: NetId,
    pub source: PartId,
}

/// A plug-in supply and its fuse. `live_kind` is what the fused pole is used for.
pub(super) fn fused_supply(
    b: &mut Builder,
    use_plan: &UsePlan,
    fuse: Amps,
    names: (&str, &str),
    live_kind: NetKind,
    other_kind: NetKind,
) -> Poles {
    let supply = &use_plan.supply;
    let owner = match supply.owned {
        Some(id) => b.document[id].name.value.clone(),
        None => "to be bought".to_owned(),
    };
    let (kind, pins): (&str, &[&str]) = match supply.kind {
        SupplyKind::Ac => ("AC", &["~1", "~2"]),
        SupplyKind::Dc => ("DC", &["+", "−"]),
        SupplyKind::SplitDc => ("DC split", &["+", "0", "−"]),
    };
    let source = b.numbered(
        PartKind::PlugInSupply,
        2,
        Place::Panel,
        format!("{} {kind}", supply.voltage),
        format!("plug-in supply for {} ({owner})", names.0),
        pins,
    );
    let fuse = b.numbered(
        PartKind::Fuse,
        1,
        Place::Panel,
        format!("T {fuse}"),
        "protects the wires after it",
        &["1", "2"],
    );
    let raw_kind = if supply.kind == SupplyKind::Ac { NetKind::AcSupply } else { NetKind::SupplyPositive };
    let raw = b.net(format!("{} before the fuse", names.0), raw_kind);
    let live = b.net(format!("{} {}", names.0, names.1), live_kind);
    let other = b.net(format!("{} return", names.0), other_kind);
    let (first, last) = match supply.kind {
        SupplyKind::Ac => ("~1", "~2"),
        SupplyKind::Dc => ("+", "−"),
        SupplyKind::SplitDc => ("+", "0"),
    };
    b.connect(raw, source, first);
    b.connect(raw, fuse, "1");
    b.connect(live, fuse, "2");
    b.connect(other, source, last);
    Poles { live, other, source }
}

/// A bus along the panel that every control taps.
pub(super) fn panel_bus(b: &mut Builder, net: NetId, sign: &str, value: &str) -> PartId {
    let designation = b.names.take(&format!("WP{sign}"), 1);
    let bus = b.part(PartKind::Bus, designation, Place::Panel, value, "feeds the controls of the panel", &[]);
    b.tap(net, bus, "bus");
    bus
}

/// Whether this turnout's frog is fed by a relay.
pub(super) fn wants_relay(member: &TurnoutPlan) -> bool {
    member.frog_feed == Some(FrogFeedBy::Relay)
}

/// A bistable relay with two coils, one set by each command line, with its common on `common`.
pub(super) fn two_coil_relay(
    b: &mut Builder,
    member: &TurnoutPlan,
    voltage: &str,
    set: NetId,
    reset: NetId,
    common: NetId,
) {
    let turnout = &b.document[member.turnout];
    let relay = b.numbered(
        PartKind::Relay { turnout: member.turnout, coils: 2 },
        member.number,
        Place::Board(turnout.board),
        format!("bistable, 2 coils {voltage}, may stay on"),
        format!("feeds the frog of {}; coil diodes fitted", *turnout.name),
        &["A1", "B1", "A2", "11", "12", "14"],
    );
    b.connect(set, relay, "A1");
    b.connect(reset, relay, "B1");
    b.connect(common, relay, "A2");
}

/// A decoder for one control, on the board of its first turnout: powered from the accessory
/// supply, told by the booster's accessory output, so that a short on the track cannot stop it.
pub(super) fn decoder(
    b: &mut Builder,
    control: ControlId,
    members: &[TurnoutPlan],
    poles: &Poles,
    track: &TrackSide,
    pins: &[&'static str],
) -> PartId {
    let board = b.document[members[0].turnout].board;
    let name = b.document[control].name.value.clone();
    let mut all = vec!["P1", "P2", "a", "b"];
    all.extend_from_slice(pins);
    let part = b.part(
        PartKind::Decoder { control },
        name,
        Place::Board(board),
        "accessory decoder",
        "works its turnouts on command",
        &all,
    );
    b.connect(poles.live, part, "P1");
    b.connect(poles.other, part, "P2");
    for feed in Feed::ALL {
        let pin = if feed == Feed::A { "a" } else { "b" };
        let found = b.circuit.nets.iter().position(|n| n.kind == NetKind::Data(feed));
        let net = match found {
            Some(at) => NetId(at),
            None => {
                let net = b.net(format!("accessory data {pin}"), NetKind::Data(feed));
                b.connect(net, track.source, pin);
                net
            }
        };
        b.connect(net, part, pin);
    }
    part
}
