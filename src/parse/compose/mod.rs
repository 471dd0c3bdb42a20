//! Compositions: tables that stand for several turnouts, with the tracks between them and, if the
//! builder wants, their controls.
//!
//! Each kind says in a file of its own which parts it has ([`Outline`]). Here they get their names
//! and become turnouts, tracks and controls like any others: nobody downstream knows compositions.
//! The name of the composition stands in the file, and so is the place of all of them.

mod crossover;
mod ladder;
mod measure;
mod outline;
mod passing_loop;
mod scissors;

pub use outline::Outline;

use super::bind::{Composed, Set, first_bar};
use super::document::{
    Bar, BarId, Control, ControlKind, Decision, Exclusive, FrogFeedBy, Port, Setting, SlipBlades, Track,
    TrackEnd, Turnout, TurnoutId, TurnoutKind, TurnoutPlace,
};
use super::form::Section;
use super::keys;
use super::reader::{Found, Table};
use super::root::Root;
use super::tables::turnout::{self, Surroundings};
use crate::diag::Diagnostic;
use crate::source::{At, Span};
use crate::units::{Angle, Length};

/// One composition of the file.
pub struct Composition<'a> {
    /// "crossover"
    pub kind: &'static str,
    pub table: Table<'a>,
    pub outline: Outline,
    /// The place of its first member among all turnouts.
    pub first: usize,
}

/// A track that a composition brings along.
pub struct Inner {
    pub name: String,
    pub ends: [TrackEnd; 2],
    pub length: Option<Length>,
}

/// What a composition stands for; `None` where the file is wrong.
pub struct Expanded {
    pub turnouts: Vec<Option<Turnout>>,
    pub bars: Vec<Option<Vec<Bar>>>,
    pub tracks: Vec<Option<Track>>,
    pub controls: Vec<Option<Control>>,
    pub exclusive: Option<Exclusive>,
}

