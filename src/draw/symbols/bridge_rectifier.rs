//! Rectifier in bridge connection, as a block: a diode in a square, the kind of current at each pin.

use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// The four pins; the two for alternating current are alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bridge {
    pub ac1: Point,
    pub ac2: Point,
    pub plus: Point,
    pub minus: Point,
}

/// Draws a bridge: `at` is the upper pin for alternating current, the other lies 10 mm below it;
/// plus and minus lie 20 mm to the right.
pub fn bridge_rectifier(scene: &mut Scene, at: Point) -> Bridge {
    let mut s = Sketch::new(scene, at);
    for y in [0.0, 10.0] {
        s.line(&[(0.0, y), (2.5, y)]);
        s.line(&[(17.5, y), (20.0, y)]);
    }
    s.rect(2.5, -2.5, 15.0, 15.0);
    s.outline(&[(8.25, 3.0), (8.25, 7.0), (11.75, 5.0)]);
    s.line(&[(11.75, 3.0), (11.75, 7.0)]);
    s.line(&[(6.25, 5.0), (13.75, 5.0)]);
    s.alternating(4.75, 0.0, 1.25);
    s.alternating(4.75, 10.0, 1.25);
    s.plus(15.5, 0.0, 0.9);
    s.minus(15.5, 10.0, 0.9);
    Bridge { ac1: at, ac2: s.p(0.0, 10.0), plus: s.p(20.0, 0.0), minus: s.p(20.0, 10.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    bridge_rectifier(scene, at + vector(0.0, -5.0));
}
