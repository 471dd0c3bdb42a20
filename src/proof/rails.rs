//! The rails in every position: no short, no dead rail, the right feed on every frog, one polarity
//! across the borders of reversing sections.
//!
//! What always conducts together is one island. Some of the islands hold a pole of a supply; the
//! others hang on them by blades and contacts. Islands that are linked so to one another form a
//! component, and each component is looked at in all positions of the few tie bars and selectors that
//! work it: usually one frog and one bar, so that the cost grows with the number of turnouts and not
//! with the number of settings of the layout.

use super::component::{Alive, Component, SAMPLES, SEED};
use super::conductors::{Conductors, Link, Node};
use super::roads::roads_set;
use super::when::Setting;
use super::{Culprit, Fault, Misused, RailProof, Sampled, When};
use crate::circuit::Circuit;
use crate::drives::{Decider, Feeds, Plan};
use crate::parse::{Document, Port, TrackEnd, TurnoutId};
use crate::track::{Boundary, Formation, FrogId, Pole, RailId, RailPlace, Rails, ZoneId};
use petgraph::unionfind::UnionFind;
use std::collections::BTreeMap;

/// Follows the metal through every position that matters.
pub fn prove(document: &Document, rails: &Rails, plan: &Plan, circuit: &Circuit) -> RailProof {
    let prover = Prover::new(document, rails, plan, circuit);
    let mut proof = RailProof::default();
    prover.fixed_wrong_feeds(&mut proof);
    if prover.touching().is_some() {
        // Everything hangs on both poles: nothing else can be told apart.
        prover.fixed_short(&mut proof);
        return proof;
    }
    let components = prover.components();
    proof.components = components.len();
    for component in components {
        proof.largest = proof.largest.max(component.deciders.len());
        if component.is_sampled() {
            let deciders = component.deciders.clone();
            proof.sampled.push(Sampled { deciders, settings: SAMPLES, seed: SEED });
        }
        prover.examine(&component, &mut proof);
    }
    proof
}

pub(super) struct Prover<'a> {
    document: &'a Document,
    pub rails: &'a Rails,
    pub plan: &'a Plan,
    pub circuit: &'a Circuit,
    pub conductors: Conductors,
    /// The islands of the poles.
    sources: Vec<usize>,
    /// The place in [`Rails::frogs`] of each rail that is a frog.
    frogs: BTreeMap<RailId, FrogId>,
    /// What decides which road over each turnout is used.
    deciders: Vec<Vec<Decider>>,
    /// For each turnout, the changeovers whose decider is none of its own bars.
    foreign: Vec<Vec<usize>>,
}

/// What a setting shows; the same in many settings is one fault.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Seen {
    Short(Pole, Pole),
    Dead { reached: bool, rail: RailId },
    Wrong { reached: bool, rail: RailId, found: Pole },
    Frog { frog: FrogId, road: usize, wanted: Pole, found: Option<Pole> },
    Broken(usize),
}

