//! What is screwed to a board beside its drives: strips, relays, controllers, capacitors, position
//! switches. The file places none of them; each takes the nearest free room to where its wires end.

use super::DriveRow;
use super::lanes::Ground;
use crate::Design;
use crate::circuit::{Part, PartKind, Place};
use crate::geom::{Point, Rect, point};
use crate::hardware::Strip;
use crate::parse::BoardId;

/// A named box, in millimetres of board, seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitting {
    pub name: String,
    pub area: Rect,
}

/// Length of a terminal on its strip, and a strip's width (common practice, no source).
const TERMINAL: f64 = 6.0;
const STRIP: f64 = 18.0;
/// As far from the drives' strip as the wires to relays and controllers are reckoned.
const REACH: f64 = 300.0;

pub fn strip<'a>(design: &'a Design, board: BoardId, letters: &str) -> Option<&'a Strip> {
    let strips = &design.wiring.strips;
    strips.iter().find(|s| s.designation.starts_with(letters) && s.place == Place::Board(board))
}

/// Where a strip stands, if the board has it: "XB" or "XT".
pub fn strip_area(design: &Design, board: BoardId, letters: &str) -> Option<Rect> {
    let count = strip(design, board, letters)?.terminals.len();
    let (w, depth) = design.document[board].size?;
    let (w, depth) = (w.mm(), depth.mm());
    let place = design.runs.strips[board.0];
    let (x, y) = if letters == "XB" { place.drives } else { place.track };
    let half = (TERMINAL * count as f64 / 2.0).max(15.0).min(w * 0.19);
    let (low, high) = ((y.mm() - STRIP / 2.0).max(2.0), (y.mm() + STRIP / 2.0).min(depth - 2.0));
    Some(Rect::around(point(x.mm() - half, low), point(x.mm() + half, high)))
}

/// Outline on the board in millimetres (common practice, no source).
fn size(part: &Part) -> Option<(f64, f64)> {
    match part.kind {
        PartKind::ServoController { .. } | PartKind::Decoder { .. } | PartKind::ReverserModule { .. } => {
            Some((60.0, 40.0))
        }
        // Three pins for each contact.
        PartKind::Relay { .. } => match part.pins.iter().filter(|p| p.is_contact()).count() / 3 {
            0..=2 => Some((30.0, 22.0)),
            _ => Some((40.0, 30.0)),
        },
        PartKind::Capacitor | PartKind::Rectifier | PartKind::Fuse => Some((30.0, 18.0)),
        PartKind::Microswitch { .. } => Some((20.0, 10.0)),
        _ => None,
    }
}

/// Places all fittings of a board but its strips, and adds them to what lanes keep clear of.
pub fn fittings(design: &Design, board: BoardId, drives: &[DriveRow], ground: &mut Ground) -> Vec<Fitting> {
    let hub = strip_area(design, board, "XB").or_else(|| strip_area(design, board, "XT"));
    let hub = hub.map_or(point(ground.size.0 * 0.3, 40.0), |r| r.centre());
    let mut found = Vec::new();
    for (_, part) in design.circuit.parts().filter(|(_, p)| p.place == Place::Board(board)) {
        let Some(size) = size(part) else { continue };
        let (near, reach) = match part.kind {
            PartKind::Microswitch { bar } => {
                let Some(row) = drives.iter().find(|d| d.bar == bar) else { continue };
                (row.at, 60.0)
            }
            _ => (hub, REACH),
        };
        let Some(area) = free(ground, near, size, reach) else { continue };
        ground.boxes.push(area);
        found.push(Fitting { name: part.designation.clone(), area });
    }
    found
}

/// The nearest free room to a point: off rails and framing if possible, never on a hole or a box.
fn free(ground: &Ground, near: Point, (w, h): (f64, f64), reach: f64) -> Option<Rect> {
    let steps = (reach / 5.0) as i32;
    let board = Rect::new(0.0, 0.0, ground.size.0, ground.size.1).inflate(-4.0);
    let wide = 0.9 / ground.scale;
    let clear = |r: &Rect, picky: bool| {
        let grown = r.inflate(wide);
        board.holds(r)
            // The looms leave the strip here.
            && (r.min.x > near.x + 5.0 || r.max.x < near.x - 5.0 || reach < REACH)
            && !ground.boxes.iter().any(|b| b.overlaps(&grown))
            && !ground.holes.iter().any(|p| grown.inflate(wide).contains(*p))
            && !(picky
                && (ground.rails.iter().any(|(a, b)| grown.crosses_segment(*a, *b))
                    || ground.members.iter().any(|m| m.overlaps(r))))
    };
    [true, false].into_iter().find_map(|picky| {
        // Squares of spots outward, until no nearer one can follow. Of equally near ones the first
        // from the left counts, then the first from the front.
        let mut best: Option<((f64, i32, i32), Rect)> = None;
        for ring in 0..=steps {
            if best.is_some_and(|((nearest, ..), _)| f64::from(ring) * 5.0 > nearest + 1e-6) {
                break;
            }
            for i in -ring..=ring {
                let step = if i.abs() == ring { 1 } else { (2 * ring).max(1) };
                for k in (-ring..=ring).step_by(step as usize) {
                    let (x, y) = (f64::from(i) * 5.0, f64::from(k) * 5.0);
                    let spot = Rect::new(near.x + x - w / 2.0, near.y + y - h / 2.0, w, h);
                    let rank = (spot.centre().distance(near), i, k);
                    if best.is_none_or(|(least, _)| rank < least) && clear(&spot, picky) {
                        best = Some((rank, spot));
                    }
                }
            }
        }
        best.map(|(_, spot)| spot)
    })
}
