//! Turnouts as they lie on a board: millimetres from its front left corner, seen from above, x to
//! the right and y to the back.

use crate::geom::{Point, Vector, point};
use crate::parse::standard::{ANGLE, ARC_END, LENGTH, SLIP_BLADES, TIE_BAR};
use crate::parse::{Port, Turnout, TurnoutKind};
use crate::track::{Formation, Side};
use crate::units::Length;

/// A turnout, diamond or slip as it lies on its board.
///
/// The file gives toe or middle, heading and kind; the rest is a standard one (common practice, no
/// source). With a toe: ten gauges long, its roads parting by 12 degrees over an arc, tie bar at a
/// tenth of the length. Without: two lines that cross at 12 degrees, or a diamond at 24, as in a
/// scissors crossover; the heading halves their angle. Frogs lie where the rails cross.
#[derive(Clone, Debug)]
pub struct Footprint {
    /// The toe, or the middle of what has none.
    pub origin: Point,
    /// From the toe to the frog; from the end of a and c to the other.
    pub heading: Vector,
    /// Centre lines of its roads, in the order of [`Formation::roads`].
    pub roads: Vec<Vec<Point>>,
    /// Left and right rail of each road.
    rails: Vec<[Vec<Point>; 2]>,
    /// Where the rails of each crossing meet, in the order of [`Formation::crossings`].
    pub frogs: Vec<Point>,
    /// Ends, each with the direction in which a track leaves it.
    ports: Vec<(Port, Point, Vector)>,
    /// Halfway along it, where its name may stand.
    pub middle: Point,
    pub gauge: f64,
    /// Roads whose rails are drawn from end to end, and those of which a middle part is.
    slips: Vec<bool>,
}

/// Between the angles of the two roads of a curved turnout and of its toe: the outer one's share.
const OUTER: f64 = 0.6;
/// From the acute frogs of a diamond or slip to its ends, in gauges.
const BEYOND_FROG: f64 = 0.7;
/// Points on a curve.
const STEPS: i32 = 20;

/// Sideways way of a road that parts at `slope`, `t` of the turnout's length from the toe, in
/// lengths: an arc (drawn as a parabola) from the tie bar on, then straight.
fn sideways(slope: f64, t: f64) -> f64 {
    let arc = |t: f64| slope * (t - TIE_BAR).max(0.0).powi(2) / (2.0 * (ARC_END - TIE_BAR));
    if t <= ARC_END { arc(t) } else { arc(ARC_END) + slope * (t - ARC_END) }
}

/// Angles at which two lines may cross without a toe, in degrees.
pub fn angles(kind: TurnoutKind) -> &'static [f64] {
    if kind == TurnoutKind::Diamond { &[ANGLE, 2.0 * ANGLE] } else { &[ANGLE] }
}

impl Footprint {
    /// `angle` is one of [`angles`]. `None`: the file gives no place.
    pub fn of(turnout: &Turnout, gauge: Length, angle: f64) -> Option<Footprint> {
        let place = turnout.place?;
        let (kind, g) = (*turnout.kind, gauge.mm());
        let formation = Formation::of(turnout);
        let origin = point(place.origin.0.mm(), place.origin.1.mm());
        let heading = Vector::from_angle(place.heading.degrees().to_radians());
        // Left of the heading, y to the back.
        let left = heading.perpendicular();
        let at = |(u, v): (f64, f64)| origin + heading * u + left * v;
        let mut roads = Vec::new();
        let mut rails = Vec::new();
        let mut slips = Vec::new();
        for road in formation.roads() {
            let line = if kind.has_toe() {
                branch(slope(kind, road.to), g)
            } else {
                across(road.from, road.to, (angle / 2.0).to_radians(), g)
            };
            let beside = |by: f64| line.iter().map(|(u, v)| at((*u, v + by))).collect();
            rails.push([beside(g / 2.0), beside(-g / 2.0)]);
            roads.push(line.iter().map(|p| at(*p)).collect::<Vec<Point>>());
            slips.push(!kind.has_toe() && (road.left.is_empty() || road.right.is_empty()));
        }
        let frogs = (0..formation.crossings().len()).map(|c| {
            let through = formation.through(c);
            let rail = |k: usize| through.get(k).map(|(road, side)| &rails[*road][*side as usize]);
            let meeting = rail(0).zip(rail(1)).and_then(|(a, b): (&Vec<Point>, &Vec<Point>)| meeting(a, b));
            meeting.unwrap_or(origin)
        });
        let frogs = frogs.collect();
        let ports = kind.ports().iter().filter_map(|port| {
            let i = formation.roads().iter().position(|r| r.from == *port || r.to == *port)?;
            let line: &Vec<Point> = &roads[i];
            let last = line.len() - 1;
            let (end, inner) = if formation.roads()[i].from == *port {
                (line[0], line[1])
            } else {
                (line[last], line[last - 1])
            };
            Some((*port, end, (end - inner).unit()))
        });
        let ports = ports.collect();
        let middle = if kind.has_toe() { at((LENGTH * g * 0.5, 0.0)) } else { origin };
        Some(Footprint { origin, heading, roads, rails, frogs, ports, middle, gauge: g, slips })
    }

