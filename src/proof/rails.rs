//! The rails in every position: no short, no dead rail, the right feed on every frog.
//!
//! What always conducts together is one island. Two of the islands hold the poles of the supply;
//! the others hang on them by blades and contacts. Islands that are linked so to one another form a
//! component, and each component is looked at in all positions of the few turnouts that work it:
//! usually one frog and one turnout, so that the cost grows with the number of turnouts and not
//! with the number of settings of the layout.

use super::component::Component;
use super::conductors::{Conductors, Link, Node};
use super::{Culprit, Fault, RailProof, When};
use crate::circuit::Circuit;
use crate::parse::{Document, Port, TurnoutId};
use crate::track::{Feed, Formation, Position, RailId, RailPlace, Rails, Side};
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

/// A component with more turnouts than this is not examined: 65536 settings are enough.
pub const MOST_TOGETHER: usize = 16;

/// Follows the metal through every position that matters.
pub fn prove(document: &Document, rails: &Rails, circuit: &Circuit) -> RailProof {
    let conductors = Conductors::of(rails, circuit);
    let frogs = frogs(document, rails);
    let prover = Prover { document, rails, circuit, conductors, frogs };
    let mut proof = RailProof::default();
    prover.fixed_wrong_feeds(&mut proof);
    if prover.conductors.source(Feed::A) == prover.conductors.source(Feed::B) {
        // Everything hangs on both poles: nothing else can be told apart.
        prover.fixed_short(&mut proof);
        return proof;
    }
    for component in prover.components() {
        if component.turnouts.len() > MOST_TOGETHER {
            proof.left_out.push(component.turnouts);
        } else {
            prover.examine(&component, &mut proof);
        }
    }
    proof
}

/// The place in [`Rails::frogs`] of each turnout's frog.
fn frogs(document: &Document, rails: &Rails) -> Vec<Option<usize>> {
    let mut frogs = vec![None; document.turnouts.len()];
    for (i, need) in rails.frogs.iter().enumerate() {
        frogs[need.turnout.0] = Some(i);
    }
    frogs
}

pub(super) struct Prover<'a> {
    document: &'a Document,
    pub rails: &'a Rails,
    pub circuit: &'a Circuit,
    pub conductors: Conductors,
    /// The place in [`Rails::frogs`] of each turnout's frog.
    pub frogs: Vec<Option<usize>>,
}

/// What a setting shows; the same in many settings is one fault.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Seen {
    Short,
    Dead { reached: bool, rail: RailId },
    Wrong { reached: bool, rail: RailId, found: Feed },
    Frog { turnout: TurnoutId, position: Position, found: Option<Feed> },
}