/// Every composition of the file. `turnouts` is the number of those written one by one.
pub fn read<'a>(root: &Root<'a>, gauge: Length, turnouts: usize, found: &mut Found) -> Vec<Composition<'a>> {
    type Reader = fn(&Table<'_>, f64, &mut Found) -> Outline;
    let kinds: [(&'static Section, Reader); 4] = [
        (&keys::CROSSOVER, crossover::outline),
        (&keys::SCISSORS, scissors::outline),
        (&keys::LADDER, ladder::outline),
        (&keys::PASSING_LOOP, passing_loop::outline),
    ];
    let mut all = Vec::new();
    let mut first = turnouts;
    for (section, outline) in kinds {
        for table in root.named(section, found) {
            let mut outline = outline(&table, gauge.mm(), found);
            outline.whole &= table.is_table();
            let members = outline.members.len();
            all.push(Composition { kind: section.name, table, outline, first });
            first += members;
        }
    }
    all
}

impl Composition<'_> {
    pub fn name(&self) -> &At<String> {
        &self.table.name
    }

    /// "X2.a"; of the composition itself "X2".
    fn full(&self, name: &str) -> String {
        match name {
            "" => self.name().value.clone(),
            name => format!("{}.{name}", self.name().value),
        }
    }

    fn at(&self, name: &str) -> At<String> {
        At::new(self.full(name), self.name().span)
    }

    fn turnout(&self, member: usize) -> TurnoutId {
        TurnoutId(self.first + member)
    }

    fn end(&self, (member, port): (usize, Port)) -> TrackEnd {
        TrackEnd::Port(self.turnout(member), port)
    }

    /// Names and kinds of its members, in their order.
    pub fn members(&self) -> impl Iterator<Item = (At<String>, TurnoutKind)> + '_ {
        self.outline.members.iter().map(|m| (self.at(&m.name), m.kind))
    }

    pub fn tracks(&self) -> impl Iterator<Item = Inner> + '_ {
        self.outline.links.iter().map(|l| Inner {
            name: self.full(&l.name),
            ends: [self.end(l.from), self.end(l.to)],
            length: l.length,
        })
    }

    /// The names of its own controls; none without `with`.
    pub fn controls(&self) -> impl Iterator<Item = (At<String>, &[usize])> + '_ {
        let wanted = self.table.has("with");
        self.outline.controls.iter().filter(move |_| wanted).map(|(n, m)| (self.at(n), m.as_slice()))
    }

    /// What names may refer to.
    pub fn composed(&self) -> Composed {
        let o = &self.outline;
        Composed {
            kind: self.kind,
            name: self.name().clone(),
            whole: o.whole,
            ends: o.ends.iter().map(|(n, m, p)| (self.full(n), self.turnout(*m), *p)).collect(),
            sets: o
                .groups
                .iter()
                .map(|g| Set {
                    name: self.full(g.name),
                    turnouts: g.members.iter().map(|m| self.turnout(*m)).collect(),
                    alike: g.alike,
                })
                .collect(),
        }
    }

    /// Its parts. `kinds` is by turnout, members among them.
    pub fn expand(
        &self,
        kinds: &[Option<TurnoutKind>],
        around: &Surroundings<'_>,
        found: &mut Found,
    ) -> Expanded {
        let table = &self.table;
        let span = self.name().span;
        let frog = turnout::frog(table, around.defaults, found);
        let board = turnout::board(table, around, found);
        let section = turnout::section(table, around, found);
        let drive = turnout::drive(table, around, found);
        let frog_feed = table.word::<FrogFeedBy>("frog-feed", found);
        let diamond_feed = table.word::<FrogFeedBy>("diamond-feed", found);
        let with = table.word::<ControlKind>("with", found);
        let size = board.and_then(|b| around.boards.get(b.0)?.as_ref()?.size);
        let base = turnout::place(table, None, None, found);
        if let Some(base) = base {
            self.on_board(base, size, found);
        }
        let bar = |member: usize| BarId(first_bar(kinds, self.first + member));
        let places = base.map_or_else(|| vec![None; self.outline.members.len()], |b| self.places(b));
        let turnouts = self.outline.members.iter().zip(&places).map(|(m, place)| {
            let diamond = m.kind == TurnoutKind::Diamond;
            Some(Turnout {
                name: self.at(&m.name),
                kind: At::new(m.kind, span),
                frog: frog.clone()?,
                board: board?,
                section: section?,
                place: *place,
                normal: if diamond { Port::B } else { Port::Straight },
                blades: SlipBlades::FarExit,
                frog_feed: if diamond { diamond_feed.clone() } else { frog_feed.clone() },
                decided_by: m.decided_by.map(|of| At::new(Decision { bar: bar(of), inverted: false }, span)),
                span,
            })
        });
        let bars = self.outline.members.iter().enumerate().map(|(i, m)| {
            if m.kind.bars().is_empty() {
                return Some(Vec::new());
            }
            let drive = drive.clone()?;
            Some(vec![Bar { name: self.full(&m.name), turnout: self.turnout(i), index: 0, drive }])
        });
        let tracks = self.tracks().map(|t| {
            Some(Track {
                name: At::new(t.name, span),
                from: At::new(t.ends[0], span),
                to: At::new(t.ends[1], span),
                length: t.length,
                board: board?,
                section: section?,
                droppers: true,
                span,
            })
        });
        let controls = self.controls().map(|(name, members)| {
            Some(Control {
                name,
                throws: members.iter().map(|m| At::new(bar(*m), span)).collect(),
                with: with.clone()?,
                span,
            })
        });
        let exclusive = self.outline.exclusive.as_ref().map(|(groups, reason)| Exclusive {
            of: self.name().clone(),
            settings: groups
                .iter()
                .map(|g| &self.outline.groups[*g])
                .map(|g| Setting {
                    name: self.full(g.name),
                    bars: g.members.iter().map(|m| bar(*m)).collect(),
                })
                .collect(),
            reason,
        });
        Expanded {
            turnouts: turnouts.collect(),
            bars: bars.collect(),
            tracks: tracks.collect(),
            controls: controls.collect(),
            exclusive,
        }
    }

    fn places(&self, base: TurnoutPlace) -> Vec<Option<TurnoutPlace>> {
        let heading = base.heading.degrees().to_radians();
        let (cos, sin) = (heading.cos(), heading.sin());
        let tenth = |mm: f64| Length::from_mm((mm * 10.0).round() / 10.0);
        let place = |spot: outline::Spot| {
            let x = base.origin.0.mm() + spot.along * cos - spot.left * sin;
            let y = base.origin.1.mm() + spot.along * sin + spot.left * cos;
            let turn = if spot.turned { 180.0 } else { 0.0 };
            TurnoutPlace {
                origin: (tenth(x), tenth(y)),
                heading: Angle::new((base.heading.degrees() + turn).rem_euclid(360.0)),
            }
        };
        self.outline.members.iter().map(|m| m.spot.map(place)).collect()
    }

    /// Reports the first member that would lie outside of the board.
    fn on_board(&self, base: TurnoutPlace, size: Option<(Length, Length)>, found: &mut Found) {
        let most = size.unwrap_or((Length::from_mm(f64::MAX), Length::from_mm(f64::MAX)));
        let zero = Length::from_mm(0.0);
        let outside = |p: &TurnoutPlace| {
            let (x, y) = p.origin;
            x < zero || y < zero || x > most.0 || y > most.1
        };
        let places = self.places(base);
        let astray = self.outline.members.iter().zip(&places);
        let Some((member, place)) = astray.filter_map(|(m, p)| Some((m, (*p)?))).find(|(_, p)| outside(p))
        else {
            return;
        };
        let (x, y) = place.origin;
        let name = self.full(&member.name);
        found.push(
            Diagnostic::error("off-the-board", format!("{} does not lie on its board", self.table.what))
                .label(
                    self.table.place("toe"),
                    format!("from here on, `{name}` would lie {:.0} mm to the right and {:.0} mm to the back", x.mm(), y.mm()),
                )
                .label(self.table.place("heading"), "in this direction")
                .help("measure from the front left corner of the board to the toe, and look at heading and hand; or leave `toe` and `heading` out"),
        );
    }
}

