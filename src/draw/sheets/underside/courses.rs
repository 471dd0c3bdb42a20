//! Where tracks run on a board, as far as toes and headings tell, and where their droppers' holes
//! are. Only what runs straight on is taken as known.

use super::footprint::{Footprint, angles};
use crate::Design;
use crate::draw::place::clip;
use crate::draw::place::offset::{segment_distance, segments_distance};
use crate::geom::{Point, Rect, Vector, point, vector};
use crate::parse::{BarId, BoardId, Port, Track, TrackEnd, TrackId, TurnoutId};
use crate::track::{FrogId, RailPlace, Side};
use crate::units::Length;

/// A straight stretch of a track's middle line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    pub from: Point,
    pub to: Point,
    /// Whether it is drawn against the direction of its track.
    reversed: bool,
}

/// What is known of a track.
#[derive(Clone, Debug, PartialEq)]
pub enum Course {
    /// Straight all the way.
    Straight(Run),
    /// Only how it leaves its turnouts; between them it runs as the builder laid it.
    Stubs(Vec<Run>),
}

/// Where a dropper goes through the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    pub at: Point,
    /// Whether the hole is really here; otherwise somewhere along this track.
    pub known: bool,
}

/// Everything on the boards that has a place.
pub struct Places<'a> {
    design: &'a Design,
    pub footprints: Vec<Option<Footprint>>,
    /// For each board, for each track.
    courses: Vec<Vec<Option<Course>>>,
}

/// Length of a stub in gauges.
const STUB: f64 = 4.0;
/// A straight line between two ports may turn off their headings by this much, in degrees; less
/// where another track joins the same two turnouts, for then one of the two is a loop.
const IN_LINE: f64 = 10.0;
const IN_LINE_BESIDE: f64 = 3.0;
/// Cosine of the angle up to which a line counts as square to the board.
const SQUARE: f64 = 0.9995;
/// Nearer than this, in gauges, two middle lines are no two tracks.
const APART: f64 = 1.2;

