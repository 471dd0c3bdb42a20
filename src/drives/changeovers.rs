//! What changes the polarity of each frog and reversing section: which tie bar it follows, or which
//! switch or module where no bar can tell.
//!
//! A frog follows a bar if what the roads over it need is the same in all settings in which that
//! bar lies alike. That alone gives a turnout's frog its own bar, the outer frogs of a three-way
//! the bar of their side and the centre either, the frogs of a slip the bar of the opposite end.
//! Where no bar of its own will do (a diamond, a slip whose bars must agree), a neighbouring
//! turnout tells which end is in use; failing that, a module (DCC) or a switch on the panel.

use super::Pairing;
use super::plan::BarPlan;
use crate::parse::{
    BarId, BoardId, Document, FrogFeedBy, FrogKind, Port, TrackEnd, TrainControl, TurnoutId, Word,
};
use crate::track::{Formation, FrogId, Pole, Position, Rails, Reversing};

/// A changeover that feeds frogs or a conductor of a reversing section, by its place in
/// [`super::Plan::changeovers`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ChangeoverId(pub usize);

/// A switch or module, by its place in [`super::Plan::selectors`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SelectorId(pub usize);

/// What has two positions that decide polarity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Decider {
    Bar(BarId),
    Selector(SelectorId),
}

/// Two positions that no tie bar stands for.
#[derive(Clone, Debug, PartialEq)]
pub struct Selector {
    pub kind: SelectorKind,
    /// What it serves: "T5", "loop".
    pub name: String,
    pub board: BoardId,
    /// What the normal and the reverse position stand for.
    pub positions: [String; 2],
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SelectorKind {
    /// A double-pole switch on the panel.
    Switch,
    /// An automatic reverser module (DCC).
    Module,
}

/// What a changeover feeds.
#[derive(Clone, Debug, PartialEq)]
pub enum Feeds {
    /// Frogs of one turnout that always need the same.
    Frogs(Vec<FrogId>),
    /// A conductor of a reversing section.
    Zone(Pole),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Changeover {
    pub feeds: Feeds,
    pub decider: Decider,
    pub by: FrogFeedBy,
    /// What it is joined to in the normal and the reverse position of the decider.
    pub at: [Pole; 2],
    /// Roads of the frogs' turnout that a train may use in these positions; of a reversing section
    /// none.
    pub roads: [Vec<usize>; 2],
    /// In which sort of border a reversing section fits its surroundings, by position.
    pub fits: [Position; 2],
    /// Why it is done so, in words.
    pub reason: String,
}

impl Changeover {
    pub fn at(&self, position: Position) -> Pole {
        self.at[position as usize]
    }

    /// The turnout whose frogs it feeds; `None` for a reversing section.
    pub fn turnout(&self, rails: &Rails) -> Option<TurnoutId> {
        match &self.feeds {
            Feeds::Frogs(frogs) => frogs.first().map(|f| rails[*f].turnout),
            Feeds::Zone(_) => None,
        }
    }

    /// The turnout whose frogs it feeds although it follows none of that turnout's own bars.
    pub fn foreign_to(&self, document: &Document, rails: &Rails) -> Option<TurnoutId> {
        let own = |turnout| matches!(self.decider, Decider::Bar(bar) if document[bar].turnout == turnout);
        self.turnout(rails).filter(|turnout| !own(*turnout))
    }

    /// The board it is wired on.
    pub fn board(&self, document: &Document, rails: &Rails) -> BoardId {
        match (&self.feeds, self.turnout(rails)) {
            (_, Some(turnout)) => document[turnout].board,
            (Feeds::Zone(pole), None) => zone_board(document, rails, *pole),
            _ => BoardId(0),
        }
    }
}

fn zone_board(document: &Document, rails: &Rails, pole: Pole) -> BoardId {
    let track = rails.reversing(pole.zone).and_then(|r| r.tracks.first().copied());
    track.map_or(BoardId(0), |t| document[t].board)
}

/// All changeovers, turnout by turnout, then the reversing sections; and the selectors they need.
pub(super) fn of(document: &Document, rails: &Rails, bars: &[BarPlan]) -> (Vec<Changeover>, Vec<Selector>) {
    let mut work = Work { document, rails, bars, changeovers: Vec::new(), selectors: Vec::new() };
    for i in 0..document.turnouts.len() {
        work.turnout(TurnoutId(i));
    }
    for section in rails.reversing.iter().filter(|r| r.is_needed()) {
        work.section(section);
    }
    work.carry_out();
    (work.changeovers, work.selectors)
}

struct Work<'a> {
    document: &'a Document,
    rails: &'a Rails,
    bars: &'a [BarPlan],
    changeovers: Vec<Changeover>,
    selectors: Vec<Selector>,
}

impl Work<'_> {
    fn planned(&self, bar: BarId) -> Option<&BarPlan> {
        self.bars.iter().find(|b| b.bar == bar)
    }

