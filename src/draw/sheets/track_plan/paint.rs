//! Rails, joints, frogs and droppers of one sheet, with their places.

use super::Part;
use super::shape::{GAUGE, Shape, TIPS};
use super::sketch::{End, Piece};
use crate::Design;
use crate::draw::ink::conductor;
use crate::draw::line::{HEAVY, THIN, WIRE};
use crate::draw::page::{Page, caution_strip};
use crate::draw::place::offset::{along, left_of, length, offset};
use crate::draw::scene::{Anchor, Dash, Ink, Role, Scene, Stroke};
use crate::draw::sheets::{branches, is_level, track_function};
use crate::draw::text::{lettering, width};
use crate::geom::{Point, Rect, Vector, point, vector};
use crate::hardware::colour_code;
use crate::parse::FrogKind;
use crate::track::{Feed, Formation, Rail, RailPlace, Side};

/// A rail as it is drawn.
pub struct Line {
    pub points: Vec<Point>,
    pub stroke: Stroke,
    pub rail: String,
    pub feed: Option<Feed>,
}

/// Something small on a rail, by its number less one in its list.
pub struct Mark {
    pub number: usize,
    pub at: Point,
    /// Away from the middle of the road.
    pub out: Vector,
    pub feed: Option<Feed>,
}

/// The end of a road that goes no further on this sheet.
pub struct Terminus {
    pub end: End,
    pub piece: usize,
    pub at: Point,
    /// Away from the road.
    pub out: Vector,
    /// Feeds left and right, looking out.
    pub feeds: [Feed; 2],
}

/// Everything on one sheet but words.
pub struct Picture {
    pub shapes: Vec<Shape>,
    /// Centre lines of the pieces, from `from` to `to`.
    pub roads: Vec<Vec<Point>>,
    /// The track of each road.
    pub tracks: Vec<crate::parse::TrackId>,
    pub lines: Vec<Line>,
    pub joints: Vec<Mark>,
    pub joint_ways: Vec<Vector>,
    pub droppers: Vec<Mark>,
    pub ends: Vec<Terminus>,
    /// For each turnout of the sheet: the frog's ink.
    pub frogs: Vec<Stroke>,
}

/// Width of a rail in feed A, in feed B and in a frog.
const WIDTHS: [f64; 3] = [0.7, 0.9, 1.2];

/// The stroke of a rail in a feed. Without colour the feeds differ too: A is plain, B broader with
/// a dashed core, a frog's metal heavy.
pub fn rail_stroke(design: &Design, feed: Option<Feed>) -> Stroke {
    let width = match feed {
        Some(Feed::A) => WIDTHS[0],
        Some(Feed::B) => WIDTHS[1],
        None => WIDTHS[2],
    };
    kind_stroke(design, feed, width)
}

/// The dashed core of a rail in feed B: dark on light colours, white on dark ones.
fn core(stroke: Stroke, feed: Option<Feed>) -> Option<Stroke> {
    let ink = if stroke.edge.is_some() { Ink::BLACK } else { Ink::WHITE };
    (feed == Some(Feed::B)).then_some(Stroke { width: 0.42, ink, dash: Dash::Dashed, edge: None })
}

fn kind_stroke(design: &Design, feed: Option<Feed>, width: f64) -> Stroke {
    conductor(design.wiring.palette.colour(track_function(design, feed)), width)
}

