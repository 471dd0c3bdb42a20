//! What the uses share: the plug-in supply with its fuse, the common buses of the panel, relays
//! that follow a command, decoders.

use super::track::TrackSide;
use super::{Builder, contact_pins};
use crate::circuit::{NetId, NetKind, PartId, PartKind, Place};
use crate::drives::{BarPlan, Decider, UsePlan, fed};
use crate::parse::{BarId, BoardId, ControlId, FrogFeedBy, SupplyKind};
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

/// The board of the relay that follows a bar: that of the first thing it feeds.
fn relay_board(b: &Builder, bar: BarId) -> BoardId {
    let mut mine = b.plan.following(Decider::Bar(bar)).map(|c| b.plan.changeover(c));
    let first = mine.find(|c| c.by == FrogFeedBy::Relay);
    first.map_or(b.document.turnout_of(bar).board, |c| c.board(b.document, b.rails))
}

/// What the relay of a bar feeds, in words.
fn relay_feeds(b: &Builder, bar: BarId) -> String {
    let mine = b.plan.following(Decider::Bar(bar)).map(|c| b.plan.changeover(c));
    let names = mine.filter(|c| c.by == FrogFeedBy::Relay).map(|c| fed(b.document, b.rails, &c.feeds));
    names.collect::<Vec<_>>().join(", ")
}

/// A bistable relay with two coils, one set by each command line, with its common on `common`.
pub(super) fn two_coil_relay(
    b: &mut Builder,
    member: &BarPlan,
    voltage: &str,
    set: NetId,
    reset: NetId,
    common: NetId,
) {
    let reason = format!("feeds {}; coil diodes fitted", relay_feeds(b, member.bar));
    let coils = [("A1", set), ("B1", reset), ("A2", common)];
    relay(b, member, 2, &coils, &format!("2 coils {voltage}"), reason);
}

/// A relay with one coil that follows the polarity of a motor's two lines.
pub(super) fn one_coil_relay(b: &mut Builder, member: &BarPlan, one: NetId, two: NetId) {
    let reason = format!("follows the polarity of the motor of {}", b.document[member.bar].name);
    relay(b, member, 1, &[("A1", one), ("A2", two)], "1 coil for the motor's voltage", reason);
}

/// A relay with so many coils, the nets at their pins, and a changeover for each thing it feeds.
fn relay(
    b: &mut Builder,
    member: &BarPlan,
    coils: usize,
    at: &[(&'static str, NetId)],
    coil_words: &str,
    reason: String,
) {
    let contacts = b.plan.carried(member.bar, FrogFeedBy::Relay);
    let pins: Vec<&'static str> = at.iter().map(|(pin, _)| *pin).chain(contact_pins(contacts)).collect();
    let relay = b.numbered(
        PartKind::Relay { bar: member.bar, coils },
        member.number,
        Place::Board(relay_board(b, member.bar)),
        format!("bistable, {}{coil_words}, may stay on", poles_word(contacts)),
        reason,
        &pins,
    );
    for (pin, net) in at {
        b.connect(*net, relay, pin);
    }
}

fn poles_word(contacts: usize) -> String {
    if contacts > 1 { format!("{contacts} changeovers, ") } else { String::new() }
}

/// A decoder for one control, on the board of its first turnout: powered from the accessory
/// supply, told by the booster's accessory output, so that a short on the track cannot stop it.
pub(super) fn decoder(
    b: &mut Builder,
    control: ControlId,
    members: &[BarPlan],
    poles: &Poles,
    track: &TrackSide,
    pins: &[&'static str],
) -> PartId {
    let board = b.document.turnout_of(members[0].bar).board;
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
