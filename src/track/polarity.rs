//! Which way round every piece of track lies, by parity.
//!
//! Every track has a frame (from `from` to `to`), and so has every set of roads of a turnout that
//! hang together (from the toe to the heels). Where two of them meet, "left" is the same rail in
//! both frames or the opposite one. Spreading that from a first piece gives every rail its feed. A
//! connection that contradicts what was already found closes a reversing connection (a loop, a
//! triangle): the tracks on the way round are its witness, and one of them becomes a reversing
//! section, through which polarity does not spread.

use super::zones::Allotment;
use super::{Boundary, Feed, Formation, Position, Reversing, ZoneId};
use crate::parse::{Document, Port, TrackEnd, TrackId, TurnoutId};
use crate::units::Length;
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, VecDeque};

/// The feed of the left rail of every piece, in its own frame.
pub(super) struct Polarity {
    /// By turnout and frame.
    pub frame_left: BTreeMap<(TurnoutId, usize), Feed>,
    pub track_left: Vec<Feed>,
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Piece {
    Frame(TurnoutId, usize),
    Track(TrackId),
}

/// Where a track meets a turnout.
struct Meeting {
    track: TrackId,
    turnout: TurnoutId,
    port: Port,
    frame: usize,
    /// Whether left is right on the other side.
    turned: bool,
}

/// Feeds of all pieces, and the reversing sections that were needed or asked for. Adds the needed
/// ones to the allotment.
pub(super) fn spread(document: &Document, allotment: &mut Allotment) -> (Polarity, Vec<Reversing>) {
    let meetings = meetings(document);
    let mut rings: Vec<(ZoneId, Vec<TrackId>)> = Vec::new();
    loop {
        let polarity = loop {
            match try_spread(document, allotment, &meetings) {
                Ok(polarity) => break polarity,
                Err(ring) => {
                    let Some(track) = choose(document, &ring) else {
                        unreachable!("a ring of rails has a track in it")
                    };
                    rings.push((ZoneId(allotment.zones.len()), ring));
                    allotment.reverse(document, track);
                }
            }
        };
        let reversing: Vec<Reversing> = (0..allotment.zones.len())
            .map(ZoneId)
            .filter(|z| allotment.is_reversing(*z))
            .map(|zone| {
                let ring = rings.iter().find(|(z, _)| *z == zone).map(|(_, r)| r.clone()).unwrap_or_default();
                section(document, allotment, &meetings, &polarity, zone, ring)
            })
            .collect();
        // A section proposed later can lie on the same ring as an earlier one, which then fits its
        // surroundings at all borders and must not be cut off from them.
        let Some(spare) = reversing.iter().find(|r| !r.ring.is_empty() && !r.is_needed()) else {
            return (polarity, reversing);
        };
        rings.retain(|(z, _)| *z != spare.zone);
        for (zone, _) in rings.iter_mut().filter(|(z, _)| *z > spare.zone) {
            zone.0 -= 1;
        }
        allotment.give_back(document, spare.zone);
    }
}

/// The track of a ring to be the reversing section: the longest, because a train must fit into it;
/// of equals the first of the file.
fn choose(document: &Document, ring: &[TrackId]) -> Option<TrackId> {
    let length = |t: &TrackId| document[*t].length.map_or(0.0, Length::mm);
    ring.iter().copied().min_by(|a, b| length(b).total_cmp(&length(a)).then(a.cmp(b)))
}

fn meetings(document: &Document) -> Vec<Meeting> {
    let mut found = Vec::new();
    for (i, track) in document.tracks.iter().enumerate() {
        for (end, leaving) in [(*track.from, true), (*track.to, false)] {
            let TrackEnd::Port(turnout, port) = end else { continue };
            // A port that its turnout has not is refused when the file is read.
            let Some((frame, outward)) = Formation::of(&document[turnout]).port_frame(port) else { continue };
            found.push(Meeting { track: TrackId(i), turnout, port, frame, turned: outward != leaving });
        }
    }
    found
}

/// The feeds, or the first ring that contradicts itself.
fn try_spread(
    document: &Document,
    allotment: &Allotment,
    meetings: &[Meeting],
) -> Result<Polarity, Vec<TrackId>> {
    let mut graph: UnGraph<Piece, bool> = UnGraph::new_undirected();
    let mut frames: BTreeMap<(TurnoutId, usize), NodeIndex> = BTreeMap::new();
    for (i, turnout) in document.turnouts.iter().enumerate() {
        let formation = Formation::of(turnout);
        for road in 0..formation.roads().len() {
            let key = (TurnoutId(i), formation.frame(road));
            frames.entry(key).or_insert_with(|| graph.add_node(Piece::Frame(key.0, key.1)));
        }
    }
    let tracks: Vec<NodeIndex> =
        (0..document.tracks.len()).map(|i| graph.add_node(Piece::Track(TrackId(i)))).collect();
    for m in meetings {
        if allotment.spreads(allotment.track[m.track.0], allotment.turnout[m.turnout.0]) {
            graph.add_edge(frames[&(m.turnout, m.frame)], tracks[m.track.0], m.turned);
        }
    }

    let mut left: Vec<Option<Feed>> = vec![None; graph.node_count()];
    let mut parent: Vec<Option<NodeIndex>> = vec![None; graph.node_count()];
    while let Some((start, feed)) = next_start(&graph, &frames, &left) {
        left[start.index()] = Some(feed);
        let mut queue = VecDeque::from([start]);
        while let Some(node) = queue.pop_front() {
            let here = left[node.index()].unwrap_or(Feed::A);
            let mut edges: Vec<_> = graph.edges(node).collect();
            edges.sort_by_key(|e| e.id());
            for edge in edges {
                let next = if edge.source() == node { edge.target() } else { edge.source() };
                let there = if *edge.weight() { here.other() } else { here };
                match left[next.index()] {
                    None => {
                        left[next.index()] = Some(there);
                        parent[next.index()] = Some(node);
                        queue.push_back(next);
                    }
                    Some(found) if found != there => return Err(ring(&graph, &parent, node, next)),
                    Some(_) => {}
                }
            }
        }
    }
    let of = |n: NodeIndex| left[n.index()].unwrap_or(Feed::A);
    Ok(Polarity {
        frame_left: frames.into_iter().map(|(key, n)| (key, of(n))).collect(),
        track_left: tracks.into_iter().map(of).collect(),
    })
}

/// Where to go on when all that hangs together is done. Two lines that meet in a diamond only may lie
/// either way round: they are made to agree, so that its acute frogs are those that change.
fn next_start(
    graph: &UnGraph<Piece, bool>,
    frames: &BTreeMap<(TurnoutId, usize), NodeIndex>,
    left: &[Option<Feed>],
) -> Option<(NodeIndex, Feed)> {
    let other_line = frames.iter().find_map(|((turnout, _), node)| {
        let of_turnout = (*turnout, 0)..(*turnout, usize::MAX);
        let known = frames.range(of_turnout).find_map(|(_, other)| left[other.index()])?;
        left[node.index()].is_none().then_some((*node, known))
    });
    other_line.or_else(|| {
        let start = graph.node_indices().find(|n| left[n.index()].is_none())?;
        Some((start, Feed::A))
    })
}

/// The tracks on the way round that a connection between two pieces closes.
fn ring(
    graph: &UnGraph<Piece, bool>,
    parent: &[Option<NodeIndex>],
    a: NodeIndex,
    b: NodeIndex,
) -> Vec<TrackId> {
    let up = |mut n: NodeIndex| {
        let mut way = vec![n];
        while let Some(p) = parent[n.index()] {
            way.push(p);
            n = p;
        }
        way
    };
    let (mut from_a, mut from_b) = (up(a), up(b));
    // Drop what both ways share beyond their meeting point.
    while from_a.len() > 1 && from_b.len() > 1 && from_a[from_a.len() - 2..] == from_b[from_b.len() - 2..] {
        from_a.pop();
        from_b.pop();
    }
    from_b.pop();
    let round = from_a.iter().rev().chain(from_b.iter());
    round
        .filter_map(|n| match graph[*n] {
            Piece::Track(t) => Some(t),
            Piece::Frame(..) => None,
        })
        .collect()
}

fn section(
    document: &Document,
    allotment: &Allotment,
    meetings: &[Meeting],
    polarity: &Polarity,
    zone: ZoneId,
    ring: Vec<TrackId>,
) -> Reversing {
    let tracks: Vec<TrackId> =
        (0..document.tracks.len()).map(TrackId).filter(|t| allotment.track[t.0] == zone).collect();
    let mut boundaries = Vec::new();
    for m in meetings {
        let (track, turnout) = (allotment.track[m.track.0], allotment.turnout[m.turnout.0]);
        if track == turnout || ![track, turnout].contains(&zone) {
            continue;
        }
        let one = polarity.frame_left[&(m.turnout, m.frame)];
        let other = polarity.track_left[m.track.0];
        let same = (one == other) != m.turned;
        boundaries.push(Boundary {
            turnout: m.turnout,
            port: m.port,
            track: m.track,
            outside: if track == zone { turnout } else { track },
            fits: if same { Position::Normal } else { Position::Reverse },
        });
    }
    let length = shortest(document, allotment, zone, &boundaries);
    Reversing { zone, tracks, ring, boundaries, length }
}

/// The shortest way along the tracks of a section between boundaries of the two sorts. Turnouts
/// on the way count nothing: their length is not known.
fn shortest(
    document: &Document,
    allotment: &Allotment,
    zone: ZoneId,
    boundaries: &[Boundary],
) -> Option<Length> {
    // Nodes: turnouts, then for each track its two ends.
    let mut graph: UnGraph<(), f64> = UnGraph::new_undirected();
    let turnouts: Vec<NodeIndex> = document.turnouts.iter().map(|_| graph.add_node(())).collect();
    let mut ends = BTreeMap::new();
    for (i, track) in document.tracks.iter().enumerate() {
        if allotment.track[i] != zone {
            continue;
        }
        let pair = [graph.add_node(()), graph.add_node(())];
        ends.insert(TrackId(i), pair);
        if let Some(length) = track.length {
            graph.add_edge(pair[0], pair[1], length.mm());
        }
        for (end, node) in [(*track.from, pair[0]), (*track.to, pair[1])] {
            if let TrackEnd::Port(turnout, _) = end
                && allotment.turnout[turnout.0] == zone
            {
                graph.add_edge(node, turnouts[turnout.0], 0.0);
            }
        }
    }
    let node = |b: &Boundary| match ends.get(&b.track) {
        Some(pair) => {
            let from = *document[b.track].from == TrackEnd::Port(b.turnout, b.port);
            pair[usize::from(!from)]
        }
        None => turnouts[b.turnout.0],
    };
    let mut best: Option<f64> = None;
    for a in boundaries.iter().filter(|b| b.fits == Position::Normal) {
        let reach = petgraph::algo::dijkstra(&graph, node(a), None, |e| *e.weight());
        for b in boundaries.iter().filter(|b| b.fits == Position::Reverse) {
            if let Some(far) = reach.get(&node(b)) {
                best = Some(best.map_or(*far, |so_far: f64| so_far.min(*far)));
            }
        }
    }
    best.map(Length::from_mm)
}
