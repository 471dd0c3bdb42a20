//! How each kind of turnout is made: its roads as they fan out from the toe, and the frogs where
//! the rails of two roads cross. Described once; polarity, joints and frog feeds follow from it.

use super::{Position, Side};
use crate::parse::{Port, TurnoutKind};

/// A turnout seen from its toe: the heel ports from left to right.
///
/// The left stock rail is the left rail of the leftmost branch, the right stock rail the right
/// rail of the rightmost one; every other rail meets at least one frog.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Formation {
    /// Heel ports, left to right, looking from the toe.
    pub branches: &'static [Port],
}

/// The crossing of the right rail of the branch lying left with the left rail of the branch lying
/// right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frog {
    pub left_branch: Port,
    pub right_branch: Port,
}

impl Formation {
    pub fn of(kind: TurnoutKind) -> Formation {
        let branches: &'static [Port] = match kind {
            TurnoutKind::Left => &[Port::Diverging, Port::Straight],
            TurnoutKind::Right => &[Port::Straight, Port::Diverging],
            TurnoutKind::Wye => &[Port::Left, Port::Right],
        };
        Formation { branches }
    }

    pub fn left_branch(&self) -> Port {
        self.branches[0]
    }

    pub fn right_branch(&self) -> Port {
        self.branches[self.branches.len() - 1]
    }

    /// The frog of a turnout with two branches.
    pub fn frog(&self) -> Frog {
        Frog { left_branch: self.left_branch(), right_branch: self.right_branch() }
    }

    /// The road that is set: `normal` is the port of the normal road.
    pub fn road(&self, normal: Port, position: Position) -> Port {
        match position {
            Position::Normal => normal,
            Position::Reverse => self.branches.iter().copied().find(|p| *p != normal).unwrap_or(normal),
        }
    }
}

impl Frog {
    /// The stock rail whose polarity the frog takes when the road over `road` is set.
    ///
    /// The frog rail of the left branch is its *right* rail, so a train over the left branch needs
    /// the frog at the polarity of the right stock rail, and the other way round. That is also the
    /// stock rail which the closed blade touches (plain geometry; the tables published by builders
    /// agree).
    pub fn stock_rail_for(&self, road: Port) -> Side {
        if road == self.left_branch { Side::Right } else { Side::Left }
    }

    /// On which side, looking outward from `port`, the frog's rail leaves the turnout.
    pub fn rail_at(&self, port: Port) -> Option<Side> {
        match port {
            p if p == self.left_branch => Some(Side::Right),
            p if p == self.right_branch => Some(Side::Left),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published table for plain turnouts, seen from the toe: straight over a right-hand
    /// turnout takes the right stock rail and diverging the left; left-hand the mirror image; a wye
    /// set left takes the right stock rail. (Customary wiring as printed by clubs; it also follows
    /// from the geometry.)
    #[test]
    fn the_frog_takes_the_stock_rail_that_the_closed_blade_touches() {
        for (kind, road, side) in [
            (TurnoutKind::Left, Port::Straight, Side::Left),
            (TurnoutKind::Left, Port::Diverging, Side::Right),
            (TurnoutKind::Right, Port::Straight, Side::Right),
            (TurnoutKind::Right, Port::Diverging, Side::Left),
            (TurnoutKind::Wye, Port::Left, Side::Right),
            (TurnoutKind::Wye, Port::Right, Side::Left),
        ] {
            assert_eq!(Formation::of(kind).frog().stock_rail_for(road), side, "{kind:?} over {road:?}");
        }
    }
}
