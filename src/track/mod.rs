//! The track as rails: which piece of rail is joined to which, in which feed each one lies, where
//! rails must be cut, which rails get droppers, and what each frog needs in each position.
//!
//! ```text
//! Document ─ polarity (which way round) ─ rails (graph) ─ joints ─ droppers, frogs ─ Rails
//! ```
//!
//! Whoever holds [`Rails`] need not worry any more which rail lies left or right of whom: every
//! rail knows its feed, every joint its two rails, and every frog its feed in each position.

mod droppers;
mod findings;
mod formation;
mod graph;
mod onward;
mod polarity;
mod zones;

#[cfg(test)]
mod tests;

pub use droppers::Dropper;
pub use formation::{Blade, Formation, Road};
pub use graph::{Connection, Joint, Rail, RailId, RailPlace};
pub use onward::left_unset;
pub use zones::{Boundary, Pole, Reversing, Zone, ZoneId};

use crate::diag::Diagnostic;
use crate::parse::{Document, FrogKind, Port, SectionFeed, TrackId, TurnoutId};
use petgraph::graph::UnGraph;
use std::collections::BTreeMap;

/// One of the two conductors of the track supply.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Feed {
    A,
    B,
}

/// Left or right, looking in the direction that the context names.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    Left,
    Right,
}

/// The two positions of a turnout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Position {
    Normal,
    Reverse,
}

impl Position {
    pub const ALL: [Position; 2] = [Position::Normal, Position::Reverse];

    pub fn from_word(word: &str) -> Option<Position> {
        Position::ALL.into_iter().find(|p| p.word() == word)
    }

    pub fn other(self) -> Position {
        match self {
            Position::Normal => Position::Reverse,
            Position::Reverse => Position::Normal,
        }
    }

    pub fn word(self) -> &'static str {
        match self {
            Position::Normal => "normal",
            Position::Reverse => "reverse",
        }
    }
}

impl Feed {
    pub const ALL: [Feed; 2] = [Feed::A, Feed::B];

    pub fn other(self) -> Feed {
        match self {
            Feed::A => Feed::B,
            Feed::B => Feed::A,
        }
    }

    pub fn letter(self) -> &'static str {
        match self {
            Feed::A => "A",
            Feed::B => "B",
        }
    }
}

impl Side {
    pub const ALL: [Side; 2] = [Side::Left, Side::Right];

    pub fn other(self) -> Side {
        match self {
            Side::Left => Side::Right,
            Side::Right => Side::Left,
        }
    }

    pub fn word(self) -> &'static str {
        match self {
            Side::Left => "left",
            Side::Right => "right",
        }
    }
}

/// A frog, by its place in [`Rails::frogs`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FrogId(pub usize);

/// A crossing whose feed has to change, and what each road over it needs.
#[derive(Clone, Debug, PartialEq)]
pub struct FrogNeed {
    pub turnout: TurnoutId,
    /// Its place in the formation.
    pub crossing: usize,
    pub rail: RailId,
    /// Roads of the turnout that pass it, with the conductor their rail belongs to.
    pub needs: Vec<(usize, Pole)>,
}

impl FrogNeed {
    /// What a road needs; `None`: it does not pass this frog.
    pub fn on(&self, road: usize) -> Option<Pole> {
        self.needs.iter().find(|(r, _)| *r == road).map(|(_, p)| *p)
    }
}

/// The product of this stage.
#[derive(Clone, Debug)]
pub struct Rails {
    pub rails: Vec<Rail>,
    /// Nodes are [`Rails::rails`] in order; edges say how two pieces of rail meet.
    pub graph: UnGraph<RailId, Connection>,
    /// Insulated joints, numbered J1, J2 … in this order.
    pub joints: Vec<Joint>,
    /// Droppers, numbered D1, D2 … in this order.
    pub droppers: Vec<Dropper>,
    pub frogs: Vec<FrogNeed>,
    /// The sections of the file, then the reversing sections that were found to be needed.
    pub zones: Vec<Zone>,
    pub reversing: Vec<Reversing>,
    frame_left: BTreeMap<(TurnoutId, usize), Feed>,
    /// For each track, the feed of its left rail, looking from `from` to `to`.
    pub track_left: Vec<Feed>,
    places: BTreeMap<RailPlace, RailId>,
}

impl std::ops::Index<FrogId> for Rails {
    type Output = FrogNeed;
    fn index(&self, id: FrogId) -> &FrogNeed {
        &self.frogs[id.0]
    }
}

