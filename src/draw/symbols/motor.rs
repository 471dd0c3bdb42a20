//! Motor: M in a circle.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a motor 15 mm from pin to pin.
pub fn motor(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (2.5, 0.0)]);
    s.line(&[(12.5, 0.0), (15.0, 0.0)]);
    s.circle(7.5, 0.0, 5.0);
    s.mark(7.5, 0.0, 3.5, "M");
    Ends { a: at, b: s.p(15.0, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    motor(scene, at + vector(2.5, 0.0));
}
