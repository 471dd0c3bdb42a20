//! Terminal: a small open circle. It is a pin itself, so it carries its name and net.

use super::sketch::PEN;
use crate::draw::line::WIRE;
use crate::draw::scene::{Ink, Role, Scene, Stroke};
use crate::geom::{Point, vector};

/// Radius of the circle in millimetres.
pub const RADIUS: f64 = 1.75;

/// Draws a terminal; wires of its net end at its middle and are hidden under it.
pub fn terminal(scene: &mut Scene, at: Point, name: impl Into<String>, net: impl Into<String>) {
    let role = Role::Pin { name: name.into(), net: net.into() };
    scene.circle(at, RADIUS, Some(PEN), Some(Ink::WHITE), role);
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    let pen = Stroke::solid(WIRE, Ink::BLACK);
    for x in [3.75, 16.25] {
        scene.line(at + vector(x, 0.0), at + vector(10.0, 0.0), pen, Role::Decoration);
    }
    terminal(scene, at + vector(10.0, 0.0), "example", "example");
}