impl std::ops::Index<RailId> for Rails {
    type Output = Rail;
    fn index(&self, id: RailId) -> &Rail {
        &self.rails[id.0]
    }
}

impl std::ops::Index<ZoneId> for Rails {
    type Output = Zone;
    fn index(&self, id: ZoneId) -> &Zone {
        &self.zones[id.0]
    }
}

impl Rails {
    /// The feed of a track's rail, looking from its `from` to its `to` end.
    pub fn track_feed(&self, track: TrackId, side: Side) -> Feed {
        turned(self.track_left[track.0], side)
    }

    /// The feed of a road's rail, looking along the road.
    pub fn road_feed(&self, document: &Document, turnout: TurnoutId, road: usize, side: Side) -> Feed {
        let frame = Formation::of(&document[turnout]).frame(road);
        turned(self.frame_left.get(&(turnout, frame)).copied().unwrap_or(Feed::A), side)
    }

    /// The feed of a turnout's stock rail, looking from the toe.
    pub fn stock_feed(&self, turnout: TurnoutId, side: Side) -> Feed {
        turned(self.frame_left.get(&(turnout, 0)).copied().unwrap_or(Feed::A), side)
    }

    /// The frogs of a turnout whose feed has to change.
    pub fn frogs_of(&self, turnout: TurnoutId) -> impl Iterator<Item = FrogId> + '_ {
        (0..self.frogs.len()).map(FrogId).filter(move |f| self[*f].turnout == turnout)
    }

    /// Joints at one end of a turnout.
    pub fn joints_at(&self, turnout: TurnoutId, port: Port) -> impl Iterator<Item = &Joint> {
        self.joints.iter().filter(move |j| j.turnout == turnout && j.port == port)
    }

    /// What a conductor is called: "A"; where the track has several sections "yard A".
    pub fn pole_words(&self, pole: Pole) -> String {
        let letter = pole.feed.letter();
        let divided = self.rails.iter().any(|r| r.zone != pole.zone);
        if divided { format!("{} {letter}", self[pole.zone].name) } else { letter.to_owned() }
    }

    /// The rail that leaves a turnout at a port, looking outward.
    pub fn rail_at(&self, document: &Document, turnout: TurnoutId, port: Port, side: Side) -> Option<RailId> {
        self.rail(graph::place_at(document, turnout, port, side))
    }

    pub fn rail(&self, place: RailPlace) -> Option<RailId> {
        self.places.get(&place).copied()
    }

    pub fn is_reversing(&self, zone: ZoneId) -> bool {
        self[zone].feed == SectionFeed::Reversing
    }

    /// What makes a zone a reversing section; `None` for any other.
    pub fn reversing(&self, zone: ZoneId) -> Option<&Reversing> {
        self.reversing.iter().find(|r| r.zone == zone)
    }
}

fn turned(left: Feed, side: Side) -> Feed {
    match side {
        Side::Left => left,
        Side::Right => left.other(),
    }
}

/// Builds the rails of a layout. The diagnostics tell of reversing sections: proposed ones, and
/// those that are too short or not needed.
pub fn build(document: &Document) -> (Rails, Vec<Diagnostic>) {
    let mut allotment = zones::Allotment::of(document);
    let (polarity, reversing) = polarity::spread(document, &mut allotment);
    let (rails, graph, joints) = graph::build(document, &polarity, &allotment);
    let places = rails.iter().enumerate().map(|(i, r)| (r.place, RailId(i))).collect();
    let mut product = Rails {
        rails,
        graph,
        joints,
        droppers: Vec::new(),
        frogs: Vec::new(),
        zones: allotment.zones,
        reversing,
        frame_left: polarity.frame_left,
        track_left: polarity.track_left,
        places,
    };
    product.frogs = frog_needs(document, &product);
    product.droppers = droppers::place(document, &product);
    let diagnostics = findings::of(document, &product);
    (product, diagnostics)
}

fn frog_needs(document: &Document, rails: &Rails) -> Vec<FrogNeed> {
    let mut found = Vec::new();
    for (i, rail) in rails.rails.iter().enumerate() {
        let RailPlace::Frog(turnout, crossing) = rail.place else { continue };
        if rail.pole.is_some() || *document[turnout].frog == FrogKind::Insulated {
            continue;
        }
        let through = Formation::of(&document[turnout]).through(crossing);
        let need = |(road, side): (usize, Side)| {
            (road, Pole { zone: rail.zone, feed: rails.road_feed(document, turnout, road, side) })
        };
        let needs = through.into_iter().map(need).collect();
        found.push(FrogNeed { turnout, crossing, rail: RailId(i), needs });
    }
    found
}
