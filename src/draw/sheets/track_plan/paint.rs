//! Rails, joints, frogs and droppers of one sheet, with their places.

use super::Part;
use super::look::{Look, SET, SHORT};
use super::shape::{GAUGE, Pose, Shape, TIPS, between};
use super::sketch::{End, Piece};
use crate::Design;
use crate::draw::line::{HEAVY, THIN, WIRE};
use crate::draw::page::{Page, caution_strip};
use crate::draw::place::offset::{along, left_of, length, offset};
use crate::draw::scene::{Anchor, Dash, Ink, Role, Scene, Stroke};
use crate::draw::sheets::track_function;
use crate::draw::text::{lettering, width};
use crate::geom::{Point, Rect, Vector, point, vector};
use crate::hardware::colour_code;
use crate::parse::{FrogKind, Port, TrackId};
use crate::track::{Feed, Formation, RailPlace, Side};

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
    pub feeds: [Option<Feed>; 2],
}

/// Everything on one sheet but words.
pub struct Picture {
    pub shapes: Vec<Shape>,
    /// Centre lines of the pieces, from `from` to `to`.
    pub roads: Vec<Vec<Point>>,
    /// The track of each road.
    pub tracks: Vec<TrackId>,
    pub lines: Vec<Line>,
    /// Under the rails: centre lines with their inks.
    pub bands: Vec<(Vec<Point>, Stroke)>,
    /// Across the track where a section ends.
    pub borders: Vec<[Point; 2]>,
    pub joints: Vec<Mark>,
    pub joint_ways: Vec<Vector>,
    pub droppers: Vec<Mark>,
    pub ends: Vec<Terminus>,
    /// For each turnout of the sheet: the ink of each of its frogs.
    pub frogs: Vec<Vec<Stroke>>,
}

/// A band ends so far from the end of the rails, where their feeds are written.
const CLEAR_OF_LETTERS: f64 = 2.4;
/// Half the width of the band under a road.
const BAND: f64 = 2.7;

fn band(ink: Ink) -> Stroke {
    Stroke::solid(2.0 * BAND, ink)
}

/// The dashed core of a rail in feed B: dark on light colours, white on dark ones.
fn core(stroke: Stroke, feed: Option<Feed>) -> Option<Stroke> {
    let ink = if stroke.edge.is_some() { Ink::BLACK } else { Ink::WHITE };
    (feed == Some(Feed::B)).then_some(Stroke { width: 0.42, ink, dash: Dash::Dashed, edge: None })
}

impl Picture {
    pub fn of(look: &Look, part: &Part, field: Rect) -> Picture {
        let (sketch, spread, style) = (&part.sketch, &part.spread, &part.style);
        let document = &look.design.document;
        let tall = spread.rows.saturating_sub(1) as f64 * style.pitch;
        let left = field.min.x + (field.width() - spread.width) / 2.0;
        let top = field.min.y + (field.height() - tall) / 2.0;
        let y = |line: usize| top + spread.row[line] as f64 * style.pitch;
        let shapes: Vec<Shape> = sketch
            .turnouts
            .iter()
            .enumerate()
            .map(|(i, t)| {
                let setting = look.setting(*t);
                let pose = Pose {
                    id: *t,
                    turnout: &document[*t],
                    setting: &setting,
                    across: sketch.across[i],
                    toe: point(left + spread.toe[i], y(sketch.line_of_turnout[i])),
                    facing: sketch.facing[i],
                };
                Shape::new(style, &pose)
            })
            .collect();
        let mut picture = Picture {
            shapes,
            roads: Vec::new(),
            tracks: sketch.pieces.iter().map(|p| p.track).collect(),
            lines: Vec::new(),
            bands: Vec::new(),
            borders: Vec::new(),
            joints: Vec::new(),
            joint_ways: Vec::new(),
            droppers: Vec::new(),
            ends: Vec::new(),
            frogs: Vec::new(),
        };
        for (i, piece) in sketch.pieces.iter().enumerate() {
            let (from, to) = spread.level[i];
            let row = y(sketch.line_of_piece[i]);
            picture.road(look, part, piece, [point(left + from, row), point(left + to, row)]);
        }
        for i in 0..sketch.turnouts.len() {
            picture.turnout(look, part, i);
        }
        picture.mark_borders(look, part);
        // In a setting it is the metal that counts, not where it is soldered.
        if look.state.is_none() {
            picture.mark_droppers(look.design, part);
        }
        picture
    }

