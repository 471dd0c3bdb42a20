//! Servo: a box with its three wires in the order of the plug. What it is called stands beside it.

use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Servo {
    pub signal: Point,
    pub plus: Point,
    pub minus: Point,
}

/// Draws the box 12.5 mm wide and 15 mm high; `at` is the signal pin, the others follow every 5 mm
/// below it. Right half: the horn on its shaft.
pub fn servo(scene: &mut Scene, at: Point) -> Servo {
    let mut s = Sketch::new(scene, at);
    for y in [0.0, 5.0, 10.0] {
        s.line(&[(0.0, y), (2.5, y)]);
    }
    s.rect(2.5, -2.5, 12.5, 15.0);
    s.circle(10.5, 5.0, 1.75);
    s.outline(&[(9.6, 5.0), (10.1, -0.5), (10.9, -0.5), (11.4, 5.0)]);
    s.circle(10.5, 5.0, 0.9);
    s.plus(4.75, 5.0, 0.9);
    s.minus(4.75, 10.0, 0.9);
    // A pulse.
    s.line(&[(3.6, 0.6), (4.2, 0.6), (4.2, -0.8), (5.3, -0.8), (5.3, 0.6), (5.9, 0.6)]);
    Servo { signal: at, plus: s.p(0.0, 5.0), minus: s.p(0.0, 10.0) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    servo(scene, at + vector(2.5, -5.0));
}