impl<'a> Prover<'a> {
    fn new(document: &'a Document, rails: &'a Rails, plan: &'a Plan, circuit: &'a Circuit) -> Prover<'a> {
        let conductors = Conductors::of(rails, circuit);
        let sources = conductors.sources();
        let frogs = rails.frogs.iter().enumerate().map(|(i, f)| (f.rail, FrogId(i))).collect();
        let mut deciders: Vec<Vec<Decider>> = vec![Vec::new(); document.turnouts.len()];
        for (i, bar) in document.bars.iter().enumerate() {
            deciders[bar.turnout.0].push(Decider::Bar(crate::parse::BarId(i)));
        }
        let mut foreign: Vec<Vec<usize>> = vec![Vec::new(); document.turnouts.len()];
        for (i, changeover) in plan.changeovers.iter().enumerate() {
            let Some(turnout) = changeover.foreign_to(document, rails) else { continue };
            foreign[turnout.0].push(i);
            deciders[turnout.0].push(changeover.decider);
        }
        Prover { document, rails, plan, circuit, conductors, sources, frogs, deciders, foreign }
    }

    fn island(&self, rail: RailId) -> usize {
        self.conductors.island[self.conductors.index(Node::Rail(rail))]
    }

    fn section(&self, rail: RailId) -> usize {
        self.conductors.section[self.conductors.index(Node::Rail(rail))]
    }

    /// Roads over a turnout that a train may use in a setting. Bars that are of no concern to the
    /// component may lie as they like.
    fn roads_set(&self, component: &Component, setting: Setting, turnout: TurnoutId) -> Vec<usize> {
        let foreign = self.foreign[turnout.0].iter().map(|c| &self.plan.changeovers[*c]);
        roads_set(self.document, turnout, foreign, |d| component.position(setting, d))
    }

    /// Where a reversing section meets the rest at this joint.
    fn boundary(&self, joint: usize) -> Option<(ZoneId, &'a Boundary)> {
        let joint = &self.rails.joints[joint];
        let zones = [joint.inside, joint.outside].map(|r| self.rails[r].zone);
        if zones[0] == zones[1] {
            return None;
        }
        let reversing = zones.into_iter().find_map(|z| self.rails.reversing(z))?;
        let at = |b: &&Boundary| b.turnout == joint.turnout && b.port == joint.port;
        reversing.boundaries.iter().find(at).map(|b| (reversing.zone, b))
    }

    fn components(&self) -> Vec<Component> {
        let c = &self.conductors;
        let mut is_source = vec![false; c.island.len()];
        for source in &self.sources {
            is_source[*source] = true;
        }
        let mut groups = UnionFind::<usize>::new(c.island.len());
        let ends = |l: &Link| (c.island[l.a], c.island[l.b]);
        let free = |island: usize| !is_source[island];
        let conditional = || c.links.iter().filter(|l| l.via.condition().is_some());
        for (a, b) in conditional().map(ends) {
            if free(a) && free(b) {
                groups.union(a, b);
            }
        }
        // What lies between the poles themselves is told apart by its decider.
        let mut found: BTreeMap<(bool, usize, Option<Decider>), Component> = BTreeMap::new();
        for link in conditional() {
            let (a, b) = ends(link);
            let key = match (free(a), free(b)) {
                (true, _) => (true, groups.find(a), None),
                (_, true) => (true, groups.find(b), None),
                _ => (false, 0, link.via.condition().map(|(d, _)| d)),
            };
            let component = found.entry(key).or_default();
            component.islands.extend([a, b].into_iter().filter(|i| free(*i)));
            component.links.push(Link { a, b, ..*link });
        }
        for (i, rail) in self.rails.rails.iter().enumerate() {
            let island = self.island(RailId(i));
            let own: &[Decider] = match rail.place {
                RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => &self.deciders[t.0],
                RailPlace::Track(..) | RailPlace::Stock(..) => &[],
            };
            let key = match free(island) {
                true => (true, groups.find(island), None),
                false if own.is_empty() => continue, // looked at with what never changes
                false => (false, 0, own.first().copied()),
            };
            let component = found.entry(key).or_default();
            component.islands.extend(free(island).then_some(island));
            component.rails.push(RailId(i));
            component.deciders.extend_from_slice(own);
        }
        for joint in 0..self.rails.joints.len() {
            let Some((zone, _)) = self.boundary(joint) else { continue };
            let spec = &self.rails.joints[joint];
            let inside = [spec.inside, spec.outside].into_iter().find(|r| self.rails[*r].zone == zone);
            let Some(island) = inside.map(|r| self.island(r)) else { continue };
            let key = match free(island) {
                true => (true, groups.find(island), None),
                false => (false, 0, self.deciders[spec.turnout.0].first().copied()),
            };
            let component = found.entry(key).or_default();
            component.joints.push(joint);
            component.deciders.extend_from_slice(&self.deciders[spec.turnout.0]);
        }
        let mut components: Vec<Component> = found.into_values().collect();
        components.iter_mut().for_each(Component::settle);
        components.sort_by_key(|c| (c.deciders.first().copied(), c.rails.first().copied()));
        components
    }

    fn examine(&self, component: &Component, proof: &mut RailProof) {
        let mut seen: BTreeMap<Seen, Vec<Setting>> = BTreeMap::new();
        for setting in component.settings() {
            proof.examined += 1;
            let alive = component.alive(setting, &self.sources, &self.conductors.poles);
            if let Some((a, b)) = alive.short() {
                seen.entry(Seen::Short(a, b)).or_default().push(setting);
                continue;
            }
            for rail in &component.rails {
                for fault in self.judge(component, &alive, setting, *rail) {
                    seen.entry(fault).or_default().push(setting);
                }
            }
            for joint in &component.joints {
                if self.is_broken(component, &alive, setting, *joint) {
                    seen.entry(Seen::Broken(*joint)).or_default().push(setting);
                }
            }
        }
        self.report(component, seen, proof);
    }

    /// The pole that a conductor is joined to: itself if it is fed, else what its section is
    /// switched to.
    fn actual(&self, alive: &Alive, pole: Pole) -> Option<Pole> {
        alive.pole(self.conductors.island[self.conductors.conductor(pole)?])
    }

    /// What is wrong with a rail in this setting.
    fn judge(&self, component: &Component, alive: &Alive, setting: Setting, rail: RailId) -> Vec<Seen> {
        let spec = &self.rails[rail];
        let found = alive.pole(self.island(rail));
        if let Some(frog) = self.frogs.get(&rail) {
            let RailPlace::Frog(turnout, _) = spec.place else { return Vec::new() };
            let set = self.roads_set(component, setting, turnout);
            let judge = |road: usize| {
                let wanted = self.rails[*frog].on(road)?;
                let wrong = found.is_none() || found != self.actual(alive, wanted);
                wrong.then_some(Seen::Frog { frog: *frog, road, wanted, found })
            };
            return set.into_iter().filter_map(judge).collect();
        }
        let reached = self.reached(component, setting, spec.place);
        let one = match (found, spec.pole) {
            // The polarity of a reversing section is looked at where it meets the rest.
            (Some(_), Some(pole)) if self.rails.is_reversing(pole.zone) => None,
            (Some(found), wanted) if Some(found) == wanted => None,
            (Some(found), _) => Some(Seen::Wrong { reached, rail, found }),
            // The rail of a road that is not set may be dead, as with any insulated frog.
            (None, _) if !reached && matches!(spec.place, RailPlace::Inner(..)) => None,
            (None, _) => Some(Seen::Dead { reached, rail }),
        };
        one.into_iter().collect()
    }

    /// Whether a rail changes polarity at a border that a train may cross.
    fn is_broken(&self, component: &Component, alive: &Alive, setting: Setting, joint: usize) -> bool {
        let Some((zone, boundary)) = self.boundary(joint) else { return false };
        let formation = Formation::of(&self.document[boundary.turnout]);
        let set = self.roads_set(component, setting, boundary.turnout);
        let Some(road) = formation.roads_of(boundary.port).find(|r| set.contains(r)) else { return false };
        let changeover = self.plan.turning(zone).next().map(|c| self.plan.changeover(c));
        let fits = changeover.is_none_or(|c| {
            component.position(setting, c.decider).is_none_or(|p| c.fits[p as usize] == boundary.fits)
        });
        // A frog, and the rail of a road through an insulated one, is judged by itself: here it has
        // what the road needs.
        let pole = |rail: RailId| match self.frogs.get(&rail) {
            Some(frog) => self.actual(alive, self.rails[*frog].on(road)?),
            None if alive.knows(self.island(rail)) => alive.pole(self.island(rail)),
            None => self.actual(alive, self.rails[rail].pole?),
        };
        let spec = &self.rails.joints[joint];
        let [inside, outside] = [spec.inside, spec.outside].map(pole);
        fits && (inside.is_none() || inside != outside)
    }

    fn reached(&self, component: &Component, setting: Setting, place: RailPlace) -> bool {
        match place {
            RailPlace::Stock(..) | RailPlace::Frog(..) => true,
            RailPlace::Track(track, _) => {
                let track = &self.document[track];
                [*track.from, *track.to].into_iter().any(|end| match end {
                    TrackEnd::Port(_, Port::Toe) | TrackEnd::OffTheLayout => true,
                    TrackEnd::Port(turnout, port) => {
                        let set = self.roads_set(component, setting, turnout);
                        Formation::of(&self.document[turnout]).roads_of(port).any(|r| set.contains(&r))
                    }
                    TrackEnd::Buffer => false,
                })
            }
            RailPlace::Inner(turnout, road, _) => self.roads_set(component, setting, turnout).contains(&road),
        }
    }

    fn report(&self, component: &Component, seen: BTreeMap<Seen, Vec<Setting>>, proof: &mut RailProof) {
        let when = |settings: &[Setting]| When::of(&component.deciders, settings);
        // Rails that are joined tell the same story once.
        type Story = (bool, usize, Option<Pole>, Vec<Setting>);
        let mut sections: BTreeMap<Story, Vec<RailId>> = BTreeMap::new();
        for (what, settings) in &seen {
            match *what {
                Seen::Short(a, b) => {
                    let mut misused: BTreeMap<(TurnoutId, &'static str), Vec<Setting>> = BTreeMap::new();
                    let mut used = Vec::new();
                    for setting in settings {
                        match self.forbidden(component, *setting) {
                            Some(why) => misused.entry(why).or_default().push(*setting),
                            None => used.push(*setting),
                        }
                    }
                    if let Some(first) = used.first() {
                        proof.faults.push(self.short(component, (a, b), *first, when(&used)));
                    }
                    proof.misused.extend(misused.into_iter().map(|((turnout, reason), settings)| Misused {
                        turnout,
                        poles: (a, b),
                        when: when(&settings),
                        reason,
                    }));
                }
                Seen::Dead { reached, rail } => {
                    let key = (reached, self.section(rail), None, settings.clone());
                    sections.entry(key).or_default().push(rail);
                }
                Seen::Wrong { reached, rail, found } => {
                    let key = (reached, self.section(rail), Some(found), settings.clone());
                    sections.entry(key).or_default().push(rail);
                }
                Seen::Frog { frog, road, wanted, found } => {
                    let turnout = self.rails[frog].turnout;
                    let mine = |c: &crate::circuit::Contact| {
                        self.plan.changeover(c.changeover).turnout(self.rails) == Some(turnout)
                    };
                    let culprits = self.wrong_contacts(mine);
                    let when = when(settings);
                    proof.faults.push(Fault::FrogWrong { frog, road, wanted, found, when, culprits });
                }
                Seen::Broken(joint) => {
                    let zone = self.boundary(joint).map(|(zone, _)| zone);
                    let mine = |c: &crate::circuit::Contact| match &self.plan.changeover(c.changeover).feeds {
                        Feeds::Zone(pole) => Some(pole.zone) == zone,
                        Feeds::Frogs(_) => false,
                    };
                    let mut culprits = self.wrong_contacts(mine);
                    if culprits.is_empty() {
                        let joint = &self.rails.joints[joint];
                        let sides = [joint.inside, joint.outside].map(|r| self.section(r));
                        culprits = sides.into_iter().flat_map(|s| self.wrong_droppers(s)).collect();
                    }
                    proof.faults.push(Fault::Broken { joint, when: when(settings), culprits });
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

    /// A turnout that lies so that no train may use it, and why.
    fn forbidden(&self, component: &Component, setting: Setting) -> Option<(TurnoutId, &'static str)> {
        let turnouts = component.deciders.iter().filter_map(|d| match d {
            Decider::Bar(bar) => Some(self.document[*bar].turnout),
            Decider::Selector(_) => None,
        });
        turnouts.into_iter().find_map(|turnout| {
            let bars = self.document.bars_of(turnout);
            let lies: Vec<_> =
                bars.map(|b| component.position(setting, Decider::Bar(b))).collect::<Option<_>>()?;
            let reason = Formation::of(&self.document[turnout]).why_forbidden(&lies)?;
            Some((turnout, reason))
        })
    }

    fn short(&self, component: &Component, poles: (Pole, Pole), setting: Setting, when: When) -> Fault {
        let path = self.conductors.path(poles, |via| match via.condition() {
            None => true,
            Some((decider, wanted)) => component.position(setting, decider) == Some(wanted),
        });
        let mut culprits = self.wrong_contacts(|c| component.deciders.contains(&c.decider));
        if culprits.is_empty() {
            culprits = self.wrong_links(&path);
        }
        Fault::Short { poles, when, path, culprits }
    }

    /// Two poles that touch whatever the turnouts do.
    fn touching(&self) -> Option<(Pole, Pole)> {
        let poles = &self.conductors.poles;
        (0..poles.len()).find_map(|a| {
            let b = (0..a).find(|b| self.sources[*b] == self.sources[a])?;
            Some((poles[b], poles[a]))
        })
    }

    fn fixed_short(&self, proof: &mut RailProof) {
        let Some(poles) = self.touching() else { return };
        let path = self.conductors.path(poles, |via| via.condition().is_none());
        let mut culprits: Vec<Culprit> =
            self.conductors.links.iter().filter_map(|l| self.misjoined(l)).collect();
        if culprits.is_empty() {
            culprits = self.wrong_links(&path);
        }
        proof.examined += 1;
        proof.faults.push(Fault::Short { poles, when: When::always(), path, culprits });
    }

    /// Rails that lie on another conductor than theirs whatever the turnouts do.
    fn fixed_wrong_feeds(&self, proof: &mut RailProof) {
        if self.touching().is_some() {
            return;
        }
        let poles = &self.conductors.poles;
        let mut sections: BTreeMap<(usize, Pole), Vec<RailId>> = BTreeMap::new();
        for (i, rail) in self.rails.rails.iter().enumerate() {
            let rail_id = RailId(i);
            // Frogs and inner rails are looked at with what decides over them.
            let moved = match rail.place {
                RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => !self.deciders[t.0].is_empty(),
                RailPlace::Track(..) | RailPlace::Stock(..) => false,
            };
            if moved {
                continue;
            }
            let at = self.sources.iter().position(|s| *s == self.island(rail_id));
            if let (Some(at), Some(wanted)) = (at, rail.pole)
                && poles[at] != wanted
            {
                sections.entry((self.section(rail_id), poles[at])).or_default().push(rail_id);
            }
        }
        let mut sections: Vec<_> = sections.into_iter().collect();
        sections.sort_by(|a, b| a.1.cmp(&b.1));
        for ((section, found), rails) in sections {
            let culprits = self.wrong_droppers(section);
            let when = When::always();
            proof.faults.push(Fault::WrongFeed { rails, found, when, reached: true, culprits });
        }
    }
}