impl<'a> Places<'a> {
    pub fn of(design: &'a Design) -> Places<'a> {
        let gauge = design.document.layout.gauge;
        let turnouts = design.document.turnouts.iter();
        let footprints = turnouts.map(|t| Footprint::of(t, gauge, angles(*t.kind)[0])).collect();
        let mut places = Places { design, footprints, courses: Vec::new() };
        places.turn_diamonds();
        places.courses = (0..design.document.boards.len()).map(|b| places.courses_on(BoardId(b))).collect();
        places
    }

    pub fn course(&self, board: BoardId, track: TrackId) -> Option<&Course> {
        self.courses[board.0][track.0].as_ref()
    }

    /// A board's front left corner in the room, if the file says so. A lone board stands at zero.
    fn corner(&self, board: BoardId) -> Option<Vector> {
        let document = &self.design.document;
        match document[board].stands_at {
            Some((x, y)) => Some(vector(x.mm(), y.mm())),
            None if document.boards.len() == 1 => Some(vector(0.0, 0.0)),
            None => None,
        }
    }

    /// A turnout's port as seen from a board: on it, or on another whose place in the room is known.
    fn port_from(&self, board: BoardId, end: TrackEnd) -> Option<(Point, Vector)> {
        let document = &self.design.document;
        let TrackEnd::Port(turnout, port) = end else { return None };
        let t = &document[turnout];
        let (at, way) = self.footprints[turnout.0].as_ref()?.port(port)?;
        if t.board == board {
            return Some((at, way));
        }
        let shift = self.corner(t.board)? - self.corner(board)?;
        Some((at + shift, way))
    }

    /// A diamond may be made for more than one angle: gives each the one at which its lines run on
    /// straightest to their next turnouts.
    fn turn_diamonds(&mut self) {
        let document = &self.design.document;
        for (i, t) in document.turnouts.iter().enumerate() {
            let bends = |places: &Places| -> f64 {
                let joined = document.tracks.iter().filter_map(|track| {
                    let own = |e: TrackEnd| matches!(e, TrackEnd::Port(u, _) if u.0 == i);
                    let (near, far) =
                        if own(*track.from) { (*track.from, *track.to) } else { (*track.to, *track.from) };
                    if !own(near) || own(far) {
                        return None;
                    }
                    let (at, way) = places.port_from(t.board, near)?;
                    let (next, back) = places.port_from(t.board, far)?;
                    let line = (next - at).unit();
                    Some(2.0 - line.dot(way) + line.dot(back))
                });
                joined.sum()
            };
            let mut best = bends(self);
            for angle in &angles(*t.kind)[1..] {
                let other = Footprint::of(t, document.layout.gauge, *angle);
                let kept = std::mem::replace(&mut self.footprints[i], other);
                let now = bends(self);
                if now < best - 1e-6 {
                    best = now;
                } else {
                    self.footprints[i] = kept;
                }
            }
        }
    }

    fn courses_on(&self, board: BoardId) -> Vec<Option<Course>> {
        let tracks = &self.design.document.tracks;
        let straight: Vec<Option<Run>> = tracks.iter().map(|t| self.straight(board, t)).collect();
        let area = self.area(board);
        let shown: Vec<Option<(Point, Point)>> =
            straight.iter().map(|r| r.and_then(|r| clip::segment(r.from, r.to, &area?))).collect();
        let fouled = |i: usize| {
            let Some(own) = shown[i] else { return false };
            let beside = |j: usize| {
                j != i
                    && shown[j].is_some_and(|other| {
                        !meet(&tracks[i], &tracks[j]) && segments_distance(own, other) < self.gauge() * APART
                    })
            };
            (0..tracks.len()).any(beside) || self.over_turnout(board, &tracks[i], own)
        };
        let fouled: Vec<bool> = (0..tracks.len()).map(fouled).collect();
        let known: Vec<(usize, (Point, Point))> = shown
            .iter()
            .enumerate()
            .filter(|(i, _)| !fouled[*i])
            .filter_map(|(i, s)| Some((i, (*s)?)))
            .collect();
        let mut courses: Vec<Option<Course>> = (0..tracks.len())
            .map(|i| match straight[i] {
                Some(run) if !fouled[i] => Some(Course::Straight(run)),
                _ => {
                    let stubs = self.stubs(board, TrackId(i), &known);
                    (!stubs.is_empty()).then_some(Course::Stubs(stubs))
                }
            })
            .collect();
        self.part_stubs(&mut courses);
        courses
    }

    /// Shortens stubs that run into one another.
    fn part_stubs(&self, courses: &mut [Option<Course>]) {
        let mut stubs: Vec<&mut Run> = courses
            .iter_mut()
            .filter_map(|c| match c {
                Some(Course::Stubs(stubs)) => Some(stubs),
                _ => None,
            })
            .flatten()
            .collect();
        for i in 0..stubs.len() {
            for j in 0..i {
                // A few steps are enough: no two turnouts lie nearer.
                let near = |stubs: &[&mut Run]| {
                    let ends = |r: &Run| (r.from, r.to);
                    segments_distance(ends(stubs[i]), ends(stubs[j])) < self.gauge() * APART
                        && stubs[i].from.distance(stubs[j].from) > self.gauge() * 0.5
                };
                for _ in 0..6 {
                    if !near(&stubs) {
                        break;
                    }
                    for k in [i, j] {
                        stubs[k].to = stubs[k].from.lerp(stubs[k].to, 0.8);
                    }
                }
            }
        }
    }

    /// A track that runs straight between its ports, or straight on from the only known one.
    fn straight(&self, board: BoardId, track: &Track) -> Option<Run> {
        let length = track.length.unwrap_or(Length::from_mm(150.0)).mm();
        let ends = (self.port_from(board, *track.from), self.port_from(board, *track.to));
        // What parts from the straight road will bend back as soon as it can; so will a line over a
        // diamond or slip, unless it runs square to the board.
        let level = |e: TrackEnd| {
            let TrackEnd::Port(t, port) = e else { return false };
            let way = self.port_from(board, e).map_or(vector(0.0, 0.0), |(_, way)| way);
            match port {
                Port::Toe | Port::Straight => true,
                _ if self.design.document[t].kind.has_toe() => false,
                _ => way.x.abs().max(way.y.abs()) > SQUARE,
            }
        };
        let (from, to) = match ends {
            (Some((a, out_a)), Some((b, out_b))) => {
                let way = (b - a).unit();
                let twin = self.design.document.tracks.iter().filter(|t| same_ends(t, track)).count() > 1;
                let least = if twin { IN_LINE_BESIDE } else { IN_LINE }.to_radians().cos();
                if a.distance(b) < 1.0 || out_a.dot(way) < least || -out_b.dot(way) < least {
                    return None;
                }
                (a, b)
            }
            (Some((a, way)), None) if level(*track.from) => (a, a + way * length),
            (None, Some((b, way))) if level(*track.to) => (b + way * length, b),
            _ => return None,
        };
        Some(Run { from, to, reversed: false })
    }

    fn over_turnout(&self, board: BoardId, track: &Track, run: (Point, Point)) -> bool {
        let ends = [*track.from, *track.to];
        self.design.document.turnouts.iter().enumerate().any(|(i, t)| {
            let own = ends.iter().any(|e| matches!(e, TrackEnd::Port(u, _) if u.0 == i));
            let Some(f) = self.footprints[i].as_ref().filter(|_| t.board == board && !own) else {
                return false;
            };
            f.roads
                .iter()
                .flat_map(|r| r.windows(2))
                .any(|w| segments_distance(run, (w[0], w[1])) < self.gauge() * APART)
        })
    }

    /// Short pieces outward from the ports on this board, clear of what is known.
    fn stubs(&self, board: BoardId, track: TrackId, known: &[(usize, (Point, Point))]) -> Vec<Run> {
        let t = &self.design.document[track];
        let tracks = &self.design.document.tracks;
        let ports = [(*t.from, false), (*t.to, true)].map(|(e, r)| Some((self.port_from(board, e)?, r)));
        let between = match ports {
            [Some(((a, _), _)), Some(((b, _), _))] => a.distance(b) * 0.35,
            _ => t.length.map_or(f64::INFINITY, Length::mm),
        };
        let longest = (STUB * self.gauge()).min(between);
        let stub = |(from, way): (Point, Vector), reversed: bool| {
            let clear = |run: &Run| {
                let own = (run.from, run.to);
                !self.over_turnout(board, t, own)
                    && known.iter().all(|(i, other)| {
                        meet(t, &tracks[*i]) || segments_distance(own, *other) >= self.gauge() * APART
                    })
            };
            let runs = [1.0, 0.75, 0.5].map(|k| Run { from, to: from + way * (longest * k), reversed });
            runs.into_iter().find(clear).unwrap_or(runs[2])
        };
        ports.into_iter().flatten().map(|(port, reversed)| stub(port, reversed)).collect()
    }

    fn gauge(&self) -> f64 {
        self.design.document.layout.gauge.mm()
    }

    fn area(&self, board: BoardId) -> Option<Rect> {
        let (w, d) = self.design.document[board].size?;
        Some(Rect::new(0.0, 0.0, w.mm(), d.mm()))
    }

    /// The hole of a dropper on a board; `None` if the file gives no place for it.
    pub fn dropper(&self, board: BoardId, place: RailPlace) -> Option<Hole> {
        match place {
            RailPlace::Track(t, side) => self.track_dropper(board, t, side),
            RailPlace::Stock(t, side) => self.first_clear(board, self.footprints[t.0].as_ref()?.stock(side)),
            RailPlace::Inner(t, road, side) => {
                self.first_clear(board, self.footprints[t.0].as_ref()?.along(road, side))
            }
            RailPlace::Frog(t, crossing) => {
                let at = *self.footprints[t.0].as_ref()?.frogs.get(crossing)?;
                Some(Hole { at, known: true })
            }
        }
    }

    /// The hole of a frog's wire.
    pub fn frog(&self, frog: FrogId) -> Option<Point> {
        let need = &self.design.rails[frog];
        self.footprints[need.turnout.0].as_ref()?.frogs.get(need.crossing).copied()
    }

    /// The first of some places that is clear, else the first.
    fn first_clear(&self, board: BoardId, places: impl Iterator<Item = Point>) -> Option<Hole> {
        let places: Vec<Point> = places.collect();
        let at = places.iter().find(|p| self.is_clear(board, **p)).or(places.first())?;
        Some(Hole { at: *at, known: true })
    }

    fn track_dropper(&self, board: BoardId, track: TrackId, side: Side) -> Option<Hole> {
        let area = self.area(board)?.inflate(-8.0);
        let beside = |run: &Run| {
            let way = (run.to - run.from).unit() * if run.reversed { -1.0 } else { 1.0 };
            way.perpendicular() * (if side == Side::Left { 0.5 } else { -0.5 } * self.gauge())
        };
        match self.course(board, track)? {
            Course::Straight(run) => {
                // The middle, or what is nearest to it on this board and clear of drives and framing.
                let steps = 40;
                let spots: Vec<Point> = (0..=steps)
                    .flat_map(|k| [steps - k, steps + k])
                    .map(|k| run.from.lerp(run.to, f64::from(k) / f64::from(2 * steps)) + beside(run))
                    .filter(|p| area.contains(*p))
                    .collect();
                let at = spots.iter().find(|p| self.is_clear(board, **p)).or(spots.first());
                at.map(|at| Hole { at: *at, known: true })
            }
            Course::Stubs(stubs) => stubs
                .iter()
                .map(|run| run.from.lerp(run.to, 0.7) + beside(run))
                .find(|at| area.contains(*at))
                .map(|at| Hole { at, known: false }),
        }
    }

    /// Neither under a drive nor in a framing member.
    fn is_clear(&self, board: BoardId, at: Point) -> bool {
        let document = &self.design.document;
        let drive = |bar: BarId| {
            document.turnout_of(bar).board == board
                && crate::drives::drive_outline(document, bar).is_some_and(|r| r.inflate(4.0).contains(at))
        };
        let framed = document[board].members.iter().any(|m| {
            let end = |(x, y): (Length, Length)| point(x.mm(), y.mm());
            segment_distance(at, end(m.from), end(m.to)) < m.width.mm() / 2.0 + 4.0
        });
        !framed && !(0..document.bars.len()).map(BarId).any(drive)
    }
}

fn ports(t: &Track) -> impl Iterator<Item = TurnoutId> {
    [*t.from, *t.to].into_iter().filter_map(|e| match e {
        TrackEnd::Port(t, _) => Some(t),
        _ => None,
    })
}

/// Whether two tracks have a turnout in common.
fn meet(a: &Track, b: &Track) -> bool {
    ports(a).any(|t| ports(b).any(|u| t == u))
}

/// Whether two tracks join the same two turnouts.
fn same_ends(a: &Track, b: &Track) -> bool {
    let pair = |t: &Track| {
        let mut pair: Vec<TurnoutId> = ports(t).collect();
        pair.sort();
        pair
    };
    pair(a).len() == 2 && pair(a) == pair(b)
}
