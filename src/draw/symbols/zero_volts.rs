//! 0 V, the common return: an open triangle (equipotential point). Not earth: nothing on a layout is
//! earthed.

use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws the sign below its pin `at`, which it returns for symmetry with the other symbols.
pub fn zero_volts(scene: &mut Scene, at: Point) -> Point {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (0.0, 2.5)]);
    s.outline(&[(-2.0, 2.5), (2.0, 2.5), (0.0, 5.5)]);
    at
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    zero_volts(scene, at + vector(10.0, -2.5));
}
