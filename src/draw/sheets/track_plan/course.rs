//! Which way every turnout faces on the sheet, and which tracks cannot run straight across it.

use crate::draw::sheets::{is_level, is_toe_end};
use crate::parse::{Document, Port, Track, TrackEnd, TrackId, TurnoutId};
use std::collections::{BTreeSet, VecDeque};

/// A direction along the rows of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// Toe on the left, frog on the right.
    East,
    West,
}

impl Facing {
    pub fn other(self) -> Facing {
        match self {
            Facing::East => Facing::West,
            Facing::West => Facing::East,
        }
    }

    /// +1 to the right, −1 to the left.
    pub fn sign(self) -> f64 {
        match self {
            Facing::East => 1.0,
            Facing::West => -1.0,
        }
    }

    /// The direction in which a track leaves a turnout that faces this way.
    pub fn outward(self, port: Port) -> Facing {
        if is_toe_end(port) { self.other() } else { self }
    }
}

/// The layout as a run from left to right.
#[derive(Clone, Debug)]
pub struct Course {
    /// For each turnout.
    pub facing: Vec<Facing>,
    /// For each turnout, how many others lie to the left of it at least.
    pub rank: Vec<usize>,
    /// For each turnout, where it stands from the left, in millimetres of layout, if known.
    pub hint: Vec<Option<f64>>,
    /// Tracks that come back the other way, or close a ring: drawn as two ends with a mark.
    pub cut: BTreeSet<TrackId>,
    /// Turnouts in the order in which they go onto sheets: neighbours together.
    pub order: Vec<TurnoutId>,
    /// For each turnout, whether it is a diamond or slip whose road c–d lies level, not a–b.
    pub across: Vec<bool>,
}

type PortRef = (TurnoutId, Port);

/// Both ends of a track, if they are turnouts.
pub fn ports(track: &Track) -> Option<(PortRef, PortRef)> {
    match (*track.from, *track.to) {
        (TrackEnd::Port(a, p), TrackEnd::Port(b, q)) => Some(((a, p), (b, q))),
        _ => None,
    }
}

impl Course {
    pub fn of(document: &Document) -> Course {
        let hint = hints(document);
        let facing = facing(document);
        let count = document.turnouts.len();
        let mut edges: Vec<(bool, TrackId, usize, usize)> = Vec::new();
        let mut cut = BTreeSet::new();
        for (i, track) in document.tracks.iter().enumerate() {
            let Some(((a, p), (b, q))) = ports(track) else { continue };
            let (out_a, out_b) = (facing[a.0].outward(p), facing[b.0].outward(q));
            if out_a == out_b {
                cut.insert(TrackId(i));
                continue;
            }
            let (west, east) = if out_a == Facing::East { (a.0, b.0) } else { (b.0, a.0) };
            let backwards = matches!((hint[west], hint[east]), (Some(w), Some(e)) if w > e);
            edges.push((backwards, TrackId(i), west, east));
        }
        // Tracks that run as the positions say come first; one that would close a ring is cut.
        edges.sort();
        let mut after: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (_, track, west, east) in edges {
            if reaches(&after, east, west) {
                cut.insert(track);
            } else {
                after[west].push(east);
            }
        }
        let rank = ranks(&after);
        let order = order(document, &rank, &hint);
        Course { facing, rank, hint, cut, order, across: across(document) }
    }
}

/// The straight road of a crossing that goes on into straight roads lies level; a–b if both do.
fn across(document: &Document) -> Vec<bool> {
    let mut weight = vec![[0; 2]; document.turnouts.len()];
    let level = |(t, port): PortRef| document[t].kind.has_toe() && is_level(port);
    for (one, other) in document.tracks.iter().filter_map(ports) {
        for (near, far) in [(one, other), (other, one)] {
            if level(far) {
                weight[near.0.0][usize::from(matches!(near.1, Port::C | Port::D))] += 1;
            }
        }
    }
    let crossing = |i: usize| !document.turnouts[i].kind.has_toe();
    weight.iter().enumerate().map(|(i, [ab, cd])| crossing(i) && cd > ab).collect()
}

