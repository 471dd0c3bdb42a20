//! Relay that latches: one coil sets it, the other resets it, and it stays. Two rectangles, linked.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// The pins of both coils.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LatchingRelay {
    pub set: Ends,
    pub reset: Ends,
}

/// Draws both coils, the reset coil 7.5 mm below the set coil, each 15 mm from pin to pin.
pub fn latching_relay(scene: &mut Scene, at: Point) -> LatchingRelay {
    let mut s = Sketch::new(scene, at);
    s.linkage(&[(7.5, 2.5), (7.5, 5.0)]);
    for (y, letter) in [(0.0, "S"), (7.5, "R")] {
        s.line(&[(0.0, y), (2.5, y)]);
        s.line(&[(12.5, y), (15.0, y)]);
        s.rect(2.5, y - 2.5, 10.0, 5.0);
        s.mark(7.5, y, 2.5, letter);
    }
    LatchingRelay {
        set: Ends { a: at, b: s.p(15.0, 0.0) },
        reset: Ends { a: s.p(0.0, 7.5), b: s.p(15.0, 7.5) },
    }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    latching_relay(scene, at + vector(2.5, -3.75));
}
