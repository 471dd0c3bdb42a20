//! How the rails look: in the feed that they are to have, with everything normal, or in the feed
//! that they are joined to in some setting.

use crate::Design;
use crate::draw::ink::conductor;
use crate::draw::scene::{Dash, Ink, Stroke};
use crate::draw::sheets::track_function;
use crate::drives::Decider;
use crate::parse::{SectionFeed, TrackId, TurnoutId};
use crate::proof::State;
use crate::track::{Feed, Pole, Position, Rail, RailId, RailPlace, Side, ZoneId};

/// What the plan is drawn from.
pub struct Look<'a> {
    pub design: &'a Design,
    /// The setting that is shown; `None`: the plan itself.
    pub state: Option<&'a State>,
}

/// Width of a rail in feed A, in feed B and in a frog.
const WIDTHS: [f64; 3] = [0.7, 0.9, 1.2];

const DEAD: Stroke = Stroke { width: 0.35, ink: Ink::GREY, dash: Dash::Dashed, edge: None };

/// Bands under the roads tell sections apart; the first has none.
const TINTS: [Ink; 6] = [
    Ink(219, 234, 250),
    Ink(226, 243, 218),
    Ink(251, 236, 212),
    Ink(240, 226, 245),
    Ink(233, 233, 233),
    Ink(214, 242, 240),
];
/// Of every reversing section.
const REVERSING: Ink = Ink(251, 222, 226);
/// Under a road that is set.
pub const SET: Ink = Ink(255, 240, 170);
/// Under rails whose conductors touch.
pub const SHORT: Ink = Ink(255, 120, 120);

impl Look<'_> {
    /// How the tie bars of a turnout lie.
    pub fn setting(&self, turnout: TurnoutId) -> Vec<Position> {
        let at = |bar| self.state.map_or(Position::Normal, |s| s.position(Decider::Bar(bar)));
        self.design.document.bars_of(turnout).map(at).collect()
    }

    /// The roads over a turnout that are set; none on the plan itself.
    pub fn roads_set(&self, turnout: TurnoutId) -> Vec<usize> {
        let d = self.design;
        self.state.map_or(Vec::new(), |s| s.roads(&d.document, &d.rails, &d.plan, turnout))
    }

    pub fn rail(&self, place: RailPlace) -> Option<RailId> {
        self.design.rails.rail(place)
    }

    pub fn pole(&self, rail: RailId) -> Option<Pole> {
        match self.state {
            Some(state) => state.rails.get(rail.0).copied().flatten(),
            None => self.design.rails[rail].pole,
        }
    }

    pub fn feed(&self, rail: RailId) -> Option<Feed> {
        self.pole(rail).map(|p| p.feed)
    }

    pub fn track_feed(&self, track: TrackId, side: Side) -> Option<Feed> {
        self.rail(RailPlace::Track(track, side)).and_then(|r| self.feed(r))
    }

    pub fn is_shorted(&self, rail: RailId) -> bool {
        let touches = |p: Pole| self.state.is_some_and(|s| s.shorts.iter().any(|(a, b)| *a == p || *b == p));
        self.pole(rail).is_some_and(touches)
    }

    pub fn stroke(&self, rail: RailId) -> Stroke {
        let changes = self.design.rails[rail].pole.is_none();
        match (self.feed(rail), self.state) {
            (None, Some(_)) => DEAD,
            (feed, Some(_)) if changes => self.kind_stroke(feed, WIDTHS[2]),
            (feed, _) => self.rail_stroke(feed),
        }
    }

    /// The stroke of a rail in a feed. Without colour the feeds differ too: A is plain, B broader
    /// with a dashed core, a frog's metal heavy.
    pub fn rail_stroke(&self, feed: Option<Feed>) -> Stroke {
        let width = match feed {
            Some(Feed::A) => WIDTHS[0],
            Some(Feed::B) => WIDTHS[1],
            None => WIDTHS[2],
        };
        self.kind_stroke(feed, width)
    }

    pub fn kind_stroke(&self, feed: Option<Feed>, width: f64) -> Stroke {
        conductor(self.design.wiring.palette.colour(track_function(self.design, feed)), width)
    }

    /// The sections that the track lies in, in order.
    pub fn zones(&self) -> Vec<ZoneId> {
        let mut zones: Vec<ZoneId> = self.design.rails.rails.iter().map(|r| r.zone).collect();
        zones.sort_unstable();
        zones.dedup();
        zones
    }

    pub fn zone_of_track(&self, track: TrackId) -> Option<ZoneId> {
        Some(self.design.rails[self.rail(RailPlace::Track(track, Side::Left))?].zone)
    }

    pub fn zone_of_turnout(&self, turnout: TurnoutId) -> Option<ZoneId> {
        let of = |r: &&Rail| match r.place {
            RailPlace::Stock(t, _) | RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => t == turnout,
            RailPlace::Track(..) => false,
        };
        self.design.rails.rails.iter().find(of).map(|r| r.zone)
    }

    /// The band under a section's roads; `None` for the first, or if there is only one.
    pub fn tint(&self, zone: ZoneId) -> Option<Ink> {
        if self.design.rails[zone].feed == SectionFeed::Reversing {
            return Some(REVERSING);
        }
        let at = self.zones().iter().position(|z| *z == zone)?;
        Some(TINTS[at.checked_sub(1)? % TINTS.len()])
    }

    /// "section west", "reversing section loop"; nothing if there is only one section.
    pub fn zone_words(&self, zone: ZoneId) -> Option<String> {
        let name = &self.design.rails[zone].name;
        match self.design.rails[zone].feed {
            SectionFeed::Reversing => Some(format!("reversing section {name}")),
            // The one that nobody named needs no name.
            _ if self.design.document.sections.len() < 2 => None,
            SectionFeed::District => Some(format!("district {name}")),
            SectionFeed::Booster => Some(format!("booster {name}")),
            SectionFeed::Shared => Some(format!("section {name}")),
        }
    }

    /// The conductor that a rail is joined to, or "dead".
    pub fn pole_words(&self, pole: Option<Pole>) -> String {
        pole.map_or_else(|| "dead".into(), |pole| self.design.rails.pole_words(pole))
    }
}
