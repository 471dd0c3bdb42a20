//! The rails in one chosen setting of the whole layout.

use super::conductors::{Conductors, Node};
use super::roads::roads_set;
use crate::circuit::Circuit;
use crate::drives::{ChangeoverId, Decider, Plan};
use crate::parse::{Document, TurnoutId};
use crate::track::{FrogId, Pole, Position, RailId, Rails};
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

/// Positions of bars and selectors; what is not named lies normal.
pub type Positions = BTreeMap<Decider, Position>;

/// What every rail is joined to.
#[derive(Clone, Debug)]
pub struct State {
    pub positions: Positions,
    /// By rail; `None`: dead.
    pub rails: Vec<Option<Pole>>,
    /// Poles that touch.
    pub shorts: Vec<(Pole, Pole)>,
    pub frogs: Vec<FrogState>,
}

/// A frog whose feed changes, as it lies in this setting.
#[derive(Clone, Debug)]
pub struct FrogState {
    pub frog: FrogId,
    pub has: Option<Pole>,
    /// The conductor that the road which is set needs; `None`: no road over it is set.
    pub needs: Option<Pole>,
    /// What that conductor is joined to: itself, or what its reversing section is switched to.
    pub needs_now: Option<Pole>,
    /// What gives it.
    pub changeover: Option<ChangeoverId>,
}

impl FrogState {
    /// Whether the frog has what the road that is set needs.
    pub fn is_right(&self) -> bool {
        self.needs.is_none() || self.has.is_some() && self.has == self.needs_now
    }
}

impl State {
    /// Follows the metal in a setting.
    pub fn of(
        document: &Document,
        rails: &Rails,
        plan: &Plan,
        circuit: &Circuit,
        positions: Positions,
    ) -> State {
        let c = Conductors::of(rails, circuit);
        let position = |d: Decider| positions.get(&d).copied().unwrap_or(Position::Normal);
        let mut sets = UnionFind::<usize>::new(c.island.len());
        for link in &c.links {
            if link.via.condition().is_none_or(|(d, wanted)| position(d) == wanted) {
                sets.union(link.a, link.b);
            }
        }
        let sources: Vec<usize> = c.poles.iter().map(|p| sets.find(c.index(Node::Source(*p)))).collect();
        let pole = |node: usize| {
            let set = sets.find(node);
            sources.iter().position(|s| *s == set).map(|at| c.poles[at])
        };
        let found: Vec<Option<Pole>> =
            (0..rails.rails.len()).map(|r| pole(c.index(Node::Rail(RailId(r))))).collect();
        let mut shorts = Vec::new();
        for a in 0..sources.len() {
            shorts.extend((0..a).filter(|b| sources[*b] == sources[a]).map(|b| (c.poles[b], c.poles[a])));
        }
        let frogs = (0..rails.frogs.len())
            .map(FrogId)
            .map(|frog| {
                let need = &rails[frog];
                let set = roads(document, rails, plan, need.turnout, &position);
                let needs = set.iter().find_map(|r| need.on(*r));
                let needs_now = needs.and_then(|p| pole(c.conductor(p)?));
                let changeover = plan.feeding(frog);
                FrogState { frog, has: found[need.rail.0], needs, needs_now, changeover }
            })
            .collect();
        State { positions, rails: found, shorts, frogs }
    }

    pub fn position(&self, decider: Decider) -> Position {
        self.positions.get(&decider).copied().unwrap_or(Position::Normal)
    }

    /// The roads over a turnout that are set.
    pub fn roads(&self, document: &Document, rails: &Rails, plan: &Plan, turnout: TurnoutId) -> Vec<usize> {
        roads(document, rails, plan, turnout, &|d| self.position(d))
    }
}

fn roads(
    document: &Document,
    rails: &Rails,
    plan: &Plan,
    turnout: TurnoutId,
    position: &dyn Fn(Decider) -> Position,
) -> Vec<usize> {
    let foreign = plan.changeovers.iter().filter(|c| c.foreign_to(document, rails) == Some(turnout));
    roads_set(document, turnout, foreign, |d| Some(position(d)))
}