    /// A port and the direction in which a track leaves it.
    pub fn port(&self, port: Port) -> Option<(Point, Vector)> {
        self.ports.iter().find(|(p, ..)| *p == port).map(|(_, at, way)| (*at, *way))
    }

    /// Both rails of every road. Of a slip road only what the roads across do not have already.
    pub fn rails(&self) -> impl Iterator<Item = &[Point]> {
        self.rails.iter().zip(&self.slips).flat_map(|(pair, slip)| {
            pair.iter().map(move |rail| if *slip { &rail[1..rail.len() - 1] } else { &rail[..] })
        })
    }

    /// Places on a rail of a road, from near the toe or the road's middle onwards, for a dropper.
    pub fn along(&self, road: usize, side: Side) -> impl Iterator<Item = Point> + '_ {
        let rail = &self.rails[road][side as usize];
        let has_toe = self.ports.iter().any(|(p, ..)| *p == Port::Toe);
        // The first road across has its own before the middle, the second behind it.
        let sign = if road == 0 { -1.0 } else { 1.0 };
        (0..=13).map(f64::from).map(move |k| {
            let t = if has_toe { 0.25 + 0.05 * k } else { 0.5 + sign * (0.12 + 0.02 * k) };
            on(rail, t.min(0.95))
        })
    }

    /// Places on a stock rail of a turnout with a toe, just inside its tie bar and further on.
    pub fn stock(&self, side: Side) -> impl Iterator<Item = Point> + '_ {
        // Seen from the toe, the outermost rail of that side.
        let aside = |r: &usize| {
            let line = &self.roads[*r];
            let v = (line[line.len() - 1] - self.origin).dot(self.heading.perpendicular());
            if side == Side::Left { v } else { -v }
        };
        let outer = (0..self.roads.len()).max_by(|a, b| aside(a).total_cmp(&aside(b))).unwrap_or(0);
        self.along(outer, side)
    }
}

/// A place on a line, by its share of the line's points.
fn on(line: &[Point], t: f64) -> Point {
    let last = line.len() - 1;
    let at = t.clamp(0.0, 1.0) * last as f64;
    let i = (at.floor() as usize).min(last.saturating_sub(1));
    line[i].lerp(line[(i + 1).min(last)], at - i as f64)
}

/// Centre line of a road from a toe: along and to the left.
fn branch(slope: f64, gauge: f64) -> Vec<(f64, f64)> {
    let length = LENGTH * gauge;
    let shares = (0..=STEPS).map(|i| f64::from(i) / f64::from(STEPS));
    shares.map(|t| (t * length, sideways(slope, t) * length)).collect()
}

/// How much of the angle a road from the toe takes, to the left.
fn slope(kind: TurnoutKind, to: Port) -> f64 {
    let share = match (kind, to) {
        (_, Port::Straight) => 0.0,
        (TurnoutKind::Wye, Port::Left) => 0.5,
        (TurnoutKind::Wye, _) => -0.5,
        (TurnoutKind::CurvedLeft, Port::Outer) => OUTER,
        (TurnoutKind::CurvedRight, Port::Outer) => -OUTER,
        (TurnoutKind::CurvedLeft, _) => 1.0 + OUTER,
        (TurnoutKind::CurvedRight, _) => -1.0 - OUTER,
        (TurnoutKind::Right, _) | (_, Port::Right) => -1.0,
        _ => 1.0,
    };
    share * ANGLE.to_radians().tan()
}

/// Centre line of a road of a diamond or slip: a and d lie to the left, c and b to the right.
fn across(from: Port, to: Port, half_angle: f64, gauge: f64) -> Vec<(f64, f64)> {
    let reach = (0.5 / half_angle.sin() + BEYOND_FROG) * gauge * half_angle.cos();
    let slope = half_angle.tan();
    let side = |port: Port| if matches!(port, Port::A | Port::D) { slope } else { -slope };
    let (one, other) = (side(from), side(to));
    if one != other {
        let shares = (0..=STEPS).map(|i| f64::from(2 * i - STEPS) / f64::from(STEPS));
        return shares.map(|t| (t * reach, other * t * reach)).collect();
    }
    // A slip road: along one line, over an arc (drawn as a parabola) to the other.
    let s = (SLIP_BLADES * gauge).min(reach);
    let arc = (0..=STEPS).map(|i| s * f64::from(2 * i - STEPS) / f64::from(STEPS));
    let arc = arc.map(|u| (u, one * (u * u / s + s) / 2.0));
    std::iter::once((-reach, one * reach)).chain(arc).chain([(reach, one * reach)]).collect()
}

