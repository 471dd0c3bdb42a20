//! Plug-in supply: the only part that sees the mains, a closed box. Mains left, output right.

use super::Ends;
use super::sketch::Sketch;
use crate::draw::scene::Scene;
use crate::geom::{Point, vector};

/// What the supply gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Output {
    Direct,
    Alternating,
}

/// Draws the box to the left of its pins: `at` is the upper one (plus), the other lies 7.5 mm below.
/// The box reaches 17.5 mm to the left.
pub fn plug_in_supply(scene: &mut Scene, at: Point, output: Output) -> Ends {
    let mut s = Sketch::new(scene, at);
    s.line(&[(-2.5, 0.0), (0.0, 0.0)]);
    s.line(&[(-2.5, 7.5), (0.0, 7.5)]);
    s.rect(-15.0, -2.5, 12.5, 12.5);
    s.line(&[(-15.0, 10.0), (-2.5, -2.5)]);
    // Two pins of a mains plug.
    for y in [2.5, 5.0] {
        s.solid(&[(-17.5, y - 0.4), (-15.0, y - 0.4), (-15.0, y + 0.4), (-17.5, y + 0.4)]);
    }
    s.alternating(-12.0, 0.25, 1.5);
    match output {
        Output::Direct => {
            s.direct(-5.75, 7.0, 1.5);
            s.plus(-1.25, -1.25, 0.6);
            s.minus(-1.25, 6.25, 0.6);
        }
        Output::Alternating => s.alternating(-5.75, 7.0, 1.5),
    }
    Ends { a: at, b: s.p(0.0, 7.5) }
}

pub(super) fn example(scene: &mut Scene, at: Point) {
    plug_in_supply(scene, at + vector(18.75, -3.75), Output::Direct);
}
