//! Resistor: a rectangle three times as long as wide.

use super::Ends;
use super::sketch::{Axis, Sketch};
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a resistor 12.5 mm from pin to pin.
pub fn resistor(scene: &mut Scene, at: Point, axis: Axis) -> Ends {
    let mut s = Sketch::along(scene, at, axis);
    s.line(&[(0.0, 0.0), (2.5, 0.0)]);
    s.line(&[(10.0, 0.0), (12.5, 0.0)]);
    s.rect(2.5, -1.25, 7.5, 2.5);
    Ends { a: at, b: s.p(12.5, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    resistor(scene, at + vector(3.75, 0.0), Axis::Horizontal);
}