impl Picture {
    pub fn of(design: &Design, part: &Part, field: Rect) -> Picture {
        let (sketch, spread, style) = (&part.sketch, &part.spread, &part.style);
        let document = &design.document;
        let tall = spread.rows.saturating_sub(1) as f64 * style.pitch;
        let left = field.min.x + (field.width() - spread.width) / 2.0;
        let top = field.min.y + (field.height() - tall) / 2.0;
        let y = |line: usize| top + spread.row[line] as f64 * style.pitch;
        let shapes: Vec<Shape> = sketch
            .turnouts
            .iter()
            .enumerate()
            .map(|(i, t)| {
                let toe = point(left + spread.toe[i], y(sketch.line_of_turnout[i]));
                Shape::new(style, *document[*t].kind, document[*t].normal, toe, sketch.facing[i])
            })
            .collect();
        let mut picture = Picture {
            shapes,
            roads: Vec::new(),
            tracks: sketch.pieces.iter().map(|p| p.track).collect(),
            lines: Vec::new(),
            joints: Vec::new(),
            joint_ways: Vec::new(),
            droppers: Vec::new(),
            ends: Vec::new(),
            frogs: Vec::new(),
        };
        for (i, piece) in sketch.pieces.iter().enumerate() {
            let (from, to) = spread.level[i];
            let row = y(sketch.line_of_piece[i]);
            picture.road(design, part, piece, [point(left + from, row), point(left + to, row)]);
        }
        for i in 0..sketch.turnouts.len() {
            picture.turnout(design, part, i);
        }
        picture.mark_droppers(design, part);
        picture
    }

    fn road(&mut self, design: &Design, part: &Part, piece: &Piece, level: [Point; 2]) {
        let sketch = &part.sketch;
        let number = self.roads.len();
        let (west, east, reversed) = sketch.west_east(piece);
        let mut path = Vec::new();
        // A sloping road begins with a touch of the branch it continues, so that a bend is mitred.
        let port = |shapes: &[Shape], end: End| match end {
            End::Port(t, p) if !is_level(p) => {
                let (heel, way) = shapes[t].port(p);
                vec![heel - way * 0.01, heel]
            }
            _ => Vec::new(),
        };
        path.extend(port(&self.shapes, west));
        path.extend(level);
        path.extend(port(&self.shapes, east).into_iter().rev());
        if reversed {
            path.reverse();
        }
        path.dedup_by(|a, b| a.is_at(*b));
        for side in Side::ALL {
            let d = if side == Side::Left { GAUGE / 2.0 } else { -GAUGE / 2.0 };
            let feed = design.rails.track_feed(piece.track, side);
            self.lines.push(Line {
                points: offset(&path, d),
                stroke: rail_stroke(design, Some(feed)),
                feed: Some(feed),
                rail: rail_name(design, RailPlace::Track(piece.track, side)),
            });
        }
        let last = path.len() - 1;
        for (end, at, inward, at_from) in [
            (piece.from, path[0], path[1.min(last)], true),
            (piece.to, path[last], path[last.saturating_sub(1)], false),
        ] {
            if matches!(end, End::Port(..)) {
                continue;
            }
            let feed = |side: Side| {
                let side = if at_from { side.other() } else { side };
                design.rails.track_feed(piece.track, side)
            };
            let feeds = Side::ALL.map(feed);
            let out = if at.is_at(inward) { vector(1.0, 0.0) } else { (at - inward).unit() };
            self.ends.push(Terminus { end, piece: number, at, out, feeds });
        }
        self.roads.push(path);
    }

