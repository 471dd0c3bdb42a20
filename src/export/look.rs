//! What strokes look like where the scene leaves it open: ends, dashes, edges.

use crate::draw::scene::{Dash, Ink, Role, Stroke};

/// A stroke ready to draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub width: f64,
    pub ink: Ink,
    /// Lengths of dash, gap, dash … in millimetres; empty for a solid line.
    pub dash: &'static [f64],
    pub round_ends: bool,
}

/// The lines to draw one over the other, the edge first.
pub fn lines(stroke: &Stroke, role: &Role) -> impl Iterator<Item = Line> {
    let dash = dashes(stroke.dash);
    // Round ends close the corners where two strokes meet. Rails and rules keep square ends: their
    // length is meant exactly. Under an edge a round end would cut into the line it joins.
    let round_ends =
        dash.is_empty() && stroke.edge.is_none() && matches!(role, Role::Symbol | Role::Wire { .. });
    let edge = stroke.edge.map(|ink| Line { width: 2.0 * stroke.half_width(), ink, dash, round_ends });
    edge.into_iter().chain([Line { width: stroke.width, ink: stroke.ink, dash, round_ends }])
}

/// ISO 128: dashed (type 02) and long-dashed dotted (type 04), short enough for small outlines.
fn dashes(dash: Dash) -> &'static [f64] {
    match dash {
        Dash::Solid => &[],
        Dash::Dashed => &[1.0, 0.75],
        Dash::ChainDotted => &[3.0, 0.75, 0.5, 0.75],
    }
}
