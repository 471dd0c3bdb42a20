//! The track side: boosters or controllers with the cut-outs and switches of the sections, a pair of
//! buses for each section on every board, droppers, frog rails.

use super::Builder;
use crate::circuit::{NetId, NetKind, PartId, PartKind, Place};
use crate::drives::{ChangeoverId, Feeds};
use crate::parse::{BoardId, SectionFeed, TrainControl};
use crate::track::{Feed, Pole, RailId, RailPlace, ZoneId};
use std::collections::BTreeMap;

/// What later steps connect to.
pub(super) struct TrackSide {
    nets: BTreeMap<Pole, NetId>,
    /// By changeover: the net of the frogs or of the conductor that it feeds.
    fed: Vec<NetId>,
    pub source: PartId,
}

impl TrackSide {
    pub fn net(&self, pole: Pole) -> NetId {
        self.nets[&pole]
    }

    pub fn fed(&self, changeover: ChangeoverId) -> NetId {
        self.fed[changeover.0]
    }
}

pub(super) fn build(b: &mut Builder) -> TrackSide {
    let dcc = *b.document.layout.control == TrainControl::Dcc;
    let zones = used_zones(b);
    let mut nets = BTreeMap::new();
    for zone in &zones {
        for feed in Feed::ALL {
            let pole = Pole { zone: *zone, feed };
            nets.insert(pole, b.net(track_name(b, pole), NetKind::Track(pole)));
        }
    }
    let source = if dcc { boosters(b, &zones, &nets) } else { controllers(b, &zones, &nets) };
    buses_and_droppers(b, &zones, &nets);
    let fed = frog_nets(b, &nets);
    TrackSide { nets, fed, source }
}

/// Zones that have rails.
fn used_zones(b: &Builder) -> Vec<ZoneId> {
    let mut zones: Vec<ZoneId> = b.rails.rails.iter().map(|r| r.zone).collect();
    zones.sort_unstable();
    zones.dedup();
    zones
}

/// "track A", or with several zones "yard A".
fn track_name(b: &Builder, pole: Pole) -> String {
    let letter = pole.feed.letter();
    if used_zones(b).len() == 1 {
        format!("track {letter}")
    } else {
        format!("{} {letter}", b.rails[pole.zone].name)
    }
}