    fn turnout(&mut self, design: &Design, part: &Part, i: usize) {
        let id = part.sketch.turnouts[i];
        let turnout = &design.document[id];
        let shape = &self.shapes[i];
        let mut lines: Vec<(Vec<Point>, RailPlace)> = Vec::new();
        for (k, side) in Side::ALL.into_iter().enumerate() {
            lines.push((shape.stock[k].clone(), RailPlace::Stock(id, side)));
        }
        // closure[0] and vee[0] are the right rail of the left branch.
        let roads = Formation::of(turnout).roads();
        let heels = branches(*turnout.kind);
        for (k, side) in [Side::Right, Side::Left].into_iter().enumerate() {
            let road = roads.iter().position(|r| r.to == heels[k]).unwrap_or(0);
            let (closure, vee) = (shape.closure[k].clone(), shape.vee[k].clone());
            match *turnout.frog {
                FrogKind::Live => {
                    lines.push((closure, RailPlace::Frog(id, 0)));
                    lines.push((vee, RailPlace::Frog(id, 0)));
                }
                FrogKind::IsolatedWithWire => {
                    // Bonded to their stock rails; cut short of the frog by the maker.
                    lines.push((shortened(&closure, 3.2), RailPlace::Stock(id, side)));
                    let wing = along(&closure, length(&closure) - 2.2).0;
                    lines.push((vec![wing, shape.frog], RailPlace::Frog(id, 0)));
                    lines.push((vee, RailPlace::Frog(id, 0)));
                }
                FrogKind::Insulated => {
                    lines.push((shortened(&closure, 1.6), RailPlace::Inner(id, road, side)));
                    let mut beyond: Vec<Point> = vee.iter().rev().copied().collect();
                    beyond = shortened(&beyond, 1.6);
                    lines.push((beyond, RailPlace::Inner(id, road, side)));
                }
            }
        }
        let frog = match *turnout.frog {
            FrogKind::Insulated => Stroke::solid(WIRE, Ink::GREY),
            _ => kind_stroke(design, None, WIRE),
        };
        for joint in design.rails.joints.iter().enumerate().filter(|(_, j)| j.turnout == id) {
            let (number, joint) = joint;
            let (at, way) = shape.rail_end(joint.port, joint.side);
            let out = left_of(way) * if joint.side == Side::Left { 1.0 } else { -1.0 };
            self.joints.push(Mark { number, at, out, feed: None });
            self.joint_ways.push(way);
        }
        for (points, place) in lines {
            let feed = rail(design, place).and_then(Rail::feed);
            let stroke = rail_stroke(design, feed);
            self.lines.push(Line { points, stroke, rail: rail_name(design, place), feed });
        }
        self.frogs.push(frog);
    }

    fn mark_droppers(&mut self, design: &Design, part: &Part) {
        for (number, dropper) in design.rails.droppers.iter().enumerate() {
            let Some(rail) = design.rails.rails.get(dropper.rail.0) else { continue };
            let place = match rail.place {
                RailPlace::Track(t, side) => {
                    let Some(p) = part.sketch.pieces.iter().position(|p| p.track == t && p.main) else {
                        continue;
                    };
                    let (at, way) = self.dropper_spot(part, p);
                    let out = left_of(way) * if side == Side::Left { 1.0 } else { -1.0 };
                    Some((at + out * (GAUGE / 2.0), out))
                }
                RailPlace::Stock(t, side) => {
                    let Some(i) = part.sketch.turnouts.iter().position(|u| *u == t) else { continue };
                    let shape = &self.shapes[i];
                    let out = left_of(vector(shape.facing.sign(), 0.0))
                        * if side == Side::Left { 1.0 } else { -1.0 };
                    let at = shape.toe + vector(shape.facing.sign() * TIPS * 0.5, 0.0);
                    Some((at + out * (GAUGE / 2.0), out))
                }
                RailPlace::Frog(..) | RailPlace::Inner(..) => None,
            };
            if let Some((at, out)) = place {
                self.droppers.push(Mark { number, at, out, feed: rail.feed() });
            }
        }
    }

    /// Where a road has its droppers: near the end of its level part, clear of its name.
    fn dropper_spot(&self, part: &Part, piece: usize) -> (Point, Vector) {
        let road = &self.roads[piece];
        let (from, to) = part.spread.level[piece];
        let total = length(road);
        if to - from < 8.0 {
            return along(road, total / 2.0);
        }
        let level = road.windows(2).find(|w| (w[0].y - w[1].y).abs() < 1e-6);
        let Some(level) = level else { return along(road, total / 2.0) };
        let way = (level[1] - level[0]).unit();
        // The west end of the level stretch.
        let west = if way.x > 0.0 { level[0] } else { level[1] };
        // Beside a joint its number comes first.
        let cut =
            self.joints.iter().any(|j| (j.at.x - west.x).abs() < 0.1 && (j.at.y - west.y).abs() < GAUGE);
        let aside: f64 = if cut { 10.0 } else { 7.0 };
        (point(west.x + aside.min((to - from) * 0.4), west.y), way)
    }

