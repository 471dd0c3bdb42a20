//! Names on the plan, each at the nearest free place.

use super::Part;
use super::look::Look;
use super::paint::{BAR, DOT, FROG_RADIUS, Mark, Picture};
use super::shape::{GAUGE, Shape};
use super::sketch::End;
use crate::draw::place::labels::Line;
use crate::draw::place::offset::{along, left_of, length};
use crate::draw::place::{Label, Placed, Placer};
use crate::draw::scene::Scene;
use crate::draw::sheets::hand;
use crate::draw::text::lettering::{BODY, SMALL};
use crate::drives::Decider;
use crate::geom::{Point, Rect, Vector, vector};
use crate::parse::{FrogKind, Port, TurnoutId};
use crate::track::{Feed, Formation, RailPlace, Side};

/// Draws all names. Those that find no place are left out and come back; see [`fit`].
pub fn draw(
    look: &Look,
    part: &Part,
    picture: &Picture,
    field: Rect,
    elsewhere: &dyn Fn(TurnoutId) -> Option<usize>,
    scene: &mut Scene,
) -> Vec<String> {
    let mut placer = Placer::new(field);
    block(picture, &mut placer);
    let (mut placed, mut lost) = (Vec::new(), Vec::new());
    for label in names(look, part, picture, elsewhere) {
        let name = label.lines.first().map(|l| l.content.clone());
        match placer.place(label) {
            Some(found) => placed.push(found),
            None => lost.extend(name),
        }
    }
    // Feeds again and again, where there is room.
    for label in feeds(look, picture) {
        let spent = |p: &Placed| p.area.inflate(6.0).contains(label.anchors[0]) && p.says_too(&label);
        if !placed.iter().any(spent) {
            placed.extend(placer.place(label));
        }
    }
    for placed in placed {
        placed.draw(scene);
    }
    lost
}

/// Whether every name finds a place.
pub fn fit(look: &Look, part: &Part, picture: &Picture, field: Rect) -> bool {
    let mut placer = Placer::new(field);
    block(picture, &mut placer);
    // The longest reference to another sheet.
    names(look, part, picture, &|_| Some(88)).into_iter().all(|label| placer.place(label).is_some())
}

/// All names; what has the fewest places to go comes first.
fn names(
    look: &Look,
    part: &Part,
    picture: &Picture,
    elsewhere: &dyn Fn(TurnoutId) -> Option<usize>,
) -> Vec<Label> {
    let mut labels = bars(look, part, picture);
    labels.extend(crossings(look, part, picture));
    labels.extend(joints(picture));
    labels.extend(droppers(picture));
    labels.extend(ends(look, part, picture, elsewhere));
    labels.extend(turnouts(look, part, picture));
    labels.extend(tracks(look, part, picture));
    labels
}

fn block(picture: &Picture, placer: &mut Placer) {
    for line in &picture.lines {
        placer.block_line(&line.points, line.stroke.half_width());
    }
    // No words between the two rails of a road.
    for road in &picture.roads {
        placer.block_line(road, GAUGE / 2.0 - 0.7);
    }
    for road in picture.shapes.iter().flat_map(|s| &s.roads) {
        placer.block_line(road, GAUGE / 2.0 - 0.7);
    }
    for (points, stroke) in &picture.bands {
        placer.block_line(points, stroke.half_width());
    }
    for border in &picture.borders {
        placer.block_line(border, 0.3);
    }
    for bar in picture.shapes.iter().filter(|s| s.bars.len() > 1).flat_map(|s| &s.bars) {
        placer.block_line(bar, 0.2);
    }
    let spot = |placer: &mut Placer, at: Point, r: f64| placer.block_box(Rect::around(at, at).inflate(r));
    for frog in picture.shapes.iter().flat_map(|s| &s.frogs) {
        spot(placer, *frog, FROG_RADIUS);
    }
    for j in &picture.joints {
        spot(placer, j.at, BAR - 0.1);
    }
    for d in &picture.droppers {
        spot(placer, d.at, DOT);
    }
    for end in &picture.ends {
        let across = left_of(end.out) * (GAUGE / 2.0 + 1.4);
        let depth = if end.end == End::Buffer { 3.4 } else { 7.0 };
        placer.block_box(Rect::around(end.at - across, end.at + across + end.out * depth));
    }
}