/// Where two lines cross first.
fn meeting(a: &[Point], b: &[Point]) -> Option<Point> {
    let cross = |p: &[Point], q: &[Point]| {
        let (r, s) = (p[1] - p[0], q[1] - q[0]);
        let n = r.cross(s);
        if n.abs() < 1e-12 {
            return None;
        }
        let (t, u) = ((q[0] - p[0]).cross(s) / n, (q[0] - p[0]).cross(r) / n);
        let within = |x: f64| (-1e-9..=1.0 + 1e-9).contains(&x);
        (within(t) && within(u)).then(|| p[0].lerp(p[1], t))
    };
    a.windows(2).find_map(|p| b.windows(2).find_map(|q| cross(p, q)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::sheets::track_plan::tests::designed;
    use crate::parse::Word;

    /// A turnout of 16.5 mm gauge at (300, 200).
    fn laid(kind: &str, heading: f64) -> Footprint {
        let place = if matches!(kind, "diamond" | "single-slip" | "double-slip") { "centre" } else { "toe" };
        let normal = if kind == "wye" { "normal = \"left\"" } else { "" };
        let text = format!(
            "format = 1\n[layout]\nname = \"x\"\ncontrol = \"dcc\"\n[defaults]\nfrog = \"isolated-with-wire\"\n\
             [board.b]\nsize = [\"1200 mm\", \"400 mm\"]\n[turnout.T1]\nkind = \"{kind}\"\n\
             {place} = [\"300 mm\", \"200 mm\"]\nheading = \"{heading} deg\"\n{normal}\n\
             [drive.m]\nkind = \"slow-motion\"\n[control]\n{}",
            match kind {
                "diamond" => "",
                "three-way" =>
                    "S1 = { throws = \"T1.left\", with = \"maintained toggle\" }\n\
                                S2 = { throws = \"T1.right\", with = \"maintained toggle\" }\n",
                "single-slip" | "double-slip" => {
                    "S1 = { throws = \"T1.ac\", with = \"maintained toggle\" }\n\
                     S2 = { throws = \"T1.bd\", with = \"maintained toggle\" }\n"
                }
                _ => "S1 = { throws = \"T1\", with = \"maintained toggle\" }\n",
            }
        );
        let ports =
            Port::WORDS.iter().filter(|(_, p, _)| TurnoutKind::from_word(kind).unwrap().ports().contains(p));
        let tracks: String = ports
            .map(|(port, _, _)| format!("{port} = {{ from = \"T1.{port}\", to = \"buffer\" }}\n"))
            .collect();
        let design = designed("laid", &format!("{text}[track]\n{tracks}"));
        Footprint::of(&design.document.turnouts[0], Length::from_mm(16.5), ANGLE).unwrap()
    }

    #[test]
    fn a_left_hand_turnout_parts_to_the_left_of_its_heading() {
        for (heading, towards) in [(0.0, (1.0, 1.0)), (180.0, (-1.0, -1.0)), (90.0, (-1.0, 1.0))] {
            let (heel, _) = laid("left", heading).port(Port::Diverging).unwrap();
            assert!((heel.x - 300.0) * towards.0 > 1.0 && (heel.y - 200.0) * towards.1 > 1.0, "{heel:?}");
        }
    }

    #[test]
    fn the_frog_lies_where_the_rails_are_a_gauge_apart() {
        // On the left rail of the straight road, about 0.82 of 165 mm from the toe.
        let frog = laid("left", 0.0).frogs[0];
        assert!((frog.y - 208.25).abs() < 0.05 && (frog.x - 300.0 - 135.0).abs() < 2.0, "{frog:?}");
    }

    /// The centre frog lies on the middle line and nearest to the toe, the other two abreast.
    #[test]
    fn a_three_way_has_three_frogs() {
        let frogs = laid("three-way", 0.0).frogs;
        let [left, centre, right] = frogs[..] else { panic!("{frogs:?}") };
        assert!((centre.y - 200.0).abs() < 0.1 && centre.x < left.x - 20.0, "{frogs:?}");
        assert!((left.y - 208.25).abs() < 0.05 && (right.y - 191.75).abs() < 0.05, "{frogs:?}");
        assert!((left.x - right.x).abs() < 0.1 && centre.x > 300.0, "{frogs:?}");
    }

    /// Seen along the heading: a and d to the left, c and b to the right; the acute frogs half a
    /// gauge over the sine of half the angle from the middle, the obtuse crossings half a gauge
    /// aside.
    #[test]
    fn a_slip_lies_on_both_sides_of_its_middle() {
        let slip = laid("double-slip", 0.0);
        let at = |port| slip.port(port).unwrap().0;
        assert!(at(Port::A).x < 300.0 && at(Port::A).y > 200.0);
        assert!(at(Port::C).x < 300.0 && at(Port::C).y < 200.0);
        assert!(at(Port::B).x > 300.0 && at(Port::B).y < 200.0);
        assert!(at(Port::D).x > 300.0 && at(Port::D).y > 200.0);
        let far = 8.25 / 6f64.to_radians().tan();
        let [ac, bd, ad, cb] = slip.frogs[..] else { panic!("{:?}", slip.frogs) };
        assert!(ac.distance(point(300.0 - far, 200.0)) < 0.1, "{ac:?}");
        assert!(bd.distance(point(300.0 + far, 200.0)) < 0.1, "{bd:?}");
        assert!(ad.distance(point(300.0, 208.25)) < 0.1 && cb.distance(point(300.0, 191.75)) < 0.1);
    }
}
