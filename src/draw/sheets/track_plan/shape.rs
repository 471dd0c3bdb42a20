//! Turnouts as they are drawn on the plan: a diagram, not a template.

use super::course::Facing;
use crate::draw::place::offset::{crossing, left_of, offset};
use crate::draw::sheets::{branches, is_level, is_toe_end};
use crate::geom::{Point, Vector, point};
use crate::parse::{Port, TurnoutKind};
use crate::track::Side;

/// Measures of the diagram in millimetres of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// From row to row.
    pub pitch: f64,
    /// Rise of a diverging road per millimetre along the sheet.
    pub slope: f64,
    /// Length along the sheet of a turnout.
    pub length: f64,
    /// White kept between words along a road.
    pub room: f64,
}

/// From rail to rail.
pub const GAUGE: f64 = 4.0;
/// From the toe to the tips of the blades.
pub const TIPS: f64 = 5.0;
/// How far an open blade stands off its stock rail, at its tip.
const OPEN: f64 = 1.1;

/// One turnout on the sheet.
#[derive(Clone, Debug)]
pub struct Shape {
    pub toe: Point,
    pub facing: Facing,
    /// Centre lines from the toe to the heel of the left and the right branch.
    pub left: Vec<Point>,
    pub right: Vec<Point>,
    /// Centre lines from the toe to every heel.
    heels: Vec<(Port, Vec<Point>)>,
    /// Stock rails, left and right, looking from the toe.
    pub stock: [Vec<Point>; 2],
    /// From the tip of the blade to the frog: right rail of the left branch, left rail of the right
    /// branch. The open one's tip stands off.
    pub closure: [Vec<Point>; 2],
    /// From the frog to the heel, in the same order.
    pub vee: [Vec<Point>; 2],
    pub frog: Point,
}

impl Style {
    /// Rise of a turnout's branch per millimetre. A wye shares it between its two roads.
    fn branch_slope(&self, kind: TurnoutKind, port: Port) -> f64 {
        let sign = if port == branches(kind)[0] { 1.0 } else { -1.0 };
        match kind {
            TurnoutKind::Wye => sign * self.slope * 0.6,
            _ if is_level(port) || is_toe_end(port) => 0.0,
            _ => sign * self.slope,
        }
    }

    /// How far from its turnout's axis a road has come at its heel; never negative.
    pub fn heel_rise(&self, kind: TurnoutKind, port: Port) -> f64 {
        self.branch_slope(kind, port).abs() * (self.length - TIPS)
    }

    /// Length along the sheet of the slope beyond the heel, to a row `rows` further on.
    pub fn ramp(&self, kind: TurnoutKind, port: Port, rows: usize) -> f64 {
        (self.pitch * rows as f64 - self.heel_rise(kind, port)) / self.slope
    }
}

impl Shape {
    /// A turnout with its toe at a place; `normal` is the road that is set.
    pub fn new(style: &Style, kind: TurnoutKind, normal: Port, toe: Point, facing: Facing) -> Shape {
        let [left_heel, right_heel] = branches(kind);
        let sheet = |u: f64, v: f64| {
            let s = facing.sign();
            point(toe.x + s * u, toe.y - s * v)
        };
        let branch = |port: Port| {
            let v = style.branch_slope(kind, port) * (style.length - TIPS);
            vec![toe, sheet(TIPS, 0.0), sheet(style.length, v)]
        };
        let (left, right) = (branch(left_heel), branch(right_heel));
        let heels = kind.ports().iter().filter(|p| !is_toe_end(**p)).map(|p| (*p, branch(*p))).collect();
        let half = GAUGE / 2.0;
        let stock = [offset(&left, half), offset(&right, -half)];
        // Right rail of the left branch and left rail of the right one: they cross at the frog.
        let inner = [offset(&left, -half), offset(&right, half)];
        let end = |line: &[Point]| (line[1], line[2]);
        let frog = crossing(end(&inner[0]), end(&inner[1])).unwrap_or(inner[0][2]);
        let closed = if normal == left_heel { 0 } else { 1 };
        let closure = [0, 1].map(|i| {
            let tip = inner[i][1];
            if i == closed {
                return vec![tip, frog];
            }
            // Away from its stock rail, towards the middle of the track.
            let away =
                left_of((sheet(1.0, 0.0) - sheet(0.0, 0.0)).unit()) * if i == 0 { OPEN } else { -OPEN };
            vec![tip + away, tip.lerp(frog, 0.5), frog]
        });
        let vee = [0, 1].map(|i| vec![frog, inner[i][2]]);
        Shape { toe, facing, left, right, heels, stock, closure, vee, frog }
    }

    /// The end of the centre line at a port, and the direction in which a track leaves there.
    pub fn port(&self, port: Port) -> (Point, Vector) {
        match self.heels.iter().find(|(p, _)| *p == port) {
            Some((_, line)) => (line[2], (line[2] - line[1]).unit()),
            None => (self.toe, (self.left[0] - self.left[1]).unit()),
        }
    }

    /// The end of a rail at a port, looking outward.
    pub fn rail_end(&self, port: Port, side: Side) -> (Point, Vector) {
        let (at, way) = self.port(port);
        let half = if side == Side::Left { GAUGE / 2.0 } else { -GAUGE / 2.0 };
        (at + left_of(way) * half, way)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STYLE: Style = Style { pitch: 15.0, slope: 0.5, length: 20.0, room: 3.0 };

    #[test]
    fn a_left_hand_turnout_leaves_to_the_left_whichever_way_it_faces() {
        let heel = |kind, facing| {
            Shape::new(&STYLE, kind, Port::Straight, point(100.0, 50.0), facing).port(Port::Diverging).0
        };
        // y points down: to the left of a turnout facing right is up.
        assert!(heel(TurnoutKind::Left, Facing::East).is_at(point(120.0, 42.5)));
        assert!(heel(TurnoutKind::Left, Facing::West).is_at(point(80.0, 57.5)));
        assert!(heel(TurnoutKind::Right, Facing::East).is_at(point(120.0, 57.5)));
        assert!(heel(TurnoutKind::Right, Facing::West).is_at(point(80.0, 42.5)));
    }

    #[test]
    fn the_frog_is_where_the_inner_rails_cross() {
        let s = Shape::new(&STYLE, TurnoutKind::Left, Port::Straight, point(0.0, 0.0), Facing::East);
        // (g/2)(1 + √(1 + m²))/m beyond the tips, on the left rail of the straight road.
        let x = TIPS + 2.0 * (1.0 + 1.25f64.sqrt()) / 0.5;
        assert!(s.frog.is_at(point(x, -2.0)), "{:?} {x}", s.frog);
        // Set straight: the left blade lies on its stock rail, the right one is open.
        assert_eq!((s.closure[1].len(), s.closure[0].len()), (2, 3));
    }
}