/// From the middle of a road to just outside its rails.
const EDGE: f64 = GAUGE / 2.0 + 0.45;

fn line(content: impl Into<String>, height: f64, bold: bool) -> Line {
    Line::new(content, height, bold)
}

fn up() -> Vector {
    vector(0.0, -1.0)
}

fn down() -> Vector {
    vector(0.0, 1.0)
}

fn ends(
    look: &Look,
    part: &Part,
    picture: &Picture,
    elsewhere: &dyn Fn(TurnoutId) -> Option<usize>,
) -> Vec<Label> {
    let port_word =
        |t: TurnoutId, p: Port| format!("{} {}", *look.design.document[t].name, crate::parse::Word::word(p));
    picture
        .ends
        .iter()
        .filter_map(|end| {
            let tip = end.at + end.out * 3.5;
            let piece = &part.sketch.pieces[end.piece];
            let content = match end.end {
                End::Off => "off the layout".to_owned(),
                End::Cut(t, port) => {
                    let track = if piece.main { "" } else { &look.design.document[piece.track].name };
                    let to = match elsewhere(t) {
                        Some(n) => format!("to {}, part {n}", port_word(t, port)),
                        None => format!("to {}", port_word(t, port)),
                    };
                    if track.is_empty() { to } else { format!("{track} {to}") }
                }
                End::Buffer | End::Port(..) => return None,
            };
            let mut label = Label::new(content, SMALL, tip);
            label.gap = GAUGE / 2.0 + 1.8;
            label.near = label.gap + 4.0;
            label.towards = vec![end.out, up(), down()];
            Some(label)
        })
        .collect()
}

/// Every track's name once, along its road.
fn tracks(look: &Look, part: &Part, picture: &Picture) -> Vec<Label> {
    let mut labels = Vec::new();
    for (i, piece) in part.sketch.pieces.iter().enumerate().filter(|(_, p)| p.main) {
        let road = &picture.roads[i];
        let (from, to) = part.spread.level[i];
        let total = length(road);
        let level = road.windows(2).find(|w| (w[0].y - w[1].y).abs() < 1e-6 && to - from > 8.0);
        // Right of the droppers if there is room.
        const LEVEL: [f64; 12] = [0.55, 0.6, 0.5, 0.65, 0.45, 0.7, 0.4, 0.75, 0.35, 0.8, 0.3, 0.85];
        let spots: Vec<(Point, Vector)> = match level {
            Some(w) => {
                let (west, east) = if w[0].x < w[1].x { (w[0], w[1]) } else { (w[1], w[0]) };
                LEVEL.iter().map(|t| (west.lerp(east, *t), vector(1.0, 0.0))).collect()
            }
            None => {
                let eastward = |(p, way): (Point, Vector)| (p, if way.x < 0.0 { -way } else { way });
                [0.5, 0.4, 0.6, 0.3, 0.7].map(|t| eastward(along(road, total * t))).to_vec()
            }
        };
        // Above the road, then below it.
        let anchors: Vec<Point> = [EDGE, -EDGE]
            .into_iter()
            .flat_map(|side| spots.iter().map(move |(p, way)| *p + left_of(*way) * side))
            .collect();
        let mut label = Label::new(&*look.design.document[piece.track].name.value, BODY, anchors[0]);
        if let Some(zone) = look.zone_of_track(piece.track).and_then(|z| look.zone_words(z)) {
            label.lines.push(line(zone, SMALL, false));
        }
        label.anchors = anchors;
        label.gap = 0.9;
        label.near = label.gap + 1.8;
        label.towards = vec![up(), down()];
        labels.push(label);
    }
    labels
}