    fn turnout(&mut self, turnout: TurnoutId) {
        let by_hand = self.document[turnout].frog_feed.as_ref().map(|f| f.value);
        let chosen = matches!(by_hand, Some(FrogFeedBy::PanelSwitch | FrogFeedBy::ReverserModule));
        let mut waiting = Vec::new();
        for frog in self.rails.frogs_of(turnout) {
            let own = if chosen { Vec::new() } else { self.own_bars(frog) };
            match own.as_slice() {
                [] => waiting.push((frog, own)),
                [(bar, at)] => self.follow(frog, *bar, *at),
                _ => waiting.push((frog, own)),
            }
        }
        for (frog, own) in waiting {
            // Where two bars would do, the one whose contact feeds another frog just so already.
            let shared = own.iter().find(|(bar, at)| self.group(frog, Decider::Bar(*bar), *at).is_some());
            if let Some((bar, at)) = shared.or(own.first()) {
                self.follow(frog, *bar, *at);
            } else if chosen || !self.neighbour(frog) {
                self.selector(frog, by_hand);
            }
        }
    }

    /// The bars of its own turnout that a frog can follow, with what it needs in their positions.
    fn own_bars(&self, frog: FrogId) -> Vec<(BarId, [Pole; 2])> {
        let need = &self.rails[frog];
        let formation = Formation::of(&self.document[need.turnout]);
        let bars = self.document.bars_of(need.turnout).enumerate();
        bars.filter_map(|(i, bar)| {
            let roads = |p: Position| need.needs.iter().filter(move |(r, _)| formation.setting(*r)[i] == p);
            let at = Position::ALL.map(|p| one(roads(p).map(|(_, pole)| *pole)));
            Some((bar, [at[0]?, at[1]?]))
        })
        .collect()
    }

    /// A changeover that feeds a frog of the same turnout in the same way.
    fn group(&self, frog: FrogId, decider: Decider, at: [Pole; 2]) -> Option<usize> {
        let turnout = self.rails[frog].turnout;
        self.changeovers
            .iter()
            .position(|c| c.decider == decider && c.at == at && c.turnout(self.rails) == Some(turnout))
    }

    fn follow(&mut self, frog: FrogId, bar: BarId, at: [Pole; 2]) {
        if self.planned(bar).is_none() {
            return; // nothing throws it, which is reported
        }
        if let Some(group) = self.group(frog, Decider::Bar(bar), at) {
            if let Feeds::Frogs(frogs) = &mut self.changeovers[group].feeds {
                frogs.push(frog);
                self.changeovers[group].reason.push_str(&format!(
                    "; the {} needs the same and is joined to it",
                    self.rails[self.rails[frog].rail].name
                ));
            }
            return;
        }
        let spec = &self.document[self.rails[frog].turnout];
        let name = &self.rails[self.rails[frog].rail].name;
        let reason = match spec.kind.bars().len() {
            1 => format!("the {name} follows its own blades"),
            _ if spec.kind.has_toe() => {
                format!("the {name} follows the blades of {}", self.document[bar].name)
            }
            _ => format!("the {name} follows {}, the blades of the other end", self.document[bar].name),
        };
        let formation = Formation::of(spec);
        let index = self.document[bar].index;
        let roads = Position::ALL
            .map(|p| (0..formation.roads().len()).filter(|r| formation.setting(*r)[index] == p).collect());
        self.add(Feeds::Frogs(vec![frog]), Decider::Bar(bar), at, roads, reason);
    }

