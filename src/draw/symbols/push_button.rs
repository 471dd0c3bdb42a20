//! Push-button with make contact that opens by itself.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Draws a push-button 12.5 mm from pin to pin, not pressed; the actuator rises 6.25 mm.
pub fn push_button(scene: &mut Scene, at: Point) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.line(&[(0.0, 0.0), (2.5, 0.0), (9.5, -2.75)]);
    s.line(&[(9.25, 0.0), (12.5, 0.0)]);
    s.linkage(&[(6.25, -1.5), (6.25, -5.5)]);
    // The button: a bar with its ends bent down. A twist handle would have none.
    s.line(&[(4.5, -4.25), (4.5, -5.5), (8.0, -5.5), (8.0, -4.25)]);
    Ends { a: at, b: s.p(12.5, 0.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    push_button(scene, at + vector(3.75, 0.0));
}
