//! Where a drive stands under its turnout, and whether the board's framing is in its way.

use crate::geom::{Point, Rect, Vector, point, vector};
use crate::parse::standard::{LENGTH, SLIP_BLADES, TIE_BAR};
use crate::parse::{BarId, BoardId, Document};

/// A drive's outline in millimetres: along the track and across it (common practice, no source).
pub const DRIVE_SIZE: (f64, f64) = (40.0, 25.0);

/// Between the two tie bars of a three-way, in millimetres: their drives must stand clear of each
/// other (common practice, no source).
const BAR_SPACING: f64 = 45.0;

/// Where a drive's pin comes through, in millimetres from the board's front left corner, y to the
/// back: one gauge from the toe (common practice, no source). `None`: the file gives no place.
pub fn tie_bar(document: &Document, bar: BarId) -> Option<Point> {
    let turnout = document.turnout_of(bar);
    let place = turnout.place?;
    let gauge = document.layout.gauge.mm();
    let index = document[bar].index as f64;
    let along = if turnout.kind.has_toe() {
        gauge * (LENGTH * TIE_BAR) + BAR_SPACING * index
    } else {
        gauge.max(BAR_SPACING / 2.0 / SLIP_BLADES) * SLIP_BLADES * (2.0 * index - 1.0)
    };
    let origin = point(place.origin.0.mm(), place.origin.1.mm());
    Some(origin + Vector::from_angle(place.heading.degrees().to_radians()) * along)
}

/// The drive's outline on its board, in millimetres. Drives stand square to the board.
pub fn drive_outline(document: &Document, bar: BarId) -> Option<Rect> {
    let place = document.turnout_of(bar).place?;
    let heading = Vector::from_angle(place.heading.degrees().to_radians());
    let level = heading.x.abs() >= heading.y.abs();
    let (x, y) = if level { DRIVE_SIZE } else { (DRIVE_SIZE.1, DRIVE_SIZE.0) };
    let (pin, half) = (tie_bar(document, bar)?, vector(x / 2.0, y / 2.0));
    Some(Rect::around(pin - half, pin + half))
}

/// The framing member (its place in the board's list) that a drive under this tie bar would foul.
/// `None` also where the file gives no place.
pub fn fouled_member(document: &Document, bar: BarId) -> Option<usize> {
    let outline = drive_outline(document, bar)?;
    let board = document.turnout_of(bar).board;
    members(document, board).iter().position(|m| overlap(&corners(&outline), m))
}

/// Corners of each framing member of a board, in millimetres, in the order of the file.
pub fn members(document: &Document, board: BoardId) -> Vec<[Point; 4]> {
    let corners = document[board].members.iter().map(|m| {
        let (from, to) = (point(m.from.0.mm(), m.from.1.mm()), point(m.to.0.mm(), m.to.1.mm()));
        let across = (to - from).unit().perpendicular() * (m.width.mm() / 2.0);
        [from + across, to + across, to - across, from - across]
    });
    corners.collect()
}

fn corners(r: &Rect) -> [Point; 4] {
    [r.min, point(r.max.x, r.min.y), r.max, point(r.min.x, r.max.y)]
}

/// Whether two rectangles share more than an edge, whichever way they are turned: no side of
/// either parts them.
pub fn overlap(a: &[Point; 4], b: &[Point; 4]) -> bool {
    let sides = |r: &[Point; 4]| [r[1] - r[0], r[3] - r[0]];
    let extent = |r: &[Point; 4], axis: Vector| {
        let along = r.map(|p| vector(p.x, p.y).dot(axis));
        (along.into_iter().fold(f64::INFINITY, f64::min), along.into_iter().fold(-f64::INFINITY, f64::max))
    };
    sides(a).into_iter().chain(sides(b)).all(|axis| {
        let axis = axis.unit();
        let ((a0, a1), (b0, b1)) = (extent(a, axis), extent(b, axis));
        a1.min(b1) - a0.max(b0) > 1e-6
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slanting_member_is_fouled_only_where_it_runs() {
        let square = corners(&Rect::new(0.0, 0.0, 10.0, 10.0));
        let diamond = |x: f64| [point(x, 0.0), point(x + 10.0, 10.0), point(x, 20.0), point(x - 10.0, 10.0)];
        // The boxes round both overlap as long as x < 20; the shapes only while x < 20 - 10/2 ...
        assert!(overlap(&square, &diamond(9.0)));
        assert!(!overlap(&square, &diamond(20.5)));
        // ... the diamond's left corner (10.5, 10) lies beyond the square's right side.
        assert!(overlap(&square, &diamond(19.5)));
        assert!(!overlap(&square, &[10.0, 20.0, 20.0, 10.0].map(|x| point(x, x / 2.0))));
    }
}
