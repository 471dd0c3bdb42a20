//! Islands that hang on the same tie bars and selectors, examined over all positions of these.

use super::conductors::Link;
use super::when::{Setting, position};
use crate::drives::Decider;
use crate::track::{Pole, Position, RailId};
use petgraph::unionfind::UnionFind;
use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;

/// Islands without a pole of the supply, the links between them and to the supply's islands, and
/// what works these links.
#[derive(Default)]
pub(super) struct Component {
    pub islands: Vec<usize>,
    /// Conditional links; their ends are islands.
    pub links: Vec<Link>,
    pub rails: Vec<RailId>,
    /// Joints at the border of a reversing section.
    pub joints: Vec<usize>,
    pub deciders: Vec<Decider>,
}

/// A component with more deciders than this is sampled: a million settings are enough.
pub const MOST_TOGETHER: usize = 20;
/// Settings drawn by lot for such a component.
pub(super) const SAMPLES: usize = 1 << 16;
/// Any number will do, as long as it is the same each time.
pub(super) const SEED: u64 = 0x5eed;

/// Which of the supply's poles an island is joined to in one setting.
pub(super) struct Alive<'a> {
    sets: Vec<usize>,
    component: &'a Component,
    sources: &'a [usize],
    poles: &'a [Pole],
}

impl Component {
    /// Sorts and dedups; call once when everything is in.
    pub fn settle(&mut self) {
        self.islands.sort_unstable();
        self.islands.dedup();
        self.rails.sort_unstable();
        self.rails.dedup();
        self.joints.sort_unstable();
        self.joints.dedup();
        self.deciders.extend(self.links.iter().filter_map(|l| l.via.condition()).map(|(d, _)| d));
        self.deciders.sort_unstable();
        self.deciders.dedup();
    }

    pub fn is_sampled(&self) -> bool {
        self.deciders.len() > MOST_TOGETHER
    }

    /// All settings, or so many drawn by lot. Deciders beyond the hundred and twenty-eighth stay
    /// normal in a sample.
    pub fn settings(&self) -> Box<dyn Iterator<Item = Setting>> {
        let bits = self.deciders.len().min(Setting::BITS as usize);
        if !self.is_sampled() {
            return Box::new(0..1 << bits);
        }
        let mask = Setting::MAX >> (Setting::BITS as usize - bits);
        let mut lot = Pcg64::new(SEED.into(), 0);
        let mut draw = move || Setting::from(lot.next_u64()) << 64 | Setting::from(lot.next_u64());
        Box::new((0..SAMPLES).map(move |_| draw() & mask))
    }

    /// Follows the links that conduct in a setting. `sources` are the islands of `poles`.
    pub fn alive<'a>(&'a self, setting: Setting, sources: &'a [usize], poles: &'a [Pole]) -> Alive<'a> {
        let mut sets = UnionFind::<usize>::new(self.islands.len() + sources.len());
        for link in &self.links {
            if self.conducts(setting, link) {
                sets.union(self.local(link.a, sources), self.local(link.b, sources));
            }
        }
        Alive { sets: sets.into_labeling(), component: self, sources, poles }
    }

    fn conducts(&self, setting: Setting, link: &Link) -> bool {
        link.via.condition().is_none_or(|(d, wanted)| self.position(setting, d) == Some(wanted))
    }

    /// The position of a decider in a setting; `None` if it is none of this component's.
    pub fn position(&self, setting: Setting, decider: Decider) -> Option<Position> {
        let bit = self.deciders.binary_search(&decider).ok()?;
        Some(if bit < Setting::BITS as usize { position(setting, bit) } else { Position::Normal })
    }

    fn local(&self, island: usize, sources: &[usize]) -> usize {
        match sources.iter().position(|s| *s == island) {
            Some(pole) => pole,
            None => sources.len() + self.islands.partition_point(|i| *i < island),
        }
    }
}

impl Alive<'_> {
    /// Two poles that touch, if any do.
    pub fn short(&self) -> Option<(Pole, Pole)> {
        (0..self.sources.len()).find_map(|a| {
            let b = (0..a).find(|b| self.sets[*b] == self.sets[a])?;
            Some((self.poles[b], self.poles[a]))
        })
    }

    /// Whether an island is of this component or holds a pole.
    pub fn knows(&self, island: usize) -> bool {
        self.sources.contains(&island) || self.component.islands.binary_search(&island).is_ok()
    }

    /// The pole an island is joined to; ask only where there is no short.
    pub fn pole(&self, island: usize) -> Option<Pole> {
        if !self.knows(island) {
            return None;
        }
        let set = self.sets[self.component.local(island, self.sources)];
        (0..self.sources.len()).find(|s| self.sets[*s] == set).map(|s| self.poles[s])
    }
}