    fn add(&mut self, feeds: Feeds, decider: Decider, at: [Pole; 2], roads: [Vec<usize>; 2], reason: String) {
        let by = FrogFeedBy::Contact; // settled when all are known
        self.changeovers.push(Changeover { feeds, decider, by, at, roads, fits: Position::ALL, reason });
    }

    /// Lets a frog follow a neighbouring turnout, if one decides which end of its crossing is used.
    fn neighbour(&mut self, frog: FrogId) -> bool {
        let need = self.rails[frog].clone();
        let spec = &self.document[need.turnout];
        let formation = Formation::of(spec);
        let all = formation.roads().len();
        let declared = spec.decided_by.as_ref().map(|d| {
            let roads = if d.inverted { [vec![1], vec![0]] } else { [vec![0], vec![1]] };
            (d.bar, roads, "as the file says")
        });
        let near = spec.kind.ports().iter().filter_map(|port| {
            let (bar, position) = self.decides(need.turnout, *port)?;
            let (with, without): (Vec<usize>, Vec<usize>) =
                (0..all).partition(|r| formation.roads_of(*port).any(|o| o == *r));
            let roads = if position == Position::Normal { [with, without] } else { [without, with] };
            Some((bar, roads, "which decides the line in use"))
        });
        let candidates: Vec<_> = declared.into_iter().chain(near).collect();
        for (bar, roads, why) in candidates {
            if self.planned(bar).is_none() {
                continue;
            }
            // Frogs of one turnout that follow the same bar by different ends must leave every road a
            // position in which all of them suit it.
            let others: Vec<&Changeover> = self
                .changeovers
                .iter()
                .filter(|c| c.decider == Decider::Bar(bar) && c.turnout(self.rails) == Some(need.turnout))
                .collect();
            let suits =
                |r: usize, p: usize| roads[p].contains(&r) && others.iter().all(|c| c.roads[p].contains(&r));
            if !(0..all).all(|r| suits(r, 0) || suits(r, 1)) {
                continue;
            }
            let at = [0, 1].map(|p: usize| one(roads[p].iter().filter_map(|r| need.on(*r))));
            let [Some(normal), Some(reverse)] = at else { continue };
            let name = &self.rails[need.rail].name;
            let reason = format!("the {name} follows {}, {why}", self.document[bar].name);
            self.add(Feeds::Frogs(vec![frog]), Decider::Bar(bar), [normal, reverse], roads, reason);
            return true;
        }
        false
    }

    /// The bar of a turnout whose heel leads to this port, and the position in which it does.
    fn decides(&self, turnout: TurnoutId, port: Port) -> Option<(BarId, Position)> {
        let here = TrackEnd::Port(turnout, port);
        let track = self.document.tracks.iter().find(|t| *t.from == here || *t.to == here)?;
        let far = if *track.from == here { *track.to } else { *track.from };
        let TrackEnd::Port(other, heel) = far else { return None };
        let spec = &self.document[other];
        if other == turnout || heel == Port::Toe || !spec.kind.has_toe() || spec.kind.bars().len() != 1 {
            return None;
        }
        let bar = self.document.bars_of(other).next()?;
        let position = Position::ALL.into_iter().find(|p| Formation::of(spec).road(*p) == heel)?;
        Some((bar, position))
    }

    /// A module or switch of its own, shared by the frogs of the turnout that tell the same roads
    /// apart.
    fn selector(&mut self, frog: FrogId, by_hand: Option<FrogFeedBy>) {
        let need = self.rails[frog].clone();
        let formation = Formation::of(&self.document[need.turnout]);
        let Some((_, first)) = need.needs.first().copied() else { return };
        let Some((_, other)) = need.needs.iter().copied().find(|(_, p)| *p != first) else { return };
        let (with, without): (Vec<usize>, Vec<usize>) =
            (0..formation.roads().len()).partition(|r| need.on(*r).is_none_or(|p| p == first));
        let same = self.changeovers.iter().find_map(|c| match c.decider {
            Decider::Selector(s) if c.turnout(self.rails) == Some(need.turnout) => {
                (c.roads == [with.clone(), without.clone()]).then_some(s)
            }
            _ => None,
        });
        let kind = self.selector_kind(by_hand);
        let selector = same.unwrap_or_else(|| {
            let words = |roads: &[usize]| {
                roads.iter().map(|r| formation.roads()[*r].name()).collect::<Vec<_>>().join(", ")
            };
            self.selectors.push(Selector {
                kind,
                name: self.document[need.turnout].name.value.clone(),
                board: self.document[need.turnout].board,
                positions: [words(&with), words(&without)],
            });
            SelectorId(self.selectors.len() - 1)
        });
        let name = &self.rails[need.rail].name;
        let reason = match kind {
            SelectorKind::Module => {
                format!("no blades tell which road is used over the {name}; the module finds out")
            }
            SelectorKind::Switch => {
                format!(
                    "no blades tell which road is used over the {name}; the operator sets it with a switch"
                )
            }
        };
        self.add(
            Feeds::Frogs(vec![frog]),
            Decider::Selector(selector),
            [first, other],
            [with, without],
            reason,
        );
    }

