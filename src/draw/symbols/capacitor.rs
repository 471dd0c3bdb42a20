//! Capacitor, polarised: two plates, the positive one marked.

use super::Ends;
use super::sketch::{Axis, Sketch};
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a capacitor 7.5 mm from pin to pin; `a` is its positive pin.
pub fn capacitor(scene: &mut Scene, at: Point, axis: Axis) -> Ends {
    let mut s = Sketch::along(scene, at, axis);
    s.line(&[(0.0, 0.0), (3.15, 0.0)]);
    s.line(&[(4.35, 0.0), (7.5, 0.0)]);
    s.line(&[(3.15, -2.5), (3.15, 2.5)]);
    s.line(&[(4.35, -2.5), (4.35, 2.5)]);
    s.plus(1.75, -1.75, 0.75);
    Ends { a: at, b: s.p(7.5, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    capacitor(scene, at + vector(6.25, 0.0), Axis::Horizontal);
}
