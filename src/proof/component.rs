//! Islands that hang on the same turnouts, examined over all positions of these.

use super::conductors::Link;
use super::when::position;
use crate::parse::{TrackEnd, TurnoutId};
use crate::track::{Feed, RailId};
use petgraph::unionfind::UnionFind;

/// Islands without a pole of the supply, the links between them and to the supply's islands, and
/// the turnouts that work these links.
#[derive(Default)]
pub(super) struct Component {
    pub islands: Vec<usize>,
    /// Conditional links; their ends are islands.
    pub links: Vec<Link>,
    pub rails: Vec<RailId>,
    pub turnouts: Vec<TurnoutId>,
}

/// Which of the supply's poles an island is joined to in one setting.
pub(super) struct Alive {
    sets: Vec<usize>,
    poles: [usize; 2],
    islands: Vec<usize>,
    sources: [usize; 2],
}

impl Component {
    /// Sorts and dedups; call once when everything is in.
    pub fn settle(&mut self) {
        self.islands.sort_unstable();
        self.islands.dedup();
        self.rails.sort_unstable();
        self.turnouts.extend(self.links.iter().filter_map(|l| l.via.condition()).map(|(t, _)| t));
        self.turnouts.sort_unstable();
        self.turnouts.dedup();
    }

    pub fn settings(&self) -> std::ops::Range<u32> {
        0..1 << self.turnouts.len()
    }

    /// Follows the links that conduct in a setting. `sources` are the islands of A and B.
    pub fn alive(&self, setting: u32, sources: [usize; 2]) -> Alive {
        let mut sets = UnionFind::<usize>::new(self.islands.len() + 2);
        for link in &self.links {
            if self.conducts(setting, link) {
                sets.union(self.local(link.a, sources), self.local(link.b, sources));
            }
        }
        let sets = sets.into_labeling();
        let poles = [sets[0], sets[1]];
        Alive { sets, poles, islands: self.islands.clone(), sources }
    }

    pub fn conducts(&self, setting: u32, link: &Link) -> bool {
        link.via.condition().is_none_or(|(t, wanted)| self.position(setting, t) == Some(wanted))
    }

    /// The position of a turnout in a setting; `None` if it is none of this component's.
    pub fn position(&self, setting: u32, turnout: TurnoutId) -> Option<crate::track::Position> {
        self.turnouts.binary_search(&turnout).ok().map(|bit| position(setting, bit))
    }

    fn local(&self, island: usize, sources: [usize; 2]) -> usize {
        local(&self.islands, island, sources)
    }

    /// Whether a train can come onto a track from this end in a setting: from the toe always, from
    /// a heel when its road is set. A turnout of no concern here may lie as it likes.
    pub fn reached_from(
        &self,
        setting: u32,
        end: TrackEnd,
        road: impl Fn(TurnoutId, crate::track::Position) -> crate::parse::Port,
    ) -> bool {
        match end {
            TrackEnd::Port(_, crate::parse::Port::Toe) | TrackEnd::OffTheLayout => true,
            TrackEnd::Port(turnout, port) => {
                self.position(setting, turnout).is_none_or(|p| road(turnout, p) == port)
            }
            TrackEnd::Buffer => false,
        }
    }
}

fn local(islands: &[usize], island: usize, sources: [usize; 2]) -> usize {
    match sources.iter().position(|s| *s == island) {
        Some(pole) => pole,
        None => 2 + islands.partition_point(|i| *i < island),
    }
}

impl Alive {
    pub fn short(&self) -> bool {
        self.poles[0] == self.poles[1]
    }

    /// The feed of an island; ask only where there is no short.
    pub fn feed(&self, island: usize) -> Option<Feed> {
        let set = self.sets[local(&self.islands, island, self.sources)];
        Feed::ALL.into_iter().find(|f| self.poles[*f as usize] == set)
    }
}
