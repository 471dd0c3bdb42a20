//! Links of a diode matrix: from a row above down and aside to a column, with a diode or with a
//! wire. The wire is drawn as a closed connecting link.

use super::Ends;
use super::sketch::{Axis, Sketch};
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// From the pin on the row to the column, across and down.
pub const ACROSS: f64 = 5.0;
pub const DOWN: f64 = 7.5;

/// Draws a diode from a row to the column at its right; `a` is the anode.
pub fn diode(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::along(scene, at, Axis::Vertical);
    s.outline(&[(3.0, -1.75), (3.0, 1.75), (6.0, 0.0)]);
    s.line(&[(6.0, -1.75), (6.0, 1.75)]);
    s.line(&[(0.0, 0.0), (DOWN, 0.0)]);
    aside(s)
}

/// Draws a wire link from a row to the column at its right.
pub fn wire_link(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::along(scene, at, Axis::Vertical);
    s.line(&[(0.0, 0.0), (DOWN, 0.0)]);
    s.circle(3.25, 0.0, 0.6);
    s.circle(5.75, 0.0, 0.6);
    aside(s)
}

fn aside(mut s: Sketch<'_>) -> Ends {
    s.line(&[(DOWN, 0.0), (DOWN, ACROSS)]);
    Ends { a: s.p(0.0, 0.0), b: s.p(DOWN, ACROSS) }
}

pub(super) fn example_wire_link(scene: &mut Scene, at: Point) {
    wire_link(scene, at + vector(7.5, -3.75));
}
