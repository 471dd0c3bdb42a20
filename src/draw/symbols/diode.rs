//! Diode, and diode that gives light: a triangle that points the way the current flows.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a diode 10 mm from pin to pin; `a` is the anode.
pub fn diode(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.outline(&[(3.25, -2.0), (3.25, 2.0), (6.75, 0.0)]);
    s.line(&[(6.75, -2.0), (6.75, 2.0)]);
    s.line(&[(0.0, 0.0), (10.0, 0.0)]);
    Ends { a: at, b: s.p(10.0, 0.0) }
}

/// Draws a light-emitting diode 10 mm from pin to pin; `a` is the anode. The arrows rise 5 mm.
pub fn light_emitting_diode(scene: &mut Scene, at: Point) -> Ends {
    let ends = diode(scene, at);
    let mut s = Sketch::new(scene, at);
    for x in [4.5, 6.25] {
        s.line(&[(x, -2.25), (x + 1.75, -4.0)]);
        s.solid(&[(x + 2.25, -4.5), (x + 1.9, -3.35), (x + 1.1, -4.15)]);
    }
    ends
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    diode(scene, at + vector(5.0, 0.0));
}

pub(super) fn example_light_emitting(scene: &mut Scene, at: Point) {
    light_emitting_diode(scene, at + vector(5.0, 0.0));
}