    fn selector_kind(&self, by_hand: Option<FrogFeedBy>) -> SelectorKind {
        match by_hand {
            Some(FrogFeedBy::PanelSwitch) => SelectorKind::Switch,
            Some(FrogFeedBy::ReverserModule) => SelectorKind::Module,
            _ if *self.document.layout.control == TrainControl::Dcc => SelectorKind::Module,
            _ => SelectorKind::Switch,
        }
    }

    /// Both conductors of a reversing section.
    fn section(&mut self, section: &Reversing) {
        let dc = *self.document.layout.control == TrainControl::Dc;
        let by_turnout = if dc { self.entry(section) } else { None };
        let name = self.rails[section.zone].name.clone();
        let (decider, fits, reason) = match by_turnout {
            Some((bar, fits)) => {
                let reason =
                    format!("{} leads in and out of {name}, so its position tells", self.document[bar].name);
                (Decider::Bar(bar), fits, reason)
            }
            None => {
                let kind = self.selector_kind(None);
                let border = |p: Position| {
                    let b = section.boundaries.iter().find(|b| b.fits == p);
                    b.map_or(String::new(), |b| {
                        format!("{}.{}", *self.document[b.turnout].name, b.port.word())
                    })
                };
                self.selectors.push(Selector {
                    kind,
                    name: name.clone(),
                    board: section.tracks.first().map_or(BoardId(0), |t| self.document[*t].board),
                    positions: Position::ALL.map(border),
                });
                let reason = match kind {
                    SelectorKind::Module => {
                        format!("the module turns {name} while the train crosses its border")
                    }
                    SelectorKind::Switch => {
                        format!("the operator sets {name} to the border the train crosses")
                    }
                };
                (Decider::Selector(SelectorId(self.selectors.len() - 1)), Position::ALL, reason)
            }
        };
        for feed in crate::track::Feed::ALL {
            let at = fits.map(|f| section.source(feed, f));
            let [Some(normal), Some(reverse)] = at else { continue };
            let feeds = Feeds::Zone(Pole { zone: section.zone, feed });
            self.add(feeds, decider, [normal, reverse], [Vec::new(), Vec::new()], reason.clone());
            if let Some(last) = self.changeovers.last_mut() {
                last.fits = fits;
            }
        }
    }

    /// The turnout that leads into a section by one road and out of it by the other.
    fn entry(&self, section: &Reversing) -> Option<(BarId, [Position; 2])> {
        section.boundaries.iter().find_map(|b| {
            let spec = &self.document[b.turnout];
            if b.port == Port::Toe || spec.kind.bars().len() != 1 {
                return None;
            }
            let bar = self.document.bars_of(b.turnout).next().filter(|bar| self.planned(*bar).is_some())?;
            let fits = |p: Position| {
                let heel = Formation::of(spec).road(p);
                section.boundaries.iter().find(|o| o.turnout == b.turnout && o.port == heel).map(|o| o.fits)
            };
            let fits = [fits(Position::Normal)?, fits(Position::Reverse)?];
            (fits[0] != fits[1]).then_some((bar, fits))
        })
    }

