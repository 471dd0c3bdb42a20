//! The dot that says: these wires are joined. Without it they only cross.

use crate::draw::line::WIRE;
use crate::draw::scene::{Ink, Role, Scene, Stroke};
use crate::geom::{Point, vector};

/// Radius of the dot in millimetres: twice the width of a bus across.
pub const RADIUS: f64 = 0.7;

/// Draws a dot in the ink of its wires.
pub fn bus_dot(scene: &mut Scene, at: Point, ink: Ink, net: impl Into<String>) {
    scene.circle(at, RADIUS, None, Some(ink), Role::Junction { net: net.into() });
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    let pen = Stroke::solid(WIRE, Ink::BLACK);
    scene.line(at + vector(3.75, 0.0), at + vector(16.25, 0.0), pen, Role::Decoration);
    scene.line(at + vector(10.0, 0.0), at + vector(10.0, 5.0), pen, Role::Decoration);
    bus_dot(scene, at + vector(10.0, 0.0), Ink::BLACK, "example");
}
