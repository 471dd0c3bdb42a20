//! Turnouts as they are drawn on the plan: a diagram, not a template.
//!
//! One road of each lies level on the row; the others leave it at a slope. Of a diamond or slip that
//! is one of the two straight roads.

use super::course::Facing;
use crate::draw::place::offset::{crossing, left_of, length, offset};
use crate::draw::sheets::{is_level, is_toe_end};
use crate::geom::{Point, Vector, point};
use crate::parse::{FrogKind, Port, Turnout, TurnoutId, TurnoutKind};
use crate::track::{Formation, Position, RailPlace, Side};

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
/// From the outermost frogs of a crossing to its ends.
const BEYOND: f64 = 6.5;
/// From the blades of one bar to those of the next.
const NEXT_BAR: f64 = 2.2;
/// Half of what parts two frogs of one turnout from each other.
const PARTED: f64 = 0.5;
/// From a frog to where its wing rails begin, and to where the closure rails before them end.
const WING: [f64; 2] = [2.2, 3.2];
/// From an insulated frog to the rails that end at it.
const INSULATED: f64 = 1.6;

/// Whether a port lies left of the middle, looking from the toe, or from the end of a and c.
pub fn leads_left(kind: TurnoutKind, port: Port) -> bool {
    match port {
        Port::Left | Port::A | Port::D => true,
        Port::Diverging => kind == TurnoutKind::Left,
        Port::Inner => kind == TurnoutKind::CurvedLeft,
        _ => false,
    }
}

/// One turnout on the sheet.
#[derive(Clone, Debug)]
pub struct Shape {
    /// The middle of the end from which its heading is reckoned, on its level road.
    pub toe: Point,
    pub facing: Facing,
    /// Centre lines of its roads, in the order of the formation.
    pub roads: Vec<Vec<Point>>,
    /// The end of the centre line at every port, and the direction in which a track leaves there.
    ports: Vec<(Port, Point, Vector)>,
    /// Every stretch of rail.
    pub rails: Vec<(Vec<Point>, RailPlace)>,
    /// Where the crossings are, in the order of the formation.
    pub frogs: Vec<Point>,
    /// Both ends of each tie bar.
    pub bars: Vec<[Point; 2]>,
    /// Where words stand in nobody's way beside the rails, with the direction out, the best first.
    pub beside: Vec<(Point, Vector)>,
}

impl Style {
    fn inner_slope(&self, kind: TurnoutKind) -> f64 {
        match kind {
            TurnoutKind::Wye => self.slope * 0.6,
            TurnoutKind::ThreeWay => self.slope.min(0.35),
            TurnoutKind::Diamond => self.slope.min(0.5),
            TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip => self.slope.min(0.3),
            _ => self.slope,
        }
    }

    /// From the middle of a crossing to its outer frogs, along the sheet.
    fn frog_reach(&self, kind: TurnoutKind) -> f64 {
        let m = self.inner_slope(kind);
        0.5 * GAUGE * (1.0 + m.hypot(1.0)) / m
    }

    /// Length along the sheet.
    pub fn length_of(&self, kind: TurnoutKind) -> f64 {
        match kind {
            TurnoutKind::ThreeWay => self.length.max(25.0),
            _ if !kind.has_toe() => 2.0 * (self.frog_reach(kind) + BEYOND),
            _ => self.length,
        }
    }

    /// From the toe end to where the sloping roads leave the level one.
    pub fn bend(&self, kind: TurnoutKind) -> f64 {
        if kind.has_toe() { TIPS } else { 0.5 * self.length_of(kind) }
    }

    /// How far from its turnout's axis a sloping road has come at its end; never negative.
    pub fn heel_rise(&self, kind: TurnoutKind) -> f64 {
        self.inner_slope(kind) * (self.length_of(kind) - self.bend(kind))
    }

    /// Length along the sheet of the slope beyond the end, to a row `rows` further on.
    pub fn ramp(&self, kind: TurnoutKind, rows: usize) -> f64 {
        (self.pitch * rows as f64 - self.heel_rise(kind)) / self.slope
    }
}

