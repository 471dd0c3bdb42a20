//! Coil of a drive or relay: a rectangle with its connections on the short sides.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a coil 15 mm from pin to pin; its middle, 7.5 mm along, is free for a letter.
pub fn coil(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (2.5, 0.0)]);
    s.line(&[(12.5, 0.0), (15.0, 0.0)]);
    s.rect(2.5, -2.5, 10.0, 5.0);
    Ends { a: at, b: s.p(15.0, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    coil(scene, at + vector(2.5, 0.0));
}