    fn road(&mut self, look: &Look, part: &Part, piece: &Piece, level: [Point; 2]) {
        let sketch = &part.sketch;
        let number = self.roads.len();
        let (west, east, reversed) = sketch.west_east(piece);
        let mut path = Vec::new();
        // A sloping road begins with a touch of the branch it continues, so that a bend is mitred.
        let port = |shapes: &[Shape], end: End| match end {
            End::Port(t, p) if !sketch.is_level(t, p) => {
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
            self.line(look, offset(&path, d), RailPlace::Track(piece.track, side));
        }
        if let Some(tint) = look.zone_of_track(piece.track).and_then(|z| look.tint(z)) {
            let spare = |e: End| if matches!(e, End::Port(..)) { 0.0 } else { CLEAR_OF_LETTERS };
            let shown = between(&path, spare(piece.from), length(&path) - spare(piece.to));
            if shown.len() > 1 {
                self.bands.push((shown, band(tint)));
            }
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
                look.track_feed(piece.track, side)
            };
            let feeds = Side::ALL.map(feed);
            let out = if at.is_at(inward) { vector(1.0, 0.0) } else { (at - inward).unit() };
            self.ends.push(Terminus { end, piece: number, at, out, feeds });
        }
        self.roads.push(path);
    }

    /// A rail of the layout, if there is one at that place.
    fn line(&mut self, look: &Look, points: Vec<Point>, place: RailPlace) {
        let Some(id) = look.rail(place) else { return };
        if points.len() < 2 {
            return;
        }
        if look.is_shorted(id) {
            let shown = between(&points, 1.0, length(&points) - 1.0);
            if shown.len() > 1 {
                self.bands.push((shown, Stroke::solid(2.2, SHORT)));
            }
        }
        let rail = look.design.rails[id].name.clone();
        let mut stroke = look.stroke(id);
        if matches!(place, RailPlace::Frog(t, _) if !look.design.document[t].kind.has_toe()) {
            // Many rails lie side by side in a crossing.
            stroke.width = stroke.width.min(0.9);
        }
        self.lines.push(Line { points, stroke, rail, feed: look.feed(id) });
    }

    fn turnout(&mut self, look: &Look, part: &Part, i: usize) {
        let id = part.sketch.turnouts[i];
        let turnout = &look.design.document[id];
        let shape = self.shapes[i].clone();
        if let Some(tint) = look.zone_of_turnout(id).and_then(|z| look.tint(z)) {
            self.bands.extend(shape.roads.iter().map(|road| (road.clone(), band(tint))));
        }
        for road in look.roads_set(id) {
            self.bands.push((shape.roads[road].clone(), band(SET)));
        }
        let frogs = (0..shape.frogs.len()).map(|k| match look.rail(RailPlace::Frog(id, k)) {
            Some(rail) if *turnout.frog != FrogKind::Insulated => {
                let stroke = look.stroke(rail);
                Stroke { width: WIRE, dash: Dash::Solid, ..stroke }
            }
            _ => Stroke::solid(WIRE, Ink::GREY),
        });
        self.frogs.push(frogs.collect());
        for joint in look.design.rails.joints.iter().enumerate().filter(|(_, j)| j.turnout == id) {
            let (number, joint) = joint;
            let (at, way) = shape.rail_end(joint.port, joint.side);
            let out = left_of(way) * if joint.side == Side::Left { 1.0 } else { -1.0 };
            self.joints.push(Mark { number, at, out, feed: None });
            self.joint_ways.push(way);
        }
        for (points, place) in shape.rails {
            self.line(look, points, place);
        }
    }

