//! The track side: booster or controller, a pair of buses on every board, droppers, frog rails.

use super::Builder;
use crate::circuit::{NetId, NetKind, PartId, PartKind, Place};
use crate::parse::{BoardId, TrainControl, TurnoutId};
use crate::track::{Feed, RailId};

/// What later steps connect to.
pub(super) struct TrackSide {
    nets: [NetId; 2],
    frogs: Vec<(TurnoutId, NetId)>,
    pub source: PartId,
}

impl TrackSide {
    pub fn net(&self, feed: Feed) -> NetId {
        self.nets[feed as usize]
    }

    pub fn frog(&self, turnout: TurnoutId) -> Option<NetId> {
        self.frogs.iter().find(|(t, _)| *t == turnout).map(|(_, n)| *n)
    }
}

pub(super) fn build(b: &mut Builder) -> TrackSide {
    let power = &b.document.track_power;
    let dcc = *b.document.layout.control == TrainControl::Dcc;
    let what = if dcc { "booster" } else { "controller" };
    let pins: &[&str] = if dcc { &["A", "B", "a", "b"] } else { &["A", "B"] };
    let source = b.numbered(
        PartKind::TrackSupply,
        1,
        Place::Panel,
        format!("{what}, {}, trips at {}", power.voltage, power.trip),
        "feeds the rails",
        pins,
    );
    let nets = Feed::ALL.map(|feed| {
        let net = b.net(format!("track {}", feed.letter()), NetKind::Track(feed));
        b.connect(net, source, feed.letter());
        net
    });
    let mut track = TrackSide { nets, frogs: Vec::new(), source };
    buses_and_droppers(b, &track);
    for need in b.rails.frogs.clone() {
        let name = b.document[need.turnout].name.value.clone();
        let net = b.net(format!("frog {name}"), NetKind::Frog(need.turnout));
        let board = b.document[need.turnout].board;
        rail_pin(b, net, need.rail, board, "frog");
        track.frogs.push((need.turnout, net));
    }
    track
}

fn buses_and_droppers(b: &mut Builder, track: &TrackSide) {
    for board in 0..b.document.boards.len() {
        let place = Place::Board(BoardId(board));
        let droppers: Vec<(usize, RailId)> = b
            .rails
            .droppers
            .iter()
            .enumerate()
            .filter(|(_, d)| d.board == BoardId(board))
            .map(|(i, d)| (i, d.rail))
            .collect();
        let turnouts_here = b.document.turnouts.iter().any(|t| t.board == BoardId(board));
        if droppers.is_empty() && !turnouts_here {
            continue;
        }
        for feed in Feed::ALL {
            let bus = b.part(
                PartKind::Bus,
                format!("W{}{}", board + 1, feed.letter()),
                place,
                format!("track bus {}", feed.letter()),
                format!("carries feed {} along {}", feed.letter(), *b.document.boards[board].name),
                &[],
            );
            b.tap(track.net(feed), bus, "bus");
        }
        for (_, rail) in droppers {
            // A rail with a dropper lies in a feed: frogs have none.
            if let Some(feed) = b.rails.rails[rail.0].feed {
                rail_pin(b, track.net(feed), rail, BoardId(board), "dropper");
            }
        }
    }
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
