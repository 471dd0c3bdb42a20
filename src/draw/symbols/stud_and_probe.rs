//! Stud and probe of an old-style panel: a bolt head in the track diagram, touched with a stylus.

use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a stud whose wire leaves to the right; gives its pin, 5 mm from the middle of the head.
pub fn stud(scene: &mut Scene, centre: Point) -> Point {
    let mut s = Sketch::new(scene, centre);
    s.line(&[(1.5, 0.0), (5.0, 0.0)]);
    s.circle(0.0, 0.0, 1.5);
    s.circle(0.0, 0.0, 0.75);
    s.p(5.0, 0.0)
}

/// Draws a probe whose wire comes from the left at `at`; gives the place of its tip, 12.5 mm away.
pub fn probe(scene: &mut Scene, at: Point) -> Point {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (2.5, 0.0)]);
    s.outline(&[(2.5, -1.0), (8.75, -1.0), (10.0, -0.35), (10.0, 0.35), (8.75, 1.0), (2.5, 1.0)]);
    s.solid(&[(10.0, -0.35), (12.5, 0.0), (10.0, 0.35)]);
    s.p(12.5, 0.0)
}

pub(super) fn example_stud(scene: &mut Scene, at: Point) {
    stud(scene, at + vector(8.75, 0.0));
}

pub(super) fn example_probe(scene: &mut Scene, at: Point) {
    probe(scene, at + vector(3.75, 0.0));
}