/// Name, hand and normal road of every turnout; the frogs with their own.
fn turnouts(look: &Look, part: &Part, picture: &Picture) -> Vec<Label> {
    let mut labels = Vec::new();
    let many = look.design.document.boards.len() > 1;
    for (shape, id) in picture.shapes.iter().zip(&part.sketch.turnouts) {
        let t = &look.design.document[*id];
        let mut label = Label::new("", BODY, shape.toe);
        let mut second = hand(*t.kind).to_owned();
        if *t.frog == FrogKind::Insulated && Formation::of(t).crossings().len() > 1 {
            second += ", insulated frogs";
        }
        if many {
            second += &format!(", {}", *look.design.document[t.board].name);
        }
        label.lines = vec![line(&*t.name.value, BODY, true), line(second, SMALL, false)];
        label.lines.extend(lies(look, *id).map(|words| line(words, SMALL, false)));
        label.anchors = shape.beside.iter().map(|(p, _)| *p).collect();
        label.gap = 0.9;
        // Right at the blades, or with a leader to them.
        label.near = label.gap + 0.6;
        label.towards = shape.beside.first().map_or(Vec::new(), |(_, out)| vec![*out, -*out]);
        labels.push(label);
        if shape.frogs.len() == 1 {
            labels.extend(frogs(look, shape, *id));
        }
    }
    labels
}

/// The road that is normal, or set. A crossing without blades lies still.
fn lies(look: &Look, id: TurnoutId) -> Option<String> {
    let t = &look.design.document[id];
    let formation = Formation::of(t);
    if look.state.is_none() {
        let normal = if formation.has_toe() {
            crate::parse::Word::word(t.normal).to_owned()
        } else {
            let setting = look.setting(id);
            let roads = formation.roads_at(&setting).into_iter().map(|r| formation.roads()[r].name());
            roads.collect::<Vec<_>>().join(", ")
        };
        return (formation.bars() > 0).then(|| format!("normal: {normal}"));
    }
    let roads: Vec<String> = look.roads_set(id).into_iter().map(|r| formation.roads()[r].name()).collect();
    Some(if roads.is_empty() { "no road is set".into() } else { format!("set: {}", roads.join(", ")) })
}

/// Frogs that lie close together.
fn crossings(look: &Look, part: &Part, picture: &Picture) -> Vec<Label> {
    let turnouts = picture.shapes.iter().zip(&part.sketch.turnouts).filter(|(s, _)| s.frogs.len() > 1);
    turnouts.flat_map(|(shape, id)| frogs(look, shape, *id)).collect()
}

fn frogs(look: &Look, shape: &Shape, id: TurnoutId) -> Vec<Label> {
    let t = &look.design.document[id];
    let formation = Formation::of(t);
    let sign = shape.facing.sign();
    let out = shape.beside.first().map_or(up(), |(_, out)| *out);
    let label = |(k, at): (usize, &Point)| {
        let mut content = match formation.crossings() {
            [one] => format!("{one} {}", *t.name),
            many => format!("{} {}", *t.name, many[k]),
        };
        let rail = look.rail(RailPlace::Frog(id, k)).filter(|_| *t.frog != FrogKind::Insulated);
        match rail {
            None if formation.crossings().len() == 1 => content += " insulated",
            None => {}
            Some(rail) if look.state.is_some() => {
                content += &format!(": {}", look.pole_words(look.pole(rail)))
            }
            Some(_) => {}
        }
        let mut label = Label::new(content, SMALL, *at);
        label.gap = FROG_RADIUS + 0.5;
        label.towards = match formation.crossings().len() {
            1 => vec![vector(sign, 0.0), -out, out],
            // Away from the axis.
            _ if at.y < shape.toe.y - 0.1 => vec![up(), vector(sign, 0.0), down()],
            _ => vec![down(), vector(sign, 0.0), up()],
        };
        label
    };
    shape.frogs.iter().enumerate().map(label).collect()
}

