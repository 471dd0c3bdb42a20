//! Insulation colours as printing inks.

use super::scene::{Dash, Ink, Stroke};
use crate::parse::Colour;

/// The ink of a wire, and the dark edge that a light colour needs to show on paper.
pub fn ink(colour: Colour) -> (Ink, Option<Ink>) {
    let edge = Some(Ink(70, 70, 70));
    match colour {
        Colour::Black => (Ink::BLACK, None),
        Colour::Brown => (Ink(122, 72, 30), None),
        Colour::Red => (Ink(200, 16, 46), None),
        Colour::Orange => (Ink(226, 106, 0), None),
        Colour::Yellow => (Ink(250, 214, 20), edge),
        Colour::Green => (Ink(20, 134, 62), None),
        Colour::Blue => (Ink(20, 82, 180), None),
        Colour::Violet => (Ink(116, 40, 140), None),
        Colour::Grey => (Ink(126, 130, 134), None),
        Colour::White => (Ink::WHITE, edge),
        Colour::Pink => (Ink(226, 120, 160), None),
        Colour::Turquoise => (Ink(0, 150, 160), None),
    }
}

/// A conductor of this colour.
pub fn conductor(colour: Colour, width: f64) -> Stroke {
    let (ink, edge) = ink(colour);
    // A light core must be wide enough to be seen between its edges.
    let width = if edge.is_some() { width.max(0.5) } else { width };
    Stroke { width, ink, dash: Dash::Solid, edge }
}

/// For dots and letters: light colours would not show.
pub fn solid_ink(colour: Colour) -> Ink {
    let (ink, edge) = ink(colour);
    edge.unwrap_or(ink)
}

/// A rail in its feed. Feed B is drawn hollow, so that the two are told apart without colour too;
/// a light colour is hollow already.
pub fn rail(colour: Colour, hollow: bool, width: f64) -> Stroke {
    let (ink, edge) = ink(colour);
    match (edge, hollow) {
        (None, true) => Stroke { width: width * 0.6, ink: Ink::WHITE, dash: Dash::Solid, edge: Some(ink) },
        _ => conductor(colour, width),
    }
}
