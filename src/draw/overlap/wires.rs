//! Faults of wires: loose ends, missing dots, nets that seem to touch, wires through symbols.

use super::grid::Grid;
use super::shapes::{Meeting, NEAR, Segment, segments};
use super::{Fault, FaultKind, Metrics};
use crate::draw::scene::{Item, Path, Role, Scene, Stroke};
use crate::geom::{Point, Rect};

/// A pin or dot.
struct Spot<'a> {
    at: Point,
    reach: f64,
    net: &'a str,
    name: Option<&'a str>,
}

struct Strand<'a> {
    segment: Segment,
    half: f64,
    net: &'a str,
    wire: Option<&'a str>,
    /// Number of the wire's path.
    path: usize,
}

struct Picture<'a> {
    strands: Vec<Strand<'a>>,
    strand_grid: Grid,
    spots: Vec<Spot<'a>>,
    spot_grid: Grid,
}

pub fn check(scene: &Scene, faults: &mut Vec<Fault>) -> Metrics {
    let picture = Picture::of(scene);
    let mut metrics = picture.pairs(faults);
    picture.spots(faults);
    for (number, (path, net)) in wires(scene).enumerate() {
        metrics.wires += 1;
        metrics.bends += bends(path);
        for s in segments(path) {
            let d = s.b - s.a;
            metrics.length += d.length();
            if d.x.abs() > NEAR && d.y.abs() > NEAR {
                let at = s.a.lerp(s.b, 0.5);
                faults.push(Fault { kind: FaultKind::Oblique, at, detail: net.to_owned() });
            }
        }
        if let (false, Some(first), Some(last)) = (path.closed, path.points.first(), path.points.last()) {
            picture.end(*first, net, number, faults);
            picture.end(*last, net, number, faults);
        }
    }
    picture.symbols(scene, faults);
    metrics
}

/// The paths that are wires, each with its net.
fn wires(scene: &Scene) -> impl Iterator<Item = (&Path, &str)> {
    scene.items.iter().filter_map(|item| match item {
        Item::Path(p) => match &p.role {
            Role::Wire { net, .. } => Some((p, net.as_str())),
            _ => None,
        },
        _ => None,
    })
}

fn bends(path: &Path) -> usize {
    let straight: Vec<Segment> = segments(path).collect();
    let turns = |a: &Segment, b: &Segment| (a.b - a.a).unit().cross((b.b - b.a).unit()).abs() > 1e-6;
    straight.windows(2).filter(|w| turns(&w[0], &w[1])).count()
}

impl<'a> Picture<'a> {
    fn of(scene: &'a Scene) -> Picture<'a> {
        let mut p = Picture {
            strands: Vec::new(),
            strand_grid: Grid::new(scene.width, scene.height),
            spots: Vec::new(),
            spot_grid: Grid::new(scene.width, scene.height),
        };
        let mut number = 0;
        for item in &scene.items {
            match item {
                Item::Path(path) => match &path.role {
                    Role::Wire { net, wire } => {
                        let half = path.stroke.as_ref().map_or(0.0, Stroke::half_width);
                        for segment in segments(path) {
                            let id = p.strands.len();
                            p.strand_grid.insert(id, &segment.bounds().inflate(half));
                            let wire = wire.as_deref();
                            p.strands.push(Strand { segment, half, net, wire, path: number });
                        }
                        number += 1;
                    }
                    role => path.points.iter().for_each(|q| p.spot(*q, NEAR, role)),
                },
                Item::Circle { centre, radius, role, .. } => p.spot(*centre, *radius, role),
                Item::Text(_) => {}
            }
        }
        p
    }

    fn spot(&mut self, at: Point, reach: f64, role: &'a Role) {
        let (net, name) = match role {
            Role::Pin { name, net } => (net, Some(name.as_str())),
            Role::Junction { net } => (net, None),
            _ => return,
        };
        self.spot_grid.insert(self.spots.len(), &Rect::around(at, at).inflate(reach));
        self.spots.push(Spot { at, reach, net, name });
    }

    /// Pins and dots at a point.
    fn spots_at(&self, p: Point) -> impl Iterator<Item = &Spot<'a>> {
        let near = self.spot_grid.near(&Rect::around(p, p).inflate(NEAR));
        near.into_iter().map(|i| &self.spots[i]).filter(move |s| s.at.distance(p) <= s.reach + NEAR)
    }

    fn strands_near(&self, area: &Rect) -> impl Iterator<Item = (usize, &Strand<'a>)> {
        self.strand_grid.near(area).into_iter().map(|i| (i, &self.strands[i]))
    }

