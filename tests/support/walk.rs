//! A second opinion on frog polarity, made of nothing but the layout file and plain geometry.
//!
//! Trains are sent over every road. Each piece of rail is one of two conductors, and a train's left
//! wheels stay on one conductor for as long as it does not turn round. At a frog, the wheel of one
//! side rolls over it; the frog must be the conductor on which that wheel comes and goes.
//!
//! Source of the rule: geometry alone; the tables that clubs publish (right-hand turnout: straight
//! takes the right stock rail, diverging the left; left-hand the mirror image) agree with it.

use std::collections::VecDeque;
use underboard::parse::{Document, Port, TrackEnd, TrackId, TurnoutId, TurnoutKind};

/// Which wheel of a train rolls over the frog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wheel {
    Left,
    Right,
}

/// Across the track at a distance from the toe, to the left: the middle line of a road.
fn middle(kind: TurnoutKind, road: Port, x: f64) -> f64 {
    let bend = x * x / 2.0;
    match (kind, road) {
        (TurnoutKind::Left, Port::Diverging) | (TurnoutKind::Wye, Port::Left) => bend,
        (TurnoutKind::Right, Port::Diverging) | (TurnoutKind::Wye, Port::Right) => -bend,
        _ => 0.0,
    }
}

/// The wheel that rolls over the frog on a road, seen from the toe: found where a rail of this road
/// crosses a rail of the other.
pub fn wheel_on_frog(kind: TurnoutKind, road: Port, other: Port) -> Wheel {
    let gauge = 1.0;
    let rail =
        |road, wheel, x| middle(kind, road, x) + if wheel == Wheel::Left { gauge } else { -gauge } / 2.0;
    let mut crossings = Vec::new();
    for mine in [Wheel::Left, Wheel::Right] {
        for theirs in [Wheel::Left, Wheel::Right] {
            let apart = |x: f64| rail(road, mine, x) - rail(other, theirs, x);
            if apart(0.1) * apart(4.0) < 0.0 {
                crossings.push(mine);
            }
        }
    }
    assert_eq!(crossings.len(), 1, "two roads have one frog");
    crossings[0]
}

/// For every turnout and track, the conductor (0 or 1) under a train's left wheels when it runs
/// inward from the toe, or from the track's `from` to its `to`; and which part of the layout it
/// belongs to. Conductors of parts that are not joined have nothing to do with one another.
pub struct Walk {
    pub turnouts: Vec<(usize, u8)>,
    pub tracks: Vec<(usize, u8)>,
}

#[derive(Clone, Copy)]
enum Run {
    /// Into a turnout by a port.
    Into(TurnoutId, Port),
    /// Onto a track, from its `from` end or not.
    Onto(TrackId, bool),
}

/// Sends trains everywhere. An error names the piece on which a train came back turned round.
pub fn walk(document: &Document) -> Result<Walk, String> {
    let mut turnouts: Vec<Option<(usize, u8)>> = vec![None; document.turnouts.len()];
    let mut tracks: Vec<Option<(usize, u8)>> = vec![None; document.tracks.len()];
    let track_at = |end: TrackEnd| {
        let from = document.tracks.iter().position(|t| *t.from == end).map(|i| Run::Onto(TrackId(i), true));
        from.or_else(|| {
            document.tracks.iter().position(|t| *t.to == end).map(|i| Run::Onto(TrackId(i), false))
        })
    };
    let mut part = 0;
    let turnout_starts = (0..turnouts.len()).map(|i| Run::Into(TurnoutId(i), Port::Toe));
    let starts: Vec<Run> =
        turnout_starts.chain((0..tracks.len()).map(|i| Run::Onto(TrackId(i), true))).collect();
    for start in starts {
        let seen = match start {
            Run::Into(t, _) => turnouts[t.0].is_some(),
            Run::Onto(k, _) => tracks[k.0].is_some(),
        };
        if seen {
            continue;
        }
        let mut trains = VecDeque::from([(start, 0u8)]);
        while let Some((run, left)) = trains.pop_front() {
            let (slot, in_frame, name) = match run {
                Run::Into(t, port) => (&mut turnouts[t.0], port == Port::Toe, &document.turnouts[t.0].name),
                Run::Onto(k, from) => (&mut tracks[k.0], from, &document.tracks[k.0].name),
            };
            // A train the other way has its right wheels where this one has its left.
            let frame = if in_frame { left } else { 1 - left };
            match slot {
                Some((_, known)) if *known == frame => continue,
                Some(_) => return Err(format!("a train comes back to {} turned round", **name)),
                None => *slot = Some((part, frame)),
            }
            // On from every end of the piece, in both directions.
            match run {
                Run::Into(t, _) => {
                    let [toe, one, two] = document.turnouts[t.0].kind.ports();
                    for (port, left) in [(one, frame), (two, frame), (toe, 1 - frame)] {
                        trains.extend(track_at(TrackEnd::Port(t, port)).map(|next| (next, left)));
                    }
                }
                Run::Onto(k, _) => {
                    let track = &document.tracks[k.0];
                    for (end, left) in [(*track.to, frame), (*track.from, 1 - frame)] {
                        if let TrackEnd::Port(t, port) = end {
                            trains.push_back((Run::Into(t, port), left));
                        }
                    }
                }
            }
        }
        part += 1;
    }
    let all = |list: Vec<Option<(usize, u8)>>| list.into_iter().map(Option::unwrap).collect();
    Ok(Walk { turnouts: all(turnouts), tracks: all(tracks) })
}