/// Reports names that are there already, of turnouts, tracks and controls.
pub fn clashes(
    all: &[Composition<'_>],
    turnouts: &[Table<'_>],
    tracks: &[Table<'_>],
    controls: &[Table<'_>],
    found: &mut Found,
) {
    let written = |tables: &[Table<'_>]| -> Vec<(String, Span)> {
        tables.iter().map(|t| (t.name.value.clone(), t.name.span)).collect()
    };
    let mut here = written(turnouts);
    let mut rails = written(tracks);
    let mut levers = written(controls);
    for c in all {
        let parts = c.members().map(|(name, _)| name.value).collect::<Vec<_>>();
        let whole = std::iter::once(c.name().value.clone());
        // A written turnout "X1" has ports, and so would a crossover of that name.
        let clash = take(&mut here, whole.chain(parts), c.name().span)
            .map(|(name, first)| ("turnout", name, first))
            .or_else(|| {
                let names = c.tracks().map(|t| t.name).collect::<Vec<_>>();
                take(&mut rails, names, c.name().span).map(|(name, first)| ("track", name, first))
            })
            .or_else(|| {
                let names = c.controls().map(|(name, _)| name.value).collect::<Vec<_>>();
                take(&mut levers, names, c.name().span).map(|(name, first)| ("control", name, first))
            });
        let Some((what, name, first)) = clash else { continue };
        found.push(
            Diagnostic::error("name-taken", format!("{} needs the name `{name}` for a {what}", c.table.what))
                .label(c.name().span, "named here")
                .label(first, "has that name already")
                .help("rename one of the two"),
        );
    }
}

/// Adds names to those that are taken; gives the first that is there already, with its place.
fn take(
    taken: &mut Vec<(String, Span)>,
    names: impl IntoIterator<Item = String>,
    span: Span,
) -> Option<(String, Span)> {
    let mut clash = None;
    for name in names {
        let there = taken.iter().find(|(n, _)| *n == name).cloned();
        clash = clash.or(there);
        taken.push((name, span));
    }
    clash
}
