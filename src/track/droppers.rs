//! Which rails get droppers.

use super::{Connection, RailId, RailPlace, Rails};
use crate::parse::{BoardId, Document, DropperRule, Port, TrackEnd};
use petgraph::unionfind::UnionFind;
use petgraph::visit::EdgeRef;

/// A wire from the track bus to a rail.
#[derive(Clone, Debug, PartialEq)]
pub struct Dropper {
    pub rail: RailId,
    /// The board it goes through.
    pub board: BoardId,
    /// Why it is there, in words.
    pub reason: String,
}

/// Droppers in the order turnouts, then tracks, left before right.
///
/// Every piece of track with its own pair is common practice (no source): a rail joiner is not
/// counted on as a conductor. The other rule gives each stretch of rail between insulated joints
/// one dropper, at a plain track if it has one.
pub(super) fn place(document: &Document, rails: &Rails) -> Vec<Dropper> {
    let candidates: Vec<(RailId, BoardId, bool)> = rails
        .rails
        .iter()
        .enumerate()
        .filter_map(|(i, rail)| match rail.place {
            RailPlace::Track(t, _) => Some((RailId(i), document[t].board, document[t].droppers)),
            RailPlace::Stock(t, _) => Some((RailId(i), document[t].board, true)),
            // What a diamond or slip has of fixed feed needs a wire; its joiners are not trusted.
            RailPlace::Frog(t, _) if rail.pole.is_some() => Some((RailId(i), document[t].board, true)),
            RailPlace::Inner(t, ..) if !document[t].kind.has_toe() => {
                Some((RailId(i), document[t].board, true))
            }
            RailPlace::Frog(..) | RailPlace::Inner(..) => None,
        })
        .collect();
    match document.droppers {
        DropperRule::EachPiece => candidates
            .into_iter()
            .filter(|(_, _, wanted)| *wanted)
            .map(|(rail, board, _)| Dropper {
                rail,
                board,
                reason: "every piece of track has its own pair of droppers".into(),
            })
            .collect(),
        DropperRule::EachSection => each_section(document, rails, candidates),
    }
}

fn each_section(
    document: &Document,
    rails: &Rails,
    candidates: Vec<(RailId, BoardId, bool)>,
) -> Vec<Dropper> {
    let mut sections = UnionFind::<usize>::new(rails.rails.len());
    for edge in rails.graph.edge_references() {
        if *edge.weight() == Connection::Joined {
            sections.union(edge.source().index(), edge.target().index());
        }
    }
    let is_track = |r: RailId| matches!(rails.rails[r.0].place, RailPlace::Track(..));
    let mut chosen: Vec<(usize, RailId, BoardId)> = Vec::new();
    // Plain track first: there is room for a dropper there; then the stock rails.
    let (plain, stock): (Vec<_>, Vec<_>) = candidates.into_iter().partition(|(r, _, _)| is_track(*r));
    for (rail, board, wanted) in plain.into_iter().chain(stock) {
        let section = sections.find(rail.0);
        if wanted && !chosen.iter().any(|(s, _, _)| *s == section) {
            chosen.push((section, rail, board));
        }
    }
    chosen.sort_by_key(|(_, rail, _)| *rail);
    chosen
        .into_iter()
        .map(|(_, rail, board)| Dropper { rail, board, reason: reason(document, rails, rail) })
        .collect()
}

fn reason(document: &Document, rails: &Rails, rail: RailId) -> String {
    let base = "one dropper for each stretch of rail between insulated joints";
    let RailPlace::Track(track, _) = rails.rails[rail.0].place else { return base.into() };
    let joints = rails.joints.iter().filter(|j| j.outside == rail).count();
    let toe = |end: TrackEnd| match end {
        TrackEnd::Port(turnout, Port::Toe) => Some(document[turnout].name.value.clone()),
        _ => None,
    };
    match (toe(*document[track].from), toe(*document[track].to)) {
        _ if joints == 2 => format!("{base}; this one is cut at both ends"),
        (Some(a), Some(b)) => {
            format!("{base}; the toes of {a} and {b} face each other, the feed comes in between")
        }
        (Some(one), None) | (None, Some(one)) => format!("{base}; {one} is fed from its toe"),
        (None, None) => base.into(),
    }
}