/// What is to be drawn of a turnout, and how it lies.
pub struct Pose<'a> {
    pub id: TurnoutId,
    pub turnout: &'a Turnout,
    /// Positions of its tie bars.
    pub setting: &'a [Position],
    /// The road c–d of a diamond or slip lies level, not a–b.
    pub across: bool,
    pub toe: Point,
    pub facing: Facing,
}

impl Shape {
    pub fn new(style: &Style, pose: &Pose) -> Shape {
        let kind = *pose.turnout.kind;
        let (long, bend, rise) = (style.length_of(kind), style.bend(kind), style.heel_rise(kind));
        let toe = pose.toe;
        let sheet = |u: f64, v: f64| {
            let s = pose.facing.sign();
            point(toe.x + s * u, toe.y - s * v)
        };
        let level = |port: Port| match port {
            Port::A | Port::B => !pose.across,
            Port::C | Port::D => pose.across,
            _ => is_level(port),
        };
        let end = |port: Port| {
            let v = match (level(port), leads_left(kind, port)) {
                (true, _) => 0.0,
                (false, true) => rise,
                (false, false) => -rise,
            };
            sheet(if is_toe_end(port) { 0.0 } else { long }, v)
        };
        let formation = Formation::of(pose.turnout);
        let middle = sheet(bend, 0.0);
        // On a straight road of a slip, where the slip roads leave it.
        let slip = 1.2 * style.frog_reach(kind) / long;
        let roads: Vec<Vec<Point>> = (0..formation.roads().len())
            .map(|r| {
                let road = &formation.roads()[r];
                let (from, to) = (end(road.from), end(road.to));
                if formation.has_toe() {
                    vec![from, middle, to]
                } else if formation.leads_across(r) {
                    vec![from, to]
                } else {
                    vec![from, middle.lerp(from, slip), middle.lerp(to, slip), to]
                }
            })
            .collect();
        let ports = kind.ports().iter().filter_map(|port| {
            let r = formation.roads_of(*port).next()?;
            let line = &roads[r];
            let (at, before) = if formation.roads()[r].from == *port {
                (line[0], line[1])
            } else {
                (line[line.len() - 1], line[line.len() - 2])
            };
            Some((*port, at, (at - before).unit()))
        });
        let ports = ports.collect();
        let bars = (0..formation.bars())
            .map(|i| {
                let reach = GAUGE / 2.0 + 0.9;
                if formation.has_toe() {
                    let u = TIPS + NEXT_BAR * i as f64;
                    [sheet(u, reach), sheet(u, -reach)]
                } else {
                    // Across both roads, where they are not yet one.
                    let ends = if i == 0 { [Port::A, Port::C] } else { [Port::D, Port::B] };
                    let at = ends.map(|p| middle.lerp(end(p), slip * 0.92));
                    let out = (at[0] - at[1]).unit() * reach;
                    [at[0] + out, at[1] - out]
                }
            })
            .collect();
        let mut shape = Shape {
            toe,
            facing: pose.facing,
            roads,
            ports,
            rails: Vec::new(),
            frogs: Vec::new(),
            bars,
            beside: Vec::new(),
        };
        shape.beside = beside(kind, pose.across, sheet, long);
        shape.frogs = (0..formation.crossings().len()).map(|k| shape.crossing_of(&formation, k)).collect();
        for road in 0..formation.roads().len() {
            for side in Side::ALL {
                shape.rail(pose, &formation, road, side);
            }
        }
        shape
    }

    fn edge(&self, road: usize, side: Side) -> Vec<Point> {
        offset(&self.roads[road], if side == Side::Left { GAUGE / 2.0 } else { -GAUGE / 2.0 })
    }