impl Prover<'_> {
    fn sources(&self) -> [usize; 2] {
        Feed::ALL.map(|f| self.conductors.source(f))
    }

    fn island(&self, rail: RailId) -> usize {
        self.conductors.island[self.conductors.index(Node::Rail(rail))]
    }

    fn section(&self, rail: RailId) -> usize {
        self.conductors.section[self.conductors.index(Node::Rail(rail))]
    }

    fn road(&self, turnout: TurnoutId, position: Position) -> Port {
        let spec = &self.document[turnout];
        Formation::of(*spec.kind).road(spec.normal, position)
    }

    fn components(&self) -> Vec<Component> {
        let sources = self.sources();
        let c = &self.conductors;
        let mut groups = UnionFind::<usize>::new(c.island.len());
        let ends = |l: &Link| (c.island[l.a], c.island[l.b]);
        let free = |island: usize| !sources.contains(&island);
        let conditional = || c.links.iter().filter(|l| l.via.condition().is_some());
        for (a, b) in conditional().map(ends) {
            if free(a) && free(b) {
                groups.union(a, b);
            }
        }
        // What lies between the poles themselves is told apart by its turnout.
        let mut found: BTreeMap<(bool, usize), Component> = BTreeMap::new();
        for link in conditional() {
            let (a, b) = ends(link);
            let turnout = link.via.condition().map_or(0, |(t, _)| t.0);
            let key = match (free(a), free(b)) {
                (true, _) => (true, groups.find(a)),
                (_, true) => (true, groups.find(b)),
                _ => (false, turnout),
            };
            let component = found.entry(key).or_default();
            component.islands.extend([a, b].into_iter().filter(|i| free(*i)));
            component.links.push(Link { a, b, ..*link });
        }
        for (i, rail) in self.rails.rails.iter().enumerate() {
            let island = self.island(RailId(i));
            let own = match rail.place {
                RailPlace::Frog(t) | RailPlace::Inner(t, _) => Some(t),
                RailPlace::Track(..) | RailPlace::Stock(..) => None,
            };
            let key = match (free(island), own) {
                (true, _) => (true, groups.find(island)),
                (false, Some(turnout)) => (false, turnout.0),
                (false, None) => continue,
            };
            let component = found.entry(key).or_default();
            component.islands.extend(free(island).then_some(island));
            component.rails.push(RailId(i));
            component.turnouts.extend(own);
        }
        let mut components: Vec<Component> = found.into_values().collect();
        components.iter_mut().for_each(Component::settle);
        components.sort_by_key(|c| (c.turnouts.first().copied(), c.rails.first().copied()));
        components
    }

    fn examine(&self, component: &Component, proof: &mut RailProof) {
        let mut seen: BTreeMap<Seen, Vec<u32>> = BTreeMap::new();
        for setting in component.settings() {
            proof.examined += 1;
            let alive = component.alive(setting, self.sources());
            if alive.short() {
                seen.entry(Seen::Short).or_default().push(setting);
                continue;
            }
            for rail in &component.rails {
                let feed = alive.feed(self.island(*rail));
                if let Some(fault) = self.judge(component, setting, *rail, feed) {
                    seen.entry(fault).or_default().push(setting);
                }
            }
        }
        self.report(component, seen, proof);
    }

    /// What is wrong with a rail that has this feed in this setting.
    fn judge(&self, component: &Component, setting: u32, rail: RailId, feed: Option<Feed>) -> Option<Seen> {
        let spec = &self.rails.rails[rail.0];
        if let RailPlace::Frog(turnout) = spec.place {
            let position = component.position(setting, turnout)?;
            let wanted = self.rails.frogs[self.frogs[turnout.0]?].at(position).1;
            return (feed != Some(wanted)).then_some(Seen::Frog { turnout, position, found: feed });
        }
        let reached = self.reached(component, setting, spec.place);
        match feed {
            Some(feed) if Some(feed) == spec.feed => None,
            Some(found) => Some(Seen::Wrong { reached, rail, found }),
            // The rail of a road that is not set may be dead, as with any insulated frog.
            None if !reached && matches!(spec.place, RailPlace::Inner(..)) => None,
            None => Some(Seen::Dead { reached, rail }),
        }
    }

    fn reached(&self, component: &Component, setting: u32, place: RailPlace) -> bool {
        match place {
            RailPlace::Stock(..) | RailPlace::Frog(_) => true,
            RailPlace::Track(track, _) => {
                let track = &self.document[track];
                [*track.from, *track.to]
                    .into_iter()
                    .any(|end| component.reached_from(setting, end, |t, p| self.road(t, p)))
            }
            RailPlace::Inner(turnout, side) => {
                let formation = Formation::of(*self.document[turnout].kind);
                let branch = match side {
                    Side::Right => formation.left_branch(),
                    Side::Left => formation.right_branch(),
                };
                component.position(setting, turnout).is_none_or(|p| self.road(turnout, p) == branch)
            }
        }
    }

    fn report(&self, component: &Component, seen: BTreeMap<Seen, Vec<u32>>, proof: &mut RailProof) {
        let when = |settings: &[u32]| When::of(&component.turnouts, settings);
        // Rails that are joined tell the same story once.
        type Story = (bool, usize, Option<Feed>, Vec<u32>);
        let mut sections: BTreeMap<Story, Vec<RailId>> = BTreeMap::new();
        for (what, settings) in &seen {
            match *what {
                Seen::Short => proof.faults.push(self.short(component, settings[0], when(settings))),
                Seen::Dead { reached, rail } => {
                    let key = (reached, self.section(rail), None, settings.clone());
                    sections.entry(key).or_default().push(rail);
                }
                Seen::Wrong { reached, rail, found } => {
                    let key = (reached, self.section(rail), Some(found), settings.clone());
                    sections.entry(key).or_default().push(rail);
                }
                Seen::Frog { turnout, position, found } => {
                    let wanted = self.frogs[turnout.0].map(|f| self.rails.frogs[f].at(position).1);
                    let Some(wanted) = wanted else { continue };
                    proof.faults.push(Fault::FrogWrong {
                        turnout,
                        position,
                        wanted,
                        found,
                        when: when(settings),
                        culprits: self.wrong_contacts(&[turnout]),
                    });
                }
            }
        }
        let mut stories: Vec<_> = sections.into_iter().collect();
        stories.sort_by(|a, b| a.1.cmp(&b.1).then(b.0.0.cmp(&a.0.0)));
        for ((reached, section, found, settings), rails) in stories {
            let when = when(&settings);
            proof.faults.push(match found {
                None => Fault::Dead { rails, when, reached },
                Some(found) => {
                    Fault::WrongFeed { rails, found, when, reached, culprits: self.wrong_droppers(section) }
                }
            });
        }
    }

    fn short(&self, component: &Component, setting: u32, when: When) -> Fault {
        let path = self.conductors.path(|via| match via.condition() {
            None => true,
            Some((turnout, wanted)) => component.position(setting, turnout) == Some(wanted),
        });
        let mut culprits = self.wrong_contacts(&component.turnouts);
        if culprits.is_empty() {
            culprits = self.wrong_links(&path);
        }
        Fault::Short { when, path, culprits }
    }

    /// A and B touch whatever the turnouts do.
    fn fixed_short(&self, proof: &mut RailProof) {
        let path = self.conductors.path(|via| via.condition().is_none());
        let mut culprits: Vec<Culprit> =
            self.conductors.links.iter().filter_map(|l| self.misjoined(l)).collect();
        if culprits.is_empty() {
            culprits = self.wrong_links(&path);
        }
        proof.examined += 1;
        proof.faults.push(Fault::Short { when: When::always(), path, culprits });
    }

    /// Rails that lie in the supply's other island whatever the turnouts do.
    fn fixed_wrong_feeds(&self, proof: &mut RailProof) {
        let sources = self.sources();
        if sources[0] == sources[1] {
            return;
        }
        let mut sections: BTreeMap<(usize, Feed), Vec<RailId>> = BTreeMap::new();
        for (i, rail) in self.rails.rails.iter().enumerate() {
            // Inner rails are looked at with their turnout.
            if !matches!(rail.place, RailPlace::Track(..) | RailPlace::Stock(..)) {
                continue;
            }
            let rail_id = RailId(i);
            let found = Feed::ALL.into_iter().find(|f| sources[*f as usize] == self.island(rail_id));
            if let (Some(found), Some(wanted)) = (found, rail.feed)
                && found != wanted
            {
                sections.entry((self.section(rail_id), found)).or_default().push(rail_id);
            }
        }
        let mut sections: Vec<_> = sections.into_iter().collect();
        sections.sort_by(|a, b| a.1.cmp(&b.1));
        for ((section, found), rails) in sections {
            let culprits = self.wrong_droppers(section);
            proof.faults.push(Fault::WrongFeed {
                rails,
                found,
                when: When::always(),
                reached: true,
                culprits,
            });
        }
    }
}
