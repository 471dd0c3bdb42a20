//! Where a train comes from roads that are set: which turnouts it meets that nobody set for it.

use super::{Formation, Position};
use crate::parse::{BarId, Document, Port, TrackEnd, TurnoutId};
use std::collections::BTreeMap;

/// Turnouts that the track of the roads set runs into, but that are not set, or with one bar only.
/// In the order of the file.
pub fn left_unset(document: &Document, set: &BTreeMap<BarId, Position>) -> Vec<TurnoutId> {
    let mut found = Vec::new();
    for turnout in (0..document.turnouts.len()).map(TurnoutId) {
        let bars: Vec<BarId> = document.bars_of(turnout).collect();
        let setting: Vec<Position> = bars.iter().filter_map(|b| set.get(b)).copied().collect();
        if setting.is_empty() {
            continue;
        }
        if setting.len() < bars.len() {
            found.push(turnout);
            continue;
        }
        let formation = Formation::of(&document[turnout]);
        for road in formation.roads_at(&setting) {
            let road = &formation.roads()[road];
            found.extend(
                [road.from, road.to].into_iter().filter_map(|port| met(document, set, turnout, port)),
            );
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// The turnout that the track from a port leads to, if it is not set; straight across diamonds.
fn met(
    document: &Document,
    set: &BTreeMap<BarId, Position>,
    turnout: TurnoutId,
    port: Port,
) -> Option<TurnoutId> {
    let mut from = (turnout, port);
    // A ring of diamonds has no turnout to meet.
    for _ in 0..=document.tracks.len() {
        let (next, port) = next(document, from)?;
        let mut bars = document.bars_of(next).peekable();
        if bars.peek().is_some() {
            return (!bars.all(|b| set.contains_key(&b))).then_some(next);
        }
        let formation = Formation::of(&document[next]);
        let road = formation.roads_of(port).next()?;
        let road = &formation.roads()[road];
        from = (next, if road.from == port { road.to } else { road.from });
    }
    None
}

/// The port at the other end of the track that joins a port.
fn next(document: &Document, (turnout, port): (TurnoutId, Port)) -> Option<(TurnoutId, Port)> {
    let here = TrackEnd::Port(turnout, port);
    let track = document.tracks.iter().find(|t| *t.from == here || *t.to == here)?;
    let there = if *track.from == here { *track.to } else { *track.from };
    match there {
        TrackEnd::Port(turnout, port) => Some((turnout, port)),
        TrackEnd::Buffer | TrackEnd::OffTheLayout => None,
    }
}