    /// Settles what carries each changeover: the drive's own contacts as far as they go, its own
    /// frogs first; then a relay or a microswitch.
    fn carry_out(&mut self) {
        let mut used = vec![0; self.document.bars.len()];
        for own in [true, false] {
            for i in 0..self.changeovers.len() {
                let bar = match self.changeovers[i].decider {
                    Decider::Selector(s) => {
                        self.changeovers[i].by = match self.selectors[s.0].kind {
                            SelectorKind::Switch => FrogFeedBy::PanelSwitch,
                            SelectorKind::Module => FrogFeedBy::ReverserModule,
                        };
                        continue;
                    }
                    Decider::Bar(bar) => bar,
                };
                let turnout = self.changeovers[i].turnout(self.rails);
                if (turnout == Some(self.document[bar].turnout)) != own {
                    continue;
                }
                let by = match self.siblings(i) {
                    (Some(first), _) if first < i => self.changeovers[first].by,
                    (_, wanted) => {
                        let free = self.document.drive_of(bar).contacts.saturating_sub(used[bar.0]);
                        self.carrier(bar, turnout, own, free >= wanted)
                    }
                };
                used[bar.0] += usize::from(by == FrogFeedBy::Contact);
                self.changeovers[i].by = by;
            }
        }
    }

    /// The first of the changeovers that serve the same turnout or section from the same decider, and
    /// how many they are. They are carried alike, so that they change at the same moment.
    fn siblings(&self, of: usize) -> (Option<usize>, usize) {
        let target = |c: &Changeover| match &c.feeds {
            Feeds::Zone(pole) => (None, Some(pole.zone)),
            Feeds::Frogs(_) => (c.turnout(self.rails), None),
        };
        let wanted = &self.changeovers[of];
        let alike = |c: &Changeover| c.decider == wanted.decider && target(c) == target(wanted);
        let mut all = (0..self.changeovers.len()).filter(|i| alike(&self.changeovers[*i]));
        let first = all.next();
        (first, 1 + all.count())
    }

    /// A relay changes when the command is given, while the blades still lie in their old position.
    /// A live frog is one metal with its blades, so for it, and where no command line can work a
    /// relay, a microswitch on the tie bar is chosen: it changes at mid-travel.
    fn carrier(&self, bar: BarId, turnout: Option<TurnoutId>, own: bool, contacts: bool) -> FrogFeedBy {
        let spec = turnout.map(|t| &self.document[t]);
        let given = spec.and_then(|s| s.frog_feed.as_ref()).map(|f| f.value);
        let elsewhere = spec.is_some_and(|s| s.board != self.document.turnout_of(bar).board);
        let pairing = self.planned(bar).map(|p| p.pairing);
        match given {
            Some(given) => given,
            None if contacts && !elsewhere => FrogFeedBy::Contact,
            None if own && spec.is_some_and(|s| *s.frog == FrogKind::Live) => FrogFeedBy::Microswitch,
            None if matches!(pairing, Some(Pairing::ServoDecoder | Pairing::MotorSplit)) => {
                FrogFeedBy::Microswitch
            }
            None => FrogFeedBy::Relay,
        }
    }
}

/// Roads that no position of what decides over them can serve: the frogs on them would contradict
/// each other.
pub(super) fn unserved(
    document: &Document,
    rails: &Rails,
    changeovers: &[Changeover],
) -> Vec<(TurnoutId, usize)> {
    let mut found = Vec::new();
    for turnout in (0..document.turnouts.len()).map(TurnoutId) {
        let foreign: Vec<&Changeover> =
            changeovers.iter().filter(|c| c.foreign_to(document, rails) == Some(turnout)).collect();
        let mut deciders: Vec<Decider> = foreign.iter().map(|c| c.decider).collect();
        deciders.sort_unstable();
        deciders.dedup();
        let position = |setting: usize, d: Decider| {
            let bit = deciders.iter().position(|o| *o == d).unwrap_or(0);
            setting >> bit & 1
        };
        let served = |road: usize| {
            (0..1_usize << deciders.len())
                .any(|s| foreign.iter().all(|c| c.roads[position(s, c.decider)].contains(&road)))
        };
        let roads = 0..Formation::of(&document[turnout]).roads().len();
        found.extend(roads.filter(|r| !served(*r)).map(|r| (turnout, r)));
    }
    found
}

/// The one value they all have.
fn one(mut poles: impl Iterator<Item = Pole>) -> Option<Pole> {
    let first = poles.next()?;
    poles.all(|p| p == first).then_some(first)
}
