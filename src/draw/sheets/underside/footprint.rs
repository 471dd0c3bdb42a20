//! Turnouts as they lie on a board: millimetres from its front left corner, seen from above, x to
//! the right and y to the back.

use crate::draw::sheets::{branches, is_toe_end};
use crate::geom::{Point, Vector, point};
use crate::parse::{Port, TurnoutKind, TurnoutPlace};
use crate::track::Side;
use crate::units::Length;

/// A turnout as it lies on its board.
///
/// The file gives toe, heading and hand; the rest is a standard turnout (common practice, no
/// source): ten gauges long, its roads parting by 12 degrees over an arc, frog 0.82 of the length
/// from the toe, tie bar at a tenth of it.
#[derive(Clone, Debug)]
pub struct Footprint {
    pub toe: Point,
    /// From the toe to the frog.
    pub heading: Vector,
    /// Centre lines of the left and the right branch.
    pub roads: [Vec<Point>; 2],
    /// The rails, stock rails first.
    pub rails: [Vec<Point>; 4],
    /// Where the drive's pin comes through.
    pub tie_bar: Point,
    pub frog: Point,
    pub gauge: f64,
}

const LENGTH: f64 = 10.0;
const ANGLE: f64 = 12.0;
const TIE_BAR: f64 = 0.1;
const ARC_END: f64 = 0.6;

/// Sideways way of a road that parts at `slope`, `t` of the turnout's length from the toe, in
/// lengths: an arc (drawn as a parabola) from the tie bar on, then straight.
fn sideways(slope: f64, t: f64) -> f64 {
    let arc = |t: f64| slope * (t - TIE_BAR).max(0.0).powi(2) / (2.0 * (ARC_END - TIE_BAR));
    if t <= ARC_END { arc(t) } else { arc(ARC_END) + slope * (t - ARC_END) }
}

impl Footprint {
    pub fn of(kind: TurnoutKind, place: TurnoutPlace, gauge: Length) -> Footprint {
        let g = gauge.mm();
        let length = LENGTH * g;
        let origin = point(place.origin.0.mm(), place.origin.1.mm());
        let heading = Vector::from_angle(place.heading.degrees().to_radians());
        // Without a toe, its middle is given.
        let toe = if kind.has_toe() { origin } else { origin - heading * (length / 2.0) };
        // Left of the heading, y to the back.
        let left = heading.perpendicular();
        let at = |u: f64, v: f64| toe + heading * u + left * v;
        let full = ANGLE.to_radians().tan();
        let [l, r] = slopes(kind).map(|share| share * full);
        let steps = 20;
        let road = |slope: f64, beside: f64| -> Vec<Point> {
            (0..=steps)
                .map(|i| f64::from(i) / f64::from(steps))
                .map(|t| at(t * length, sideways(slope, t) * length + beside))
                .collect()
        };
        let half = g / 2.0;
        // Where the right rail of the left branch meets the left rail of the right one.
        let meets = (0..=1000)
            .map(|i| f64::from(i) / 1000.0)
            .find(|t| (sideways(l, *t) - sideways(r, *t)) * length >= g)
            .unwrap_or(1.0);
        Footprint {
            toe,
            heading,
            roads: [road(l, 0.0), road(r, 0.0)],
            rails: [road(l, half), road(r, -half), road(l, -half), road(r, half)],
            tie_bar: toe + heading * g,
            frog: at(meets * length, sideways(l, meets) * length - half),
            gauge: g,
        }
    }

    /// A port and the direction in which a track leaves it.
    pub fn port(&self, kind: TurnoutKind, port: Port) -> (Point, Vector) {
        if is_toe_end(port) {
            return (self.toe, -self.heading);
        }
        let road = &self.roads[usize::from(port != branches(kind)[0])];
        let last = road.len() - 1;
        (road[last], (road[last] - road[last - 1]).unit())
    }

    /// A dropper's place at a stock rail, just inside the tie bar.
    pub fn stock(&self, side: Side) -> Point {
        let left = self.heading.perpendicular();
        let sign = if side == Side::Left { 0.5 } else { -0.5 };
        self.toe + self.heading * (0.25 * LENGTH * self.gauge) + left * (sign * self.gauge)
    }
}

/// How the angle is shared by the left and the right branch.
fn slopes(kind: TurnoutKind) -> [f64; 2] {
    match kind {
        TurnoutKind::Right | TurnoutKind::CurvedRight => [0.0, -1.0],
        TurnoutKind::Wye => [0.5, -0.5],
        _ => [1.0, 0.0],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Angle;

    fn place(heading: f64) -> TurnoutPlace {
        TurnoutPlace {
            origin: (Length::from_mm(300.0), Length::from_mm(200.0)),
            heading: Angle::new(heading),
        }
    }

    #[test]
    fn a_left_hand_turnout_parts_to_the_left_of_its_heading() {
        let gauge = Length::from_mm(16.5);
        for (heading, towards) in [(0.0, (1.0, 1.0)), (180.0, (-1.0, -1.0)), (90.0, (-1.0, 1.0))] {
            let f = Footprint::of(TurnoutKind::Left, place(heading), gauge);
            let (heel, _) = f.port(TurnoutKind::Left, Port::Diverging);
            assert!((heel.x - 300.0) * towards.0 > 1.0 && (heel.y - 200.0) * towards.1 > 1.0, "{heel:?}");
        }
    }

    #[test]
    fn the_tie_bar_lies_a_gauge_from_the_toe_and_the_frog_where_the_rails_are_a_gauge_apart() {
        let f = Footprint::of(TurnoutKind::Left, place(0.0), Length::from_mm(16.5));
        assert!(f.tie_bar.is_at(point(316.5, 200.0)));
        // On the left rail of the straight road, about 0.82 of 165 mm from the toe.
        assert!((f.frog.y - 208.25).abs() < 0.05 && (f.frog.x - 300.0 - 135.0).abs() < 2.0, "{:?}", f.frog);
    }
}
