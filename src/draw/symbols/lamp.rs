//! Lamp: a circle with a cross.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a lamp 10 mm from pin to pin.
pub fn lamp(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (2.5, 0.0)]);
    s.line(&[(7.5, 0.0), (10.0, 0.0)]);
    s.circle(5.0, 0.0, 2.5);
    let d = 2.5 * std::f64::consts::FRAC_1_SQRT_2;
    s.line(&[(5.0 - d, -d), (5.0 + d, d)]);
    s.line(&[(5.0 - d, d), (5.0 + d, -d)]);
    Ends { a: at, b: s.p(10.0, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    lamp(scene, at + vector(5.0, 0.0));
}