    /// Where two rails cross.
    fn crossing_of(&self, formation: &Formation, k: usize) -> Point {
        let straight = |r: usize| formation.has_toe() || formation.leads_across(r);
        let through: Vec<Vec<Point>> = formation
            .through(k)
            .into_iter()
            .filter(|(r, _)| straight(*r))
            .map(|(r, side)| self.edge(r, side))
            .collect();
        let [a, b, ..] = through.as_slice() else { return self.toe };
        for s in a.windows(2) {
            for t in b.windows(2) {
                let Some(p) = crossing((s[0], s[1]), (t[0], t[1])) else { continue };
                let on = |w: &[Point]| {
                    let d = w[1] - w[0];
                    let u = (p - w[0]).dot(d) / d.dot(d).max(1e-9);
                    (1e-3..=1.001).contains(&u)
                };
                if on(s) && on(t) {
                    return p;
                }
            }
        }
        a[a.len() - 1]
    }

    /// Adds the rail of a road on one side, in the pieces that it consists of.
    fn rail(&mut self, pose: &Pose, formation: &Formation, road: usize, side: Side) {
        let (id, frog) = (pose.id, *pose.turnout.frog);
        let list = formation.roads()[road].rail(side);
        let line = self.edge(road, side);
        if !formation.has_toe() && !formation.leads_across(road) {
            self.slip_rail(pose, formation, road, side);
            return;
        }
        if list.is_empty() {
            self.rails.push((line, RailPlace::Stock(id, side)));
            return;
        }
        let at: Vec<f64> = list.iter().map(|k| reach_of(&line, self.frogs[*k])).collect();
        let (first, last) = (at[0], at[at.len() - 1]);
        let inner = RailPlace::Inner(id, road, side);
        let start = if formation.has_toe() { reach_of(&line, line[1]) } else { 0.0 };
        let blade = |end: f64| {
            let mut path = between(&line, start, end);
            let blade = formation.blades().find(|b| (b.road, b.side) == (road, side));
            let open = blade.is_some_and(|b| pose.setting.get(b.bar).is_some_and(|p| *p != b.position));
            if open && path.len() > 1 {
                // Away from its stock rail, towards the middle of the track.
                let way = (self.roads[road][1] - self.roads[road][0]).unit();
                let away = left_of(way) * if side == Side::Right { OPEN } else { -OPEN };
                path.insert(1, path[0].lerp(self.frogs[list[0]], 0.5));
                path[0] = path[0] + away;
            }
            path
        };
        let mut rails = Vec::new();
        match frog {
            FrogKind::Insulated => rails.push((blade(first - INSULATED), inner)),
            FrogKind::IsolatedWithWire if formation.has_toe() => {
                // Bonded to their stock rails; cut short of the frog by the maker.
                rails.push((blade(first - WING[1]), RailPlace::Stock(id, side)));
                rails.push((between(&line, first - WING[0], first), RailPlace::Frog(id, list[0])));
            }
            _ => rails.push((blade(first), RailPlace::Frog(id, list[0]))),
        }
        for i in 1..at.len() {
            if frog == FrogKind::Insulated {
                rails.push((between(&line, at[i - 1] + INSULATED, at[i] - INSULATED), inner));
            } else {
                let half = 0.5 * (at[i - 1] + at[i]);
                rails.push((between(&line, at[i - 1], half - PARTED), RailPlace::Frog(id, list[i - 1])));
                rails.push((between(&line, half + PARTED, at[i]), RailPlace::Frog(id, list[i])));
            }
        }
        let whole = length(&line);
        match frog {
            FrogKind::Insulated => rails.push((between(&line, last + INSULATED, whole), inner)),
            _ => rails.push((between(&line, last, whole), RailPlace::Frog(id, list[list.len() - 1]))),
        }
        self.rails.extend(rails);
    }

