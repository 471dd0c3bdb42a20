//! Which rails get droppers.

use super::{Connection, RailId, RailPlace, Rails};
use crate::parse::{BoardId, Document, DropperRule};
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
            RailPlace::Frog(_) | RailPlace::Inner(..) => None,
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
        DropperRule::EachSection => each_section(rails, candidates),
    }
}

fn each_section(rails: &Rails, candidates: Vec<(RailId, BoardId, bool)>) -> Vec<Dropper> {
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
        .map(|(_, rail, board)| Dropper {
            rail,
            board,
            reason: "one dropper for each stretch of rail between insulated joints".into(),
        })
        .collect()
}