fn track_supply(b: &mut Builder, what: &str, reason: String, pins: &[&'static str]) -> PartId {
    let power = &b.document.track_power;
    let value = format!("{what}, {}, trips at {}", power.voltage, power.trip);
    b.numbered(PartKind::TrackSupply, 1, Place::Panel, value, reason, pins)
}

/// A booster for the layout, one more for each section that asks for it, a cut-out for each
/// district.
fn boosters(b: &mut Builder, zones: &[ZoneId], nets: &BTreeMap<Pole, NetId>) -> PartId {
    let first = track_supply(b, "booster", "feeds the rails".into(), &["A", "B", "a", "b"]);
    // The districts hang on the booster's own net, whether or not a section lies straight on it.
    let shared = zones.iter().copied().find(|z| b.rails[*z].feed == SectionFeed::Shared);
    let own = Feed::ALL.map(|feed| match shared {
        Some(zone) => nets[&Pole { zone, feed }],
        None => b.net(format!("booster {}", feed.letter()), NetKind::Cab(0, feed)),
    });
    for feed in Feed::ALL {
        b.connect(own[feed as usize], first, feed.letter());
    }
    for zone in zones {
        let name = b.rails[*zone].name.clone();
        let part = match b.rails[*zone].feed {
            SectionFeed::Booster => {
                track_supply(b, "booster", format!("feeds the rails of {name}"), &["A", "B"])
            }
            SectionFeed::District => {
                let value = "district cut-out";
                let reason = format!("cuts {name} off while it is shorted, so that the rest runs on");
                let kind = PartKind::DistrictCutout { zone: *zone };
                let part = b.numbered(kind, 1, Place::Panel, value, reason, &["1A", "1B", "A", "B"]);
                b.connect(own[0], part, "1A");
                b.connect(own[1], part, "1B");
                part
            }
            SectionFeed::Shared | SectionFeed::Reversing => continue,
        };
        for feed in Feed::ALL {
            b.connect(nets[&Pole { zone: *zone, feed }], part, feed.letter());
        }
    }
    first
}

/// Inputs of a section switch, by controller.
const CABS: [[&str; 2]; 4] = [["1A", "1B"], ["2A", "2B"], ["3A", "3B"], ["4A", "4B"]];

/// The controllers; a single section of a single controller needs no switch.
fn controllers(b: &mut Builder, zones: &[ZoneId], nets: &BTreeMap<Pole, NetId>) -> PartId {
    let cabs = b.document.track_power.cabs.min(CABS.len());
    let fed: Vec<ZoneId> = zones.iter().copied().filter(|z| !b.rails.is_reversing(*z)).collect();
    let mut sources = Vec::new();
    for cab in 1..=cabs {
        let reason = if cabs == 1 { "feeds the rails".to_owned() } else { format!("cab {cab}") };
        sources.push(track_supply(b, "controller", reason, &["A", "B"]));
    }
    if let ([zone], 1) = (fed.as_slice(), cabs) {
        for feed in Feed::ALL {
            b.connect(nets[&Pole { zone: *zone, feed }], sources[0], feed.letter());
        }
        return sources[0];
    }
    let cab_nets: Vec<[NetId; 2]> = (0..cabs)
        .map(|cab| {
            Feed::ALL.map(|feed| {
                let net = b.net(format!("cab {} {}", cab + 1, feed.letter()), NetKind::Cab(cab, feed));
                b.connect(net, sources[cab], feed.letter());
                net
            })
        })
        .collect();
    for zone in fed {
        let name = b.rails[zone].name.clone();
        let value = match cabs {
            1 => "section switch, double-pole, on and off".to_owned(),
            2 => "section switch, double-pole changeover with centre off".to_owned(),
            n => format!("section switch, double-pole rotary, {} positions", n + 1),
        };
        let mut pins: Vec<&'static str> = CABS.iter().take(cabs).flatten().copied().collect();
        pins.extend(["A", "B"]);
        let reason = if cabs == 1 {
            format!("switches {name} on and off")
        } else {
            format!("gives {name} to one of the cabs, or to none")
        };
        let part = b.numbered(PartKind::SectionSwitch { zone }, 1, Place::Panel, value, reason, &pins);
        for feed in Feed::ALL {
            b.connect(nets[&Pole { zone, feed }], part, feed.letter());
            for (cab, pins) in CABS.iter().take(cabs).enumerate() {
                b.connect(cab_nets[cab][feed as usize], part, pins[feed as usize]);
            }
        }
    }
    sources[0]
}

fn buses_and_droppers(b: &mut Builder, zones: &[ZoneId], nets: &BTreeMap<Pole, NetId>) {
    for board in (0..b.document.boards.len()).map(BoardId) {
        for zone in zones {
            let droppers: Vec<RailId> = b
                .rails
                .droppers
                .iter()
                .filter(|d| d.board == board && b.rails[d.rail].zone == *zone)
                .map(|d| d.rail)
                .collect();
            let turnouts = b.document.turnouts.iter().enumerate().any(|(i, t)| {
                let rail = b.rails.rails.iter().find(|r| owner(r.place) == Some(i));
                t.board == board && rail.is_some_and(|r| r.zone == *zone)
            });
            let taken = b.plan.changeovers.iter().any(|c| {
                c.board(b.document, b.rails) == board
                    && (c.at.iter().any(|p| p.zone == *zone)
                        || matches!(c.feeds, Feeds::Zone(pole) if pole.zone == *zone))
            });
            if droppers.is_empty() && !turnouts && !taken {
                continue;
            }
            for feed in Feed::ALL {
                let letter = feed.letter();
                let number = if zone.0 == 0 { String::new() } else { format!("{}", zone.0 + 1) };
                let along = &b.document[board].name;
                let (value, reason) = if zones.len() == 1 {
                    (format!("track bus {letter}"), format!("carries feed {letter} along {}", **along))
                } else {
                    let name = &b.rails[*zone].name;
                    (
                        format!("track bus {letter} of {name}"),
                        format!("carries feed {letter} of {name} along {}", **along),
                    )
                };
                let designation = format!("W{}{letter}{number}", board.0 + 1);
                let bus = b.part(PartKind::Bus, designation, Place::Board(board), value, reason, &[]);
                b.tap(nets[&Pole { zone: *zone, feed }], bus, "bus");
            }
            for rail in droppers {
                // A rail with a dropper lies in a feed: switched frogs have none.
                if let Some(pole) = b.rails[rail].pole {
                    rail_pin(b, nets[&pole], rail, board, "dropper");
                }
            }
        }
    }
}

fn owner(place: RailPlace) -> Option<usize> {
    match place {
        RailPlace::Stock(t, _) | RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => Some(t.0),
        RailPlace::Track(..) => None,
    }
}

/// The net that each changeover feeds, with the frogs on it.
fn frog_nets(b: &mut Builder, nets: &BTreeMap<Pole, NetId>) -> Vec<NetId> {
    let changeovers = b.plan.changeovers.clone();
    let mut fed = Vec::new();
    for (i, changeover) in changeovers.iter().enumerate() {
        fed.push(match &changeover.feeds {
            Feeds::Zone(pole) => nets[pole],
            Feeds::Frogs(frogs) => {
                let rails: Vec<RailId> = frogs.iter().map(|f| b.rails[*f].rail).collect();
                let names: Vec<&str> = rails.iter().map(|r| b.rails[*r].name.as_str()).collect();
                let first = names.first().copied().unwrap_or_default();
                let name = match (names.len(), first.strip_suffix(" frog")) {
                    (1, Some(turnout)) if !turnout.contains(' ') => format!("frog {turnout}"),
                    _ => names.join(" + "),
                };
                let net = b.net(name, NetKind::Frog(ChangeoverId(i)));
                let board = changeover.turnout(b.rails).map_or(BoardId(0), |t| b.document[t].board);
                for rail in rails {
                    rail_pin(b, net, rail, board, "frog");
                }
                net
            }
        });
    }
    fed
}

fn rail_pin(b: &mut Builder, net: NetId, rail: RailId, board: BoardId, pin: &'static str) {
    let name = b.rails.rails[rail.0].name.clone();
    let part = b.part(
        PartKind::Rail { rail },
        name,
        Place::Board(board),
        "rail",
        if pin == "frog" { "takes its polarity from a contact" } else { "fed by a dropper" },
        &[pin],
    );
    b.connect(net, part, pin);
}