    /// Draws the rails and all marks.
    pub fn draw(&self, scene: &mut Scene) {
        for line in &self.lines {
            let points = lengthened(&line.points);
            scene.polyline(points, line.stroke, Role::Rail { rail: line.rail.clone() });
        }
        // Cores last: where two rails meet, neither covers the other's.
        for line in &self.lines {
            if let Some(core) = core(line.stroke, line.feed) {
                scene.polyline(line.points.clone(), core, Role::Decoration);
            }
        }
        for (shape, frog) in self.shapes.iter().zip(&self.frogs) {
            scene.circle(shape.frog, FROG_RADIUS, Some(*frog), None, Role::Symbol);
        }
        for (joint, way) in self.joints.iter().zip(&self.joint_ways) {
            draw_joint(scene, joint.at, *way);
        }
        for d in &self.droppers {
            scene.circle(d.at, DOT, None, Some(Ink::BLACK), Role::Symbol);
        }
        for end in &self.ends {
            draw_end(scene, end);
        }
    }
}

/// Radius of the mark round a frog.
pub const FROG_RADIUS: f64 = 1.5;
/// Radius of a dropper's dot.
pub const DOT: f64 = 0.75;
/// Half the length of a joint's bars.
pub const BAR: f64 = 1.3;

/// The rail is interrupted, and two bars stand across the gap.
fn draw_joint(scene: &mut Scene, at: Point, way: Vector) {
    let across = left_of(way);
    let corner = |u: f64, v: f64| at + way * u + across * v;
    let gap = vec![corner(-0.4, -0.65), corner(-0.4, 0.65), corner(0.4, 0.65), corner(0.4, -0.65)];
    scene.polygon(gap, None, Some(Ink::WHITE), Role::Symbol);
    for u in [-0.45, 0.45] {
        let bar = Stroke::solid(WIRE, Ink::BLACK);
        scene.line(corner(u, -BAR), corner(u, BAR), bar, Role::Symbol);
    }
}

/// Half the width of a buffer stop.
const BUFFER: f64 = GAUGE / 2.0 + 0.9;

fn draw_end(scene: &mut Scene, end: &Terminus) {
    let across = left_of(end.out);
    let corner = |u: f64, v: f64| end.at + end.out * u + across * v;
    match end.end {
        End::Buffer => {
            let pen = Stroke::solid(1.0, Ink::BLACK);
            scene.line(corner(0.3, -BUFFER), corner(0.3, BUFFER), pen, Role::Symbol);
            for v in [-1.0, 1.0] {
                scene.line(corner(0.3, v), corner(-1.0, v), Stroke::solid(WIRE, Ink::BLACK), Role::Symbol);
            }
        }
        End::Off | End::Cut(..) => {
            scene.line(corner(0.8, 0.0), corner(5.0, 0.0), Stroke::solid(WIRE, Ink::BLACK), Role::Symbol);
            let head = vec![corner(6.5, 0.0), corner(4.5, 0.75), corner(4.5, -0.75)];
            scene.polygon(head, None, Some(Ink::BLACK), Role::Symbol);
        }
        End::Port(..) => {}
    }
    for (v, feed) in [(GAUGE / 2.0, end.feeds[0]), (-GAUGE / 2.0, end.feeds[1])] {
        let at = corner(2.2, v);
        let baseline = point(at.x, at.y + lettering::SMALL / 2.0);
        scene.text(baseline, lettering::SMALL, Anchor::Middle, feed.letter());
    }
}

/// A touch longer at both ends, so that no seam shows between two pieces of a rail.
fn lengthened(path: &[Point]) -> Vec<Point> {
    let mut path = path.to_vec();
    let last = path.len().saturating_sub(1);
    if last > 0 {
        let (first, end) = ((path[0] - path[1]).unit(), (path[last] - path[last - 1]).unit());
        path[0] = path[0] + first * 0.1;
        path[last] = path[last] + end * 0.1;
    }
    path
}

