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
mod formation;
mod graph;
mod polarity;

pub use droppers::Dropper;
pub use formation::{Formation, Frog};
pub use graph::{Connection, Joint, Rail, RailId, RailPlace};

use crate::diag::Diagnostic;
use crate::parse::{Document, FrogKind, Port, TrackId, TurnoutId};
use petgraph::graph::UnGraph;

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

/// What a live frog, or one with a wire, needs.
#[derive(Clone, Debug, PartialEq)]
pub struct FrogNeed {
    pub turnout: TurnoutId,
    pub rail: RailId,
    /// The stock rail, looking from the toe, and its feed, for the normal and the reverse position.
    pub normal: (Side, Feed),
    pub reverse: (Side, Feed),
}

impl FrogNeed {
    pub fn at(&self, position: Position) -> (Side, Feed) {
        match position {
            Position::Normal => self.normal,
            Position::Reverse => self.reverse,
        }
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
    /// For each turnout, the feed of the left rail at its toe, looking in.
    pub toe_left: Vec<Feed>,
    /// For each track, the feed of its left rail, looking from `from` to `to`.
    pub track_left: Vec<Feed>,
    /// Connections that contradict the feeds above, because they join a rail to the other one: so
    /// many reversing connections, each of which makes shorts and wrong feeds elsewhere.
    pub conflicts: usize,
}

impl Rails {
    /// The feed of a track's rail, looking from its `from` to its `to` end.
    pub fn track_feed(&self, track: TrackId, side: Side) -> Feed {
        turned(self.track_left[track.0], side)
    }

    /// The feed of a turnout's stock rail, looking from the toe.
    pub fn stock_feed(&self, turnout: TurnoutId, side: Side) -> Feed {
        turned(self.toe_left[turnout.0], side)
    }

    pub fn frog(&self, turnout: TurnoutId) -> Option<&FrogNeed> {
        self.frogs.iter().find(|f| f.turnout == turnout)
    }

    /// Joints at one end of a turnout.
    pub fn joints_at(&self, turnout: TurnoutId, port: Port) -> impl Iterator<Item = &Joint> {
        self.joints.iter().filter(move |j| j.turnout == turnout && j.port == port)
    }

    pub fn rail(&self, place: RailPlace) -> Option<RailId> {
        self.rails.iter().position(|r| r.place == place).map(RailId)
    }
}

fn turned(left: Feed, side: Side) -> Feed {
    match side {
        Side::Left => left,
        Side::Right => left.other(),
    }
}

/// Builds the rails of a layout. The diagnostics name reversing connections; the rails are usable
/// even then (for a draft), with the feeds that the first path found gives them.
pub fn build(document: &Document) -> (Rails, Vec<Diagnostic>) {
    let (polarity, diagnostics) = polarity::spread(document);
    let (rails, graph, joints) = graph::build(document, &polarity);
    let mut product = Rails {
        rails,
        graph,
        joints,
        droppers: Vec::new(),
        frogs: Vec::new(),
        toe_left: polarity.toe_left,
        track_left: polarity.track_left,
        conflicts: diagnostics.len(),
    };
    product.frogs = frog_needs(document, &product);
    product.droppers = droppers::place(document, &product);
    (product, diagnostics)
}

fn frog_needs(document: &Document, rails: &Rails) -> Vec<FrogNeed> {
    let mut needs = Vec::new();
    for (i, turnout) in document.turnouts.iter().enumerate() {
        let id = TurnoutId(i);
        if *turnout.frog == FrogKind::Insulated {
            continue;
        }
        let formation = Formation::of(*turnout.kind);
        let need = |position| {
            let side = formation.frog().stock_rail_for(formation.road(turnout.normal, position));
            (side, rails.stock_feed(id, side))
        };
        if let Some(rail) = rails.rail(RailPlace::Frog(id)) {
            needs.push(FrogNeed {
                turnout: id,
                rail,
                normal: need(Position::Normal),
                reverse: need(Position::Reverse),
            });
        }
    }
    needs
}