    /// A rail of a slip road, between the blades at its two ends.
    fn slip_rail(&mut self, pose: &Pose, formation: &Formation, road: usize, side: Side) {
        let (id, spec) = (pose.id, &formation.roads()[road]);
        let line = self.edge(road, side);
        let set = formation.setting(road) == pose.setting;
        let mut path = line[1..line.len() - 1].to_vec();
        if !set {
            // Its blades stand open.
            path = between(&path, OPEN, length(&path) - OPEN);
        }
        let whole = length(&path);
        // The straight roads that it leaves and joins.
        let across = |port: Port| formation.roads_of(port).find(|r| formation.leads_across(*r)).unwrap_or(0);
        let (before, after) = (across(spec.from), across(spec.to));
        let list = spec.rail(side);
        let places = match (*pose.turnout.frog, list) {
            (FrogKind::Insulated, _) => {
                [RailPlace::Inner(id, before, side), RailPlace::Inner(id, after, side)]
            }
            (_, [one, other]) => [RailPlace::Frog(id, *one), RailPlace::Frog(id, *other)],
            _ => {
                let k = formation.roads()[before].rail(side).first().copied().unwrap_or(0);
                [RailPlace::Frog(id, k); 2]
            }
        };
        if places[0] == places[1] {
            self.rails.push((path, places[0]));
        } else {
            self.rails.push((between(&path, 0.0, whole / 2.0 - PARTED), places[0]));
            self.rails.push((between(&path, whole / 2.0 + PARTED, whole), places[1]));
        }
    }

    /// The end of the centre line at a port, and the direction in which a track leaves there.
    pub fn port(&self, port: Port) -> (Point, Vector) {
        let found = self.ports.iter().find(|(p, _, _)| *p == port);
        found.map_or((self.toe, Vector::default()), |(_, at, way)| (*at, *way))
    }

    /// The end of a rail at a port, looking outward.
    pub fn rail_end(&self, port: Port, side: Side) -> (Point, Vector) {
        let (at, way) = self.port(port);
        let half = if side == Side::Left { GAUGE / 2.0 } else { -GAUGE / 2.0 };
        (at + left_of(way) * half, way)
    }
}

/// Where the name of a turnout may stand: beside the blades, or in the wide angles of a crossing.
fn beside(
    kind: TurnoutKind,
    across: bool,
    sheet: impl Fn(f64, f64) -> Point,
    long: f64,
) -> Vec<(Point, Vector)> {
    const EDGE: f64 = GAUGE / 2.0 + 0.45;
    let out = |left: f64| (sheet(0.0, left) - sheet(0.0, 0.0)).unit();
    let spots = |us: &[f64], left: f64| -> Vec<(Point, Vector)> {
        us.iter().map(|u| (sheet(*u, left * EDGE), out(left))).collect()
    };
    let (here, there): (&[f64], f64) = match kind {
        TurnoutKind::Left | TurnoutKind::CurvedLeft => (&[TIPS, 9.0, 7.0, 11.0, 2.5], -1.0),
        TurnoutKind::Right | TurnoutKind::CurvedRight => (&[TIPS, 9.0, 7.0, 11.0, 2.5], 1.0),
        TurnoutKind::Wye | TurnoutKind::ThreeWay => (&[TIPS * 0.8, 0.0], 1.0),
        TurnoutKind::Diamond | TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip => {
            // a lies left of c: left of the level road a–b is free at its beginning, right of it at
            // its end; the other way round for c–d.
            let (first, second) = if across { (-1.0, 1.0) } else { (1.0, -1.0) };
            let near: Vec<f64> = [0.4, 0.3, 0.2, 0.1, 0.5].map(|t| t * long).to_vec();
            let far: Vec<f64> = [0.6, 0.7, 0.8, 0.9, 0.5].map(|t| t * long).to_vec();
            return spots(&near, first).into_iter().chain(spots(&far, second)).collect();
        }
    };
    spots(here, there).into_iter().chain(spots(here, -there)).collect()
}

/// How far along a path the point nearest to `p` is.
fn reach_of(path: &[Point], p: Point) -> f64 {
    let (mut best, mut found, mut walked) = (f64::INFINITY, 0.0, 0.0);
    for w in path.windows(2) {
        let d = w[1] - w[0];
        let t = ((p - w[0]).dot(d) / d.dot(d).max(1e-12)).clamp(0.0, 1.0);
        let away = p.distance(w[0].lerp(w[1], t));
        if away < best - 1e-9 {
            (best, found) = (away, walked + t * d.length());
        }
        walked += d.length();
    }
    found
}

