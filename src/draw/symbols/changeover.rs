//! Changeover contact, break before make: a blade that lies on one of two contacts, or between them
//! if it has a centre position. Drawn in the normal position of its turnout unless told otherwise.

use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// Where the blade is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Blade {
    Normal,
    Reverse,
    /// Touches neither: the rest of a switch with centre off.
    Centre,
}

/// What moves the blade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Actuator {
    /// A drive; its linkage is drawn elsewhere or not at all.
    None,
    /// A hand at a lever.
    Manual,
}

/// How to draw the contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changeover {
    /// Distance of the outer contacts from the common one, across: 2.5 or 5 mm keep the module.
    pub half: f64,
    /// The normal contact lies above the reverse one.
    pub normal_above: bool,
    pub blade: Blade,
    pub actuator: Actuator,
    /// The blade springs back from the normal, the reverse contact.
    pub sprung: [bool; 2],
}

impl Default for Changeover {
    fn default() -> Changeover {
        Changeover {
            half: 2.5,
            normal_above: true,
            blade: Blade::Normal,
            actuator: Actuator::None,
            sprung: [false; 2],
        }
    }
}

/// The three pins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pins {
    pub common: Point,
    pub normal: Point,
    pub reverse: Point,
}

/// Distance from the common pin to the other two, along.
const LENGTH: f64 = 12.5;
/// Where the blade turns, and where it meets the contacts.
const HINGE: f64 = 3.0;
const TIP: f64 = 9.5;

/// Draws the contact with its common pin at `at`. A manual actuator rises 5 mm above the upper contact.
pub fn changeover(scene: &mut Scene, at: Point, how: &Changeover) -> Pins {
    let mut s = Sketch::new(scene, at);
    let sides = if how.normal_above { [-1.0, 1.0] } else { [1.0, -1.0] };
    // The gap between the contacts, either side of the middle: the blade at rest in the centre is
    // well clear of both.
    let reach = how.half * 0.5;
    for (side, sprung) in sides.into_iter().zip(how.sprung) {
        let (y, tip) = (side * how.half, side * reach);
        if sprung {
            // Returns by itself: a triangle that points back at the blade.
            let base = side * (reach + 1.25);
            s.line(&[(LENGTH, y), (TIP, y), (TIP, base)]);
            s.outline(&[(TIP - 0.7, base), (TIP + 0.7, base), (TIP, tip)]);
        } else {
            s.line(&[(LENGTH, y), (TIP, y), (TIP, tip)]);
        }
    }
    let tip = match how.blade {
        Blade::Normal => sides[0] * reach,
        Blade::Reverse => sides[1] * reach,
        Blade::Centre => 0.0,
    };
    // The blade reaches a little beyond the contact it lies on.
    let slope = tip / (TIP - HINGE);
    let (beyond, mid) = (TIP + 0.75, 0.5 * (HINGE + TIP));
    s.line(&[(0.0, 0.0), (HINGE - 0.5, 0.0)]);
    s.line(&[(HINGE, 0.0), (beyond, slope * (beyond - HINGE))]);
    s.circle(HINGE, 0.0, 0.5);
    if how.actuator == Actuator::Manual {
        let top = -how.half - 3.75;
        s.linkage(&[(mid, slope * (mid - HINGE)), (mid, top)]);
        s.line(&[(mid - 1.75, top), (mid + 1.75, top)]);
    }
    Pins { common: at, normal: s.p(LENGTH, sides[0] * how.half), reverse: s.p(LENGTH, sides[1] * how.half) }
}

fn shown(scene: &mut Scene, at: Point, down: f64, how: Changeover) {
    changeover(scene, at + vector(3.75, down), &how);
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    shown(scene, at, 0.0, Changeover::default());
}

pub(super) fn example_switch(scene: &mut Scene, at: Point) {
    shown(scene, at, 1.25, Changeover { actuator: Actuator::Manual, ..Changeover::default() });
}

pub(super) fn example_centre_off(scene: &mut Scene, at: Point) {
    let (actuator, blade) = (Actuator::Manual, Blade::Centre);
    shown(scene, at, 1.25, Changeover { actuator, blade, ..Changeover::default() });
}

pub(super) fn example_sprung(scene: &mut Scene, at: Point) {
    let (actuator, blade) = (Actuator::Manual, Blade::Centre);
    shown(scene, at, 1.25, Changeover { actuator, blade, sprung: [true; 2], ..Changeover::default() });
}
