//! Which way round every piece of track lies, by parity.
//!
//! Every turnout has a frame (from the toe to the frog) and every track too (from `from` to `to`).
//! Where two of them meet, "left" is the same rail in both frames or the opposite one. Spreading
//! that from a first turnout gives every rail its feed; a connection that contradicts what was
//! already found closes a reversing connection (a loop, a triangle), and the tracks on the way
//! round are its witness.

use super::Feed;
use crate::diag::Diagnostic;
use crate::parse::{Document, Port, TrackEnd, TrackId, TurnoutId};
use petgraph::graph::{NodeIndex, UnGraph};
use petgraph::visit::EdgeRef;
use std::collections::VecDeque;

/// The feed of the left rail of every piece, in its own frame.
pub(super) struct Polarity {
    pub toe_left: Vec<Feed>,
    pub track_left: Vec<Feed>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Piece {
    Turnout(TurnoutId),
    Track(TrackId),
}

/// Feeds of all pieces, and one error for each independent reversing connection.
pub(super) fn spread(document: &Document) -> (Polarity, Vec<Diagnostic>) {
    let graph = pieces(document);
    let mut left: Vec<Option<Feed>> = vec![None; graph.node_count()];
    let mut parent: Vec<Option<NodeIndex>> = vec![None; graph.node_count()];
    let mut diagnostics = Vec::new();

    for start in graph.node_indices() {
        if left[start.index()].is_some() {
            continue;
        }
        left[start.index()] = Some(Feed::A);
        let mut queue = VecDeque::from([start]);
        let mut used = vec![false; graph.edge_count()];
        while let Some(node) = queue.pop_front() {
            let here = left[node.index()].unwrap_or(Feed::A);
            let mut edges: Vec<_> = graph.edges(node).collect();
            edges.sort_by_key(|e| e.id());
            for edge in edges {
                if std::mem::replace(&mut used[edge.id().index()], true) {
                    continue;
                }
                let next = if edge.source() == node { edge.target() } else { edge.source() };
                let there = if *edge.weight() { here.other() } else { here };
                match left[next.index()] {
                    None => {
                        left[next.index()] = Some(there);
                        parent[next.index()] = Some(node);
                        queue.push_back(next);
                    }
                    Some(found) if found != there => {
                        diagnostics.push(reversing(document, &graph, &parent, node, next));
                    }
                    Some(_) => {}
                }
            }
        }
    }

    let feeds: Vec<Feed> = left.into_iter().map(|f| f.unwrap_or(Feed::A)).collect();
    let (toe_left, track_left) = feeds.split_at(document.turnouts.len());
    (Polarity { toe_left: toe_left.to_vec(), track_left: track_left.to_vec() }, diagnostics)
}

/// Turnouts first, then tracks; an edge's weight is true where left becomes right.
fn pieces(document: &Document) -> UnGraph<Piece, bool> {
    let mut graph = UnGraph::new_undirected();
    for i in 0..document.turnouts.len() {
        graph.add_node(Piece::Turnout(TurnoutId(i)));
    }
    let first_track = document.turnouts.len();
    for (i, track) in document.tracks.iter().enumerate() {
        let node = graph.add_node(Piece::Track(TrackId(i)));
        debug_assert_eq!(node.index(), first_track + i);
        for (end, leaving) in [(*track.from, true), (*track.to, false)] {
            if let TrackEnd::Port(turnout, port) = end {
                // Outward from a heel is the turnout's own direction; outward from the toe is not.
                let outward_is_frame = port != Port::Toe;
                graph.add_edge(NodeIndex::new(turnout.0), node, outward_is_frame != leaving);
            }
        }
    }
    graph
}

fn reversing(
    document: &Document,
    graph: &UnGraph<Piece, bool>,
    parent: &[Option<NodeIndex>],
    a: NodeIndex,
    b: NodeIndex,
) -> Diagnostic {
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
    let ring: Vec<NodeIndex> = from_a.iter().rev().chain(from_b.iter()).copied().collect();
    let tracks: Vec<TrackId> = ring
        .iter()
        .filter_map(|n| match graph[*n] {
            Piece::Track(t) => Some(t),
            Piece::Turnout(_) => None,
        })
        .collect();
    let names: Vec<String> = tracks.iter().map(|t| format!("`{}`", *document[*t].name)).collect();
    let (plural, form) = if names.len() == 1 { ("", "forms") } else { ("s", "form") };
    let mut diagnostic = Diagnostic::error(
        "reversing-connection",
        format!(
            "a train can come back facing the other way: track{plural} {} {form} a reversing connection",
            names.join(" – ")
        ),
    );
    for (i, track) in tracks.iter().enumerate() {
        let text =
            if i == 0 { "on the way round, the left rail becomes the right one" } else { "on the way round" };
        diagnostic = diagnostic.label(document[*track].span, text);
    }
    diagnostic.help(
        "cut both rails at both ends of one of these tracks, longer than the longest train, and feed it \
         through a reversing switch; this version does not design that part yet",
    )
}