/// The part of a path between two distances along it.
pub fn between(path: &[Point], from: f64, to: f64) -> Vec<Point> {
    let mut found: Vec<Point> = Vec::new();
    let mut walked = 0.0;
    for w in path.windows(2) {
        let step = w[0].distance(w[1]);
        let (low, high) = ((from - walked).max(0.0), (to - walked).min(step));
        if low < high - 1e-9 {
            for s in [low, high] {
                let p = w[0].lerp(w[1], s / step);
                if found.last().is_none_or(|q| !q.is_at(p)) {
                    found.push(p);
                }
            }
        }
        walked += step;
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::sheets::track_plan::tests::designed;

    const STYLE: Style = Style { pitch: 15.0, slope: 0.5, length: 20.0, room: 3.0 };

    fn shape(kind: &str, toe: Point, facing: Facing) -> Shape {
        let ports: &[&str] = match kind {
            "left" | "right" => &["toe", "straight", "diverging"],
            "three-way" => &["toe", "left", "straight", "right"],
            _ => &["a", "b", "c", "d"],
        };
        let mut text = format!(
            "format = 1\n[layout]\nname = \"One\"\ncontrol = \"dcc\"\n[turnout]\n\
             T1 = {{ kind = \"{kind}\", frog = \"live\" }}\n[track]\n"
        );
        for port in ports {
            text += &format!("to-{port} = {{ from = \"T1.{port}\", to = \"buffer\" }}\n");
        }
        text += "[drive.motor]\nkind = \"slow-motion\"\ncontacts = 2\n";
        let design = designed("one", &text);
        let turnout = &design.document.turnouts[0];
        let setting = vec![Position::Normal; turnout.kind.bars().len()];
        let pose = Pose { id: TurnoutId(0), turnout, setting: &setting, across: false, toe, facing };
        Shape::new(&STYLE, &pose)
    }

    #[test]
    fn a_left_hand_turnout_leaves_to_the_left_whichever_way_it_faces() {
        let heel = |kind, facing| shape(kind, point(100.0, 50.0), facing).port(Port::Diverging).0;
        // y points down: to the left of a turnout facing right is up.
        assert!(heel("left", Facing::East).is_at(point(120.0, 42.5)));
        assert!(heel("left", Facing::West).is_at(point(80.0, 57.5)));
        assert!(heel("right", Facing::East).is_at(point(120.0, 57.5)));
        assert!(heel("right", Facing::West).is_at(point(80.0, 42.5)));
    }

    #[test]
    fn the_frog_is_where_the_inner_rails_cross() {
        let s = shape("left", point(0.0, 0.0), Facing::East);
        // (g/2)(1 + √(1 + m²))/m beyond the tips, on the left rail of the straight road.
        let x = TIPS + 2.0 * (1.0 + 1.25f64.sqrt()) / 0.5;
        assert!(s.frogs[0].is_at(point(x, -2.0)), "{:?} {x}", s.frogs);
    }

    #[test]
    fn the_frogs_of_a_three_way_lie_on_its_axis_and_on_the_rails_of_the_straight_road() {
        let s = shape("three-way", point(0.0, 0.0), Facing::East);
        let [left, centre, right] = s.frogs[..] else { panic!("{:?}", s.frogs) };
        assert!(left.y == -2.0 && centre.y.abs() < 1e-6 && right.y == 2.0, "{:?}", s.frogs);
        assert!(centre.x < left.x && (left.x - right.x).abs() < 1e-6);
    }

    #[test]
    fn the_roads_of_a_diamond_cross_with_a_left_of_c_and_d_opposite_a() {
        for facing in [Facing::East, Facing::West] {
            let s = shape("diamond", point(0.0, 0.0), facing);
            let k = facing.sign();
            let at = |p| s.port(p).0;
            // To the left is up for who looks east.
            assert!(k * at(Port::A).y < k * at(Port::C).y && k * at(Port::D).y < k * at(Port::B).y);
            assert!(k * at(Port::A).x < k * at(Port::B).x);
            let [ac, bd, ad, cb] = s.frogs[..] else { panic!("{:?}", s.frogs) };
            assert!(k * ac.x < k * ad.x && k * cb.x < k * bd.x && k * ad.y < k * cb.y, "{:?}", s.frogs);
        }
    }
}