/// Positions along the room, boards that do not say where they stand being side by side.
fn hints(document: &Document) -> Vec<Option<f64>> {
    let mut left = 0.0;
    let starts: Vec<f64> = document
        .boards
        .iter()
        .map(|b| {
            let start = b.stands_at.map_or(left, |(x, _)| x.mm());
            left = start + b.size.map_or(1200.0, |(w, _)| w.mm());
            start
        })
        .collect();
    document.turnouts.iter().map(|t| t.place.map(|p| starts[t.board.0] + p.origin.0.mm())).collect()
}

fn facing(document: &Document) -> Vec<Facing> {
    let count = document.turnouts.len();
    let mut found: Vec<Option<Facing>> = document
        .turnouts
        .iter()
        .map(|t| {
            let heading = t.place?.heading.degrees().to_radians();
            // A heading straight to the back counts as to the right.
            Some(if heading.cos() > -1e-6 { Facing::East } else { Facing::West })
        })
        .collect();
    let mut near: Vec<Vec<(Port, PortRef)>> = vec![Vec::new(); count];
    for ((a, p), (b, q)) in document.tracks.iter().filter_map(ports) {
        near[a.0].push((p, (b, q)));
        near[b.0].push((q, (a, p)));
    }
    let mut queue: VecDeque<usize> = (0..count).filter(|i| found[*i].is_some()).collect();
    for start in 0..count {
        if queue.is_empty() && found[start].is_none() {
            found[start] = Some(Facing::East);
            queue.push_back(start);
        }
        while let Some(i) = queue.pop_front() {
            let here = found[i].unwrap_or(Facing::East);
            for (port, (other, far)) in &near[i] {
                if found[other.0].is_none() {
                    let back = here.outward(*port).other();
                    // Facing such that the far port's way out points back here.
                    found[other.0] = Some(if is_toe_end(*far) { back.other() } else { back });
                    queue.push_back(other.0);
                }
            }
        }
    }
    found.into_iter().map(|f| f.unwrap_or(Facing::East)).collect()
}

fn reaches(after: &[Vec<usize>], from: usize, to: usize) -> bool {
    let mut seen = vec![false; after.len()];
    let mut stack = vec![from];
    while let Some(i) = stack.pop() {
        if i == to {
            return true;
        }
        if !std::mem::replace(&mut seen[i], true) {
            stack.extend(&after[i]);
        }
    }
    false
}

fn ranks(after: &[Vec<usize>]) -> Vec<usize> {
    let mut rank = vec![0; after.len()];
    // No rings are left: as many rounds as turnouts settle it.
    for _ in 0..after.len() {
        let mut changed = false;
        for i in 0..after.len() {
            for j in &after[i] {
                if rank[*j] <= rank[i] {
                    rank[*j] = rank[i] + 1;
                    changed = true;
                }
            }
        }
        if !changed {
            break;
        }
    }
    rank
}

/// Turnout after turnout along the tracks, from the left.
fn order(document: &Document, rank: &[usize], hint: &[Option<f64>]) -> Vec<TurnoutId> {
    let count = document.turnouts.len();
    let mut near: Vec<Vec<(Port, usize)>> = vec![Vec::new(); count];
    for ((a, p), (b, q)) in document.tracks.iter().filter_map(ports) {
        near[a.0].push((p, b.0));
        near[b.0].push((q, a.0));
    }
    for list in &mut near {
        list.sort();
    }
    let mut starts: Vec<usize> = (0..count).collect();
    let key = |i: usize| (rank[i], hint[i].unwrap_or(0.0));
    starts.sort_by(|a, b| key(*a).0.cmp(&key(*b).0).then(key(*a).1.total_cmp(&key(*b).1)));
    let mut seen = vec![false; count];
    let mut order = Vec::with_capacity(count);
    for start in starts {
        let mut queue = VecDeque::from([start]);
        while let Some(i) = queue.pop_front() {
            if std::mem::replace(&mut seen[i], true) {
                continue;
            }
            order.push(TurnoutId(i));
            queue.extend(near[i].iter().map(|(_, j)| *j));
        }
    }
    order
}