fn shortened(path: &[Point], by: f64) -> Vec<Point> {
    let Some((last, before)) = path.split_last() else { return Vec::new() };
    let Some(previous) = before.last() else { return path.to_vec() };
    let run = last.distance(*previous);
    let cut = last.lerp(*previous, (by / run.max(1e-9)).min(1.0));
    before.iter().copied().chain([cut]).collect()
}

fn rail(design: &Design, place: RailPlace) -> Option<&Rail> {
    design.rails.rails.iter().find(|r| r.place == place)
}

fn rail_name(design: &Design, place: RailPlace) -> String {
    rail(design, place).map_or_else(String::new, |r| r.name.clone())
}

/// What the strokes and marks mean, in one row above the drawing, and notes beside the title block.
pub fn legend(design: &Design, page: &mut Page, inner: Rect) {
    let y = inner.min.y + 4.0;
    let mut x = inner.min.x + 1.0;
    let scene = &mut page.scene;
    let palette = &design.wiring.palette;
    let words = |scene: &mut Scene, x: &mut f64, content: String| {
        scene.text(point(*x, y + 0.9), lettering::SMALL, Anchor::Start, content.as_str());
        *x += width(&content, lettering::SMALL, false) + 5.0;
    };
    for feed in Feed::ALL {
        let stroke = rail_stroke(design, Some(feed));
        for pen in [Some(stroke), core(stroke, Some(feed))].into_iter().flatten() {
            scene.line(point(x, y), point(x + 9.0, y), pen, Role::Decoration);
        }
        x += 10.5;
        let colour = palette.colour(track_function(design, Some(feed)));
        words(scene, &mut x, {
            let how = if feed == Feed::A { "plain" } else { "dashed core" };
            format!("feed {}, {how} ({})", feed.letter(), colour_code(colour))
        });
    }
    if design.document.turnouts.iter().any(|t| *t.frog != FrogKind::Insulated) {
        let stroke = rail_stroke(design, None);
        scene.line(point(x, y), point(x + 9.0, y), stroke, Role::Decoration);
        scene.circle(
            point(x + 4.5, y),
            FROG_RADIUS,
            Some(Stroke { width: WIRE, ..stroke }),
            None,
            Role::Decoration,
        );
        x += 10.5;
        let colour = palette.colour(track_function(design, None));
        words(scene, &mut x, format!("frog, heavy; changes with the turnout ({})", colour_code(colour)));
    }
    if !design.rails.joints.is_empty() {
        let rail = Stroke::solid(HEAVY, Ink::GREY);
        scene.line(point(x, y), point(x + 9.0, y), rail, Role::Decoration);
        draw_joint(scene, point(x + 4.5, y), vector(1.0, 0.0));
        x += 10.5;
        words(scene, &mut x, "J insulated joint: cut here".into());
    }
    if !design.rails.droppers.is_empty() {
        let rail = Stroke::solid(HEAVY, Ink::GREY);
        scene.line(point(x, y), point(x + 9.0, y), rail, Role::Decoration);
        scene.circle(point(x + 4.5, y), DOT, None, Some(Ink::BLACK), Role::Decoration);
        x += 10.5;
        words(scene, &mut x, "D dropper, with its feed".into());
    }
    let rule = inner.min.y + 8.0;
    scene.line(
        point(inner.min.x, rule),
        point(inner.max.x, rule),
        Stroke::solid(THIN, Ink::LIGHT),
        Role::Decoration,
    );
    let notes = [
        "Seen from above, not to scale. Blades are drawn with every turnout normal. Left-hand and \
         right-hand are as seen from the toe.",
        "Cut the rail at every J before power is applied: a joint left out is a short circuit.",
    ];
    let (area, scene) = (page.note_area, &mut page.scene);
    if caution_strip(scene, area, &[], &notes).is_err() {
        // The narrowest sheet has room for the second note at least.
        let _ = caution_strip(scene, area, &[], &notes[1..]);
    }
}
