//! Fuse: a rectangle with the conductor running through.

use super::Ends;
use super::sketch::{Axis, Sketch};
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a fuse 12.5 mm from pin to pin.
pub fn fuse(scene: &mut Scene, at: Point, axis: Axis) -> Ends {
    let mut s = Sketch::along(scene, at, axis);
    s.rect(2.5, -1.25, 7.5, 2.5);
    s.line(&[(0.0, 0.0), (12.5, 0.0)]);
    Ends { a: at, b: s.p(12.5, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    fuse(scene, at + vector(3.75, 0.0), Axis::Horizontal);
}