    /// Where one section ends and another begins.
    fn mark_borders(&mut self, look: &Look, part: &Part) {
        let rails = &look.design.rails;
        for (i, id) in part.sketch.turnouts.iter().enumerate() {
            let shape = &self.shapes[i];
            for port in look.design.document[*id].kind.ports() {
                let parts =
                    rails.joints_at(*id, *port).any(|j| rails[j.inside].zone != rails[j.outside].zone);
                if parts {
                    let (at, way) = shape.port(*port);
                    let at = at + way * 1.7;
                    let reach = left_of(way) * (GAUGE / 2.0 + 1.9);
                    self.borders.push([at + reach, at - reach]);
                }
            }
        }
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
                RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => {
                    let Some(i) = part.sketch.turnouts.iter().position(|u| *u == t) else { continue };
                    let formation = Formation::of(&design.document[t]);
                    outer_end(&formation, rail.place).map(|(port, side)| {
                        let (at, way) = self.shapes[i].rail_end(port, side);
                        let out = left_of(way) * if side == Side::Left { 1.0 } else { -1.0 };
                        (at - way * 3.4, out)
                    })
                }
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
        for (points, stroke) in &self.bands {
            scene.polyline(points.clone(), *stroke, Role::Decoration);
        }
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
        for (shape, frogs) in self.shapes.iter().zip(&self.frogs) {
            for (at, frog) in shape.frogs.iter().zip(frogs) {
                scene.circle(*at, FROG_RADIUS, Some(*frog), None, Role::Symbol);
            }
            // One bar goes without saying.
            if shape.bars.len() > 1 {
                for [a, b] in &shape.bars {
                    scene.line(*a, *b, Stroke::solid(WIRE, Ink::BLACK), Role::Symbol);
                }
            }
        }
        for [a, b] in &self.borders {
            let pen = Stroke { dash: Dash::ChainDotted, ..Stroke::solid(WIRE, Ink::BLACK) };
            scene.line(*a, *b, pen, Role::Symbol);
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
        scene.text(baseline, lettering::SMALL, Anchor::Middle, feed.map_or("–", Feed::letter));
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

/// The end of a turnout where a rail without blades comes out, rather on the outside of a crossing.
fn outer_end(formation: &Formation, place: RailPlace) -> Option<(Port, Side)> {
    match place {
        RailPlace::Frog(_, k) => {
            let ends = [Port::A, Port::B, Port::C, Port::D, Port::Straight, Port::Left, Port::Right];
            let all = ends.into_iter().flat_map(|p| Side::ALL.map(|s| (p, s)));
            let mut found = all.filter(|(p, s)| formation.crossing_at(*p, *s) == Some(k));
            if k < 2 { found.next() } else { found.next_back() }
        }
        RailPlace::Inner(_, road, side) => {
            let spec = formation.roads().get(road)?;
            // Left of a and d, right of b and c is the outside.
            let first = (side == Side::Left) == (spec.from == Port::A);
            Some(if first { (spec.from, side.other()) } else { (spec.to, side) })
        }
        _ => None,
    }
}

/// Height of the legend above the drawing.
pub fn legend_height(look: &Look) -> f64 {
    if look.zones().iter().any(|z| look.zone_words(*z).is_some()) { 2.0 * LEGEND_ROW } else { LEGEND_ROW }
}

const LEGEND_ROW: f64 = 8.0;
/// Length of a sample.
const SAMPLE: f64 = 9.0;

/// One row of the legend.
struct Row<'a> {
    scene: &'a mut Scene,
    x: f64,
    y: f64,
    right: f64,
}

impl Row<'_> {
    /// A sample between its ends, and what it means; nothing if the row is full.
    fn entry(&mut self, words: &str, sample: impl FnOnce(&mut Scene, Point, Point)) {
        let long = width(words, lettering::SMALL, false);
        if self.x + SAMPLE + 1.5 + long > self.right {
            return;
        }
        sample(self.scene, point(self.x, self.y), point(self.x + SAMPLE, self.y));
        self.x += SAMPLE + 1.5;
        self.scene.text(point(self.x, self.y + 0.9), lettering::SMALL, Anchor::Start, words);
        self.x += long + 5.0;
    }
}

/// A band, clear of the words behind it.
fn band_sample(scene: &mut Scene, a: Point, b: Point, ink: Ink) {
    let stroke = Stroke::solid(BAND, ink);
    scene.line(a, b - vector(1.0, 0.0), stroke, Role::Decoration);
}

/// What the strokes and marks mean, above the drawing, and notes beside the title block.
pub fn legend(look: &Look, page: &mut Page, inner: Rect, lost: &[String]) {
    let design = look.design;
    let (left, right) = (inner.min.x + 1.0, inner.max.x - 1.0);
    let scene = &mut page.scene;
    let palette = &design.wiring.palette;
    let mut row = Row { scene: &mut *scene, x: left, y: inner.min.y + 4.0, right };
    for feed in Feed::ALL {
        let colour = palette.colour(track_function(design, Some(feed)));
        let how = if feed == Feed::A { "plain" } else { "dashed core" };
        let words = format!("feed {}, {how} ({})", feed.letter(), colour_code(colour));
        let stroke = look.rail_stroke(Some(feed));
        row.entry(&words, |scene, a, b| {
            for pen in [Some(stroke), core(stroke, Some(feed))].into_iter().flatten() {
                scene.line(a, b, pen, Role::Decoration);
            }
        });
    }
    let grey = |scene: &mut Scene, a: Point, b: Point| {
        scene.line(a, b, Stroke::solid(HEAVY, Ink::GREY), Role::Decoration);
    };
    if design.document.turnouts.iter().any(|t| *t.frog != FrogKind::Insulated) {
        let stroke = look.rail_stroke(None);
        let colour = palette.colour(track_function(design, None));
        let words = match look.state {
            None => format!("frog, heavy; changes with the turnout ({})", colour_code(colour)),
            Some(_) => "frog, heavy, in the feed it has".to_owned(),
        };
        let stroke =
            if look.state.is_some() { Stroke { ink: Ink::GREY, edge: None, ..stroke } } else { stroke };
        row.entry(&words, |scene, a, b| {
            scene.line(a, b, stroke, Role::Decoration);
            let ring = Stroke { width: WIRE, ..stroke };
            scene.circle(a.lerp(b, 0.5), FROG_RADIUS, Some(ring), None, Role::Decoration);
        });
    }
    if look.state.is_some() {
        row.entry("road that is set", |scene, a, b| band_sample(scene, a, b, SET));
        row.entry("dead rail", |scene, a, b| {
            let dead = Stroke { dash: Dash::Dashed, ..Stroke::solid(0.35, Ink::GREY) };
            scene.line(a, b, dead, Role::Decoration);
        });
        if look.state.is_some_and(|s| !s.shorts.is_empty()) {
            row.entry("short", |scene, a, b| {
                scene.line(a, b, Stroke::solid(2.2, SHORT), Role::Decoration);
                grey(scene, a, b);
            });
        }
    }
    if !design.rails.joints.is_empty() {
        row.entry("J insulated joint: cut here", |scene, a, b| {
            grey(scene, a, b);
            draw_joint(scene, a.lerp(b, 0.5), vector(1.0, 0.0));
        });
    }
    if look.state.is_none() && !design.rails.droppers.is_empty() {
        row.entry("D dropper, with its feed", |scene, a, b| {
            grey(scene, a, b);
            scene.circle(a.lerp(b, 0.5), DOT, None, Some(Ink::BLACK), Role::Decoration);
        });
    }
    let mut rule = inner.min.y + LEGEND_ROW;
    if legend_height(look) > LEGEND_ROW {
        row = Row { scene: &mut *scene, x: left, y: rule + 3.0, right };
        rule += LEGEND_ROW - 1.0;
        if look.zones().len() > 1 {
            row.entry("both rails cut: a section ends", |scene, a, b| {
                grey(scene, a, b);
                let (middle, pen) = (a.lerp(b, 0.5), Stroke::solid(WIRE, Ink::BLACK));
                let pen = Stroke { dash: Dash::ChainDotted, ..pen };
                scene.line(middle + vector(0.0, -2.6), middle + vector(0.0, 2.6), pen, Role::Decoration);
            });
        }
        for zone in look.zones() {
            let Some(words) = look.zone_words(zone) else { continue };
            row.entry(&words, |scene, a, b| {
                if let Some(tint) = look.tint(zone) {
                    band_sample(scene, a, b, tint);
                }
                grey(scene, a, b);
            });
        }
    }
    scene.line(
        point(inner.min.x, rule),
        point(inner.max.x, rule),
        Stroke::solid(THIN, Ink::LIGHT),
        Role::Decoration,
    );
    if look.state.is_some() {
        return;
    }
    let missing = format!("Not named for lack of room: {}.", lost.join(", "));
    let mut notes = vec![
        "Seen from above, not to scale. Blades are drawn with every turnout normal. Left-hand and \
         right-hand are as seen from the toe.",
        "Cut the rail at every J before power is applied: a joint left out is a short circuit.",
    ];
    if !lost.is_empty() {
        notes.push(&missing);
    }
    let (area, scene) = (page.note_area, &mut page.scene);
    if caution_strip(scene, area, &[], &notes).is_err() {
        // The narrowest sheet has room for the second note at least.
        let _ = caution_strip(scene, area, &[], &notes[1..]);
    }
}