/// The tie bars of turnouts that have several.
fn bars(look: &Look, part: &Part, picture: &Picture) -> Vec<Label> {
    let mut labels = Vec::new();
    for (shape, id) in picture.shapes.iter().zip(&part.sketch.turnouts) {
        if shape.bars.len() < 2 {
            continue;
        }
        for (i, (bar, [a, b])) in look.design.document.bars_of(*id).zip(&shape.bars).enumerate() {
            // Left and right of the turnout there is room for one each.
            let (a, b) = if i == 0 { (a, b) } else { (b, a) };
            let mut content = look.design.document[bar].name.clone();
            if let Some(state) = look.state {
                content += &format!(" {}", state.position(Decider::Bar(bar)).word());
            }
            let mut label = Label::new(content, SMALL, *a);
            label.anchors = vec![*a, *b];
            label.gap = 0.8;
            label.towards = vec![(*a - *b).unit(), (*b - *a).unit()];
            labels.push(label);
        }
    }
    labels
}

fn joints(picture: &Picture) -> Vec<Label> {
    let marks = picture.joints.iter().zip(&picture.joint_ways);
    let label = |(j, way): (&Mark, &Vector)| {
        let mut label = Label::new(format!("J{}", j.number + 1), SMALL, j.at);
        label.gap = BAR + 0.4;
        // Into the angle between the two roads, then away from it.
        let level = vector(way.x.signum(), 0.0);
        label.towards = vec![(*way + j.out).unit(), (level + j.out * 0.7).unit(), j.out, -j.out];
        label
    };
    marks.map(label).collect()
}

fn droppers(picture: &Picture) -> Vec<Label> {
    let label = |d: &Mark| {
        let feed = d.feed.map_or("", |f| f.letter());
        let mut label = Label::new(format!("D{} {feed}", d.number + 1), SMALL, d.at);
        label.gap = DOT + 0.6;
        let aside = |x: f64| (d.out + vector(x, 0.0)).unit();
        label.towards = vec![d.out, aside(-0.5), aside(0.5), aside(-1.0), aside(1.0)];
        label
    };
    picture.droppers.iter().map(label).collect()
}

/// How far apart a feed is told again, in millimetres of paper.
const AGAIN: f64 = 40.0;

/// The feed of every rail: behind each joint, and again along the road.
fn feeds(look: &Look, picture: &Picture) -> Vec<Label> {
    let mut labels = Vec::new();
    let mut letter = |feed: Option<Feed>, anchors: Vec<Point>, out: Vector| {
        let Some(feed) = feed else { return };
        let mut label = Label::new(feed.letter(), SMALL, anchors[0]);
        label.anchors = anchors;
        label.gap = 1.3;
        label.reach = 0.0;
        label.towards = vec![out];
        labels.push(label);
    };
    for (j, way) in picture.joints.iter().zip(&picture.joint_ways) {
        let joint = &look.design.rails.joints[j.number];
        let side = joint.side;
        let track = look.design.document.tracks.iter().position(|t| {
            [*t.from, *t.to].contains(&crate::parse::TrackEnd::Port(joint.turnout, joint.port))
        });
        let Some(track) = track else { continue };
        // Looking out of the port; the track may run the other way.
        let starts = *look.design.document.tracks[track].from
            == crate::parse::TrackEnd::Port(joint.turnout, joint.port);
        let side = if starts { side } else { side.other() };
        let feed = look.track_feed(crate::parse::TrackId(track), side);
        let anchors = [5.0, 4.0, 6.5, 3.0, 8.0].map(|u| j.at + *way * u);
        letter(feed, anchors.to_vec(), j.out);
    }
    for (road, piece) in picture.roads.iter().zip(&picture.tracks) {
        let total = length(road);
        let count = (total / AGAIN).ceil().max(1.0);
        for k in 0..count as usize {
            for side in Side::ALL {
                let sign = if side == Side::Left { 1.0 } else { -1.0 };
                let middle = total * (k as f64 + 0.5) / count;
                let spots = [0.0, -4.0, 4.0, -8.0, 8.0].map(|u| along(road, (middle + u).clamp(0.0, total)));
                let out = left_of(spots[0].1) * sign;
                let anchors = spots.map(|(at, way)| at + left_of(way) * (sign * GAUGE / 2.0));
                letter(look.track_feed(*piece, side), anchors.to_vec(), out);
            }
        }
    }
    labels
}
