//! What the proof found.

use super::{Step, When};
use crate::circuit::PinRef;
use crate::drives::Decider;
use crate::parse::TurnoutId;
use crate::track::{FrogId, Pole, Position, RailId};

/// What following the metal through every position showed.
#[derive(Clone, Debug, Default)]
pub struct RailProof {
    /// Settings looked at: for each group of rails that hang on the same bars and selectors, all
    /// positions of these.
    pub examined: usize,
    /// Such groups.
    pub components: usize,
    /// The most bars and selectors that a group hangs on.
    pub largest: usize,
    pub faults: Vec<Fault>,
    /// Shorts in settings that no train may use anyway.
    pub misused: Vec<Misused>,
    /// Groups with too many positions to look at each.
    pub sampled: Vec<Sampled>,
}

/// A turnout that shorts the feeds in a setting in which no train may use it.
#[derive(Clone, Debug, PartialEq)]
pub struct Misused {
    pub turnout: TurnoutId,
    pub poles: (Pole, Pole),
    pub when: When,
    /// Why no train may use it then.
    pub reason: &'static str,
}

/// A group of which not every position was looked at, but so many drawn by lot.
#[derive(Clone, Debug, PartialEq)]
pub struct Sampled {
    pub deciders: Vec<Decider>,
    pub settings: usize,
    /// The lot can be drawn again from this.
    pub seed: u64,
}

impl RailProof {
    /// Whether nothing was found that a train could meet. The rail of a road that is not set may be
    /// dead.
    pub fn holds(&self) -> bool {
        self.faults.iter().all(|f| matches!(f, Fault::Dead { reached: false, .. }))
    }
}

#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// Two conductors touch that are fed apart.
    Short {
        poles: (Pole, Pole),
        when: When,
        /// From the one to the other, in the first of these positions.
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
    /// Rails, joined to one another, on another conductor than theirs.
    WrongFeed { rails: Vec<RailId>, found: Pole, when: When, reached: bool, culprits: Vec<Culprit> },
    /// A frog that does not have the feed that a road over it needs.
    FrogWrong {
        frog: FrogId,
        /// By its place in the turnout's formation.
        road: usize,
        wanted: Pole,
        /// `None`: it is dead.
        found: Option<Pole>,
        when: When,
        culprits: Vec<Culprit>,
    },
    /// A rail changes polarity at the border of a reversing section while a train may cross it.
    Broken {
        /// By its place in [`crate::track::Rails::joints`].
        joint: usize,
        when: When,
        culprits: Vec<Culprit>,
    },
}

/// What most likely makes a fault.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Culprit {
    /// An outer pin of a contact (by its place in [`crate::circuit::Circuit::contacts`]) is not on
    /// the feed that is needed in these positions.
    Contact { contact: usize, positions: Vec<Position> },
    /// A rail's wire goes to another conductor.
    Dropper { pin: PinRef, rail: RailId },
    /// Two rails that may not touch meet in metal.
    Metal { a: RailId, b: RailId },
}
