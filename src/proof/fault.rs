//! What the proof found.

use super::{Step, When};
use crate::circuit::PinRef;
use crate::parse::TurnoutId;
use crate::track::{Feed, Position, RailId};

/// What following the metal through every position showed.
#[derive(Clone, Debug, Default)]
pub struct RailProof {
    /// Settings looked at: for each group of rails that hang on the same turnouts, all positions
    /// of these.
    pub examined: usize,
    pub faults: Vec<Fault>,
    /// Groups of turnouts with too many positions to look at each.
    pub left_out: Vec<Vec<TurnoutId>>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Feed A and feed B touch.
    Short {
        when: When,
        /// From A to B, in the first of these positions.
        path: Vec<Step>,
        culprits: Vec<Culprit>,
    },
    /// Rails without feed that are joined to one another.
    Dead {
        rails: Vec<RailId>,
        when: When,
        /// Whether a train can get there while it is dead.
        reached: bool,
    },
    /// Rails, joined to one another, in the other feed than theirs.
    WrongFeed { rails: Vec<RailId>, found: Feed, when: When, reached: bool, culprits: Vec<Culprit> },
    /// A frog that does not have the feed its road needs.
    FrogWrong {
        turnout: TurnoutId,
        position: Position,
        wanted: Feed,
        /// `None`: it is dead.
        found: Option<Feed>,
        when: When,
        culprits: Vec<Culprit>,
    },
}

/// What most likely makes a fault.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Culprit {
    /// An outer pin of a contact (by its place in [`crate::circuit::Circuit::contacts`]) is not on
    /// the feed that the frog needs in these positions.
    Contact { contact: usize, positions: Vec<Position> },
    /// A rail's wire goes to the other feed.
    Dropper { pin: PinRef, rail: RailId },
    /// Two rails that may not touch meet in metal.
    Metal { a: RailId, b: RailId },
}