    /// What two strands have to do with one another; counts crossings.
    fn pairs(&self, faults: &mut Vec<Fault>) -> Metrics {
        let mut metrics = Metrics::default();
        for (i, one) in self.strands.iter().enumerate() {
            let area = one.segment.bounds().inflate(one.half);
            for (_, two) in self.strands_near(&area).filter(|(j, _)| *j > i) {
                let same = one.net == two.net;
                let reach = if same { NEAR } else { one.half + two.half };
                let detail = || format!("{} and {}", one.net, two.net);
                match one.segment.meet(&two.segment, reach) {
                    Meeting::Apart => {}
                    Meeting::Cross(_) => metrics.crossings += 1,
                    Meeting::Touch(at) if !same => {
                        faults.push(Fault { kind: FaultKind::Touch, at, detail: detail() });
                    }
                    Meeting::Touch(_) => {}
                    // Two numbered wires of one net on one line cannot be told apart either.
                    Meeting::Along(at) => {
                        if !same || (one.wire != two.wire && one.path != two.path) {
                            faults.push(Fault { kind: FaultKind::SharedSegment, at, detail: detail() });
                        }
                    }
                }
            }
        }
        metrics
    }

    /// Pins and dots on wires of other nets, and dots where four wires meet.
    fn spots(&self, faults: &mut Vec<Fault>) {
        for spot in &self.spots {
            let area = Rect::around(spot.at, spot.at).inflate(spot.reach);
            let mut arms = Vec::new();
            for (_, strand) in self.strands_near(&area) {
                let distance = strand.segment.distance(spot.at);
                if strand.net != spot.net && distance < spot.reach + strand.half - NEAR {
                    let what = spot.name.unwrap_or("a dot");
                    let detail = format!("{what} of {} and a wire of {}", spot.net, strand.net);
                    faults.push(Fault { kind: FaultKind::Touch, at: spot.at, detail });
                } else if strand.net == spot.net && distance <= NEAR {
                    arms.extend(directions(&strand.segment, spot.at));
                }
            }
            arms.sort_unstable();
            arms.dedup();
            if spot.name.is_none() && arms.len() > 3 {
                let detail = spot.net.to_owned();
                faults.push(Fault { kind: FaultKind::FourWay, at: spot.at, detail });
            }
        }
    }

    /// A wire's end must be held by something.
    fn end(&self, at: Point, net: &str, path: usize, faults: &mut Vec<Fault>) {
        if self.spots_at(at).any(|s| s.net == net) {
            return;
        }
        let (mut arms, mut others) = (Vec::new(), false);
        for (_, s) in self.strands_near(&Rect::around(at, at).inflate(NEAR)) {
            if s.net == net && s.segment.distance(at) <= NEAR {
                others |= s.path != path;
                arms.extend(directions(&s.segment, at));
            }
        }
        arms.sort_unstable();
        arms.dedup();
        let detail = net.to_owned();
        if !others {
            faults.push(Fault { kind: FaultKind::LooseEnd, at, detail });
        } else if arms.len() > 2 {
            faults.push(Fault { kind: FaultKind::MissingDot, at, detail });
        }
    }

    /// Wires meet symbols at pins of their own net and nowhere else.
    fn symbols(&self, scene: &Scene, faults: &mut Vec<Fault>) {
        let mut add = |at: Point, net: &str| {
            faults.push(Fault { kind: FaultKind::ThroughSymbol, at, detail: net.to_owned() });
        };
        for item in &scene.items {
            match item {
                Item::Path(path) if path.role == Role::Symbol => {
                    for stroke in segments(path) {
                        for (_, s) in self.strands_near(&stroke.bounds()) {
                            match s.segment.meet(&stroke, NEAR) {
                                Meeting::Apart => {}
                                Meeting::Touch(at) if self.spots_at(at).any(|p| p.net == s.net) => {}
                                Meeting::Touch(at) | Meeting::Cross(at) | Meeting::Along(at) => {
                                    add(at, s.net)
                                }
                            }
                        }
                    }
                }
                Item::Circle { centre, radius, role: Role::Symbol, .. } => {
                    for (_, s) in self.strands_near(&Rect::around(*centre, *centre).inflate(*radius)) {
                        let at = s.segment.nearest(*centre);
                        if at.distance(*centre) < radius - NEAR {
                            add(at, s.net);
                        }
                    }
                }
                _ => {}
            }
        }
    }
}

/// The directions in which a segment leaves a point on it, in degrees.
fn directions(s: &Segment, p: Point) -> impl Iterator<Item = i32> {
    [s.a, s.b]
        .into_iter()
        .map(move |end| end - p)
        .filter(|v| v.length() > NEAR)
        .map(|v| (v.y.atan2(v.x).to_degrees().round() as i32).rem_euclid(360))
}
