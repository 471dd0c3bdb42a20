//! Socket and plug contact, mated: an open arc that receives a solid bar.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a contact pair 7.5 mm from pin to pin; `a` is the socket's side, `b` the plug's.
pub fn connector(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (2.0, 0.0)]);
    s.arc(3.25, 0.0, 1.25, 90.0, 270.0);
    s.solid(&[(2.75, -0.4), (5.5, -0.4), (5.5, 0.4), (2.75, 0.4)]);
    s.line(&[(5.5, 0.0), (7.5, 0.0)]);
    Ends { a: at, b: s.p(7.5, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    connector(scene, at + vector(6.25, 0.0));
}
