//! Names on the plan, each at the nearest free place.

use super::Part;
use super::paint::{BAR, DOT, FROG_RADIUS, Mark, Picture};
use super::shape::{GAUGE, TIPS};
use super::sketch::End;
use crate::Design;
use crate::draw::place::labels::Line;
use crate::draw::place::offset::{along, left_of, length};
use crate::draw::place::{Label, Placed, Placer};
use crate::draw::scene::Scene;
use crate::draw::sheets::hand;
use crate::draw::text::lettering::{BODY, SMALL};
use crate::geom::{Point, Rect, Vector, point, vector};
use crate::parse::{FrogKind, Port, TurnoutId, TurnoutKind};
use crate::track::Side;

/// Draws all names; those that find no place are left out, see [`fit`].
pub fn draw(
    design: &Design,
    part: &Part,
    picture: &Picture,
    field: Rect,
    elsewhere: &dyn Fn(TurnoutId) -> Option<usize>,
    scene: &mut Scene,
) {
    for placed in place(design, part, picture, field, elsewhere).0 {
        placed.draw(scene);
    }
}

/// Whether every name finds a place.
pub fn fit(design: &Design, part: &Part, picture: &Picture, field: Rect) -> bool {
    // The longest reference to another sheet.
    place(design, part, picture, field, &|_| Some(88)).1
}

fn place(
    design: &Design,
    part: &Part,
    picture: &Picture,
    field: Rect,
    elsewhere: &dyn Fn(TurnoutId) -> Option<usize>,
) -> (Vec<Placed>, bool) {
    let mut placer = Placer::new(field);
    block(picture, &mut placer);
    // What has the fewest places to go comes first.
    let mut labels = joints(picture);
    labels.extend(droppers(picture));
    labels.extend(ends(design, part, picture, elsewhere));
    labels.extend(turnouts(design, part, picture));
    labels.extend(tracks(design, part, picture));
    let wanted = labels.len();
    let placed: Vec<Placed> = labels.into_iter().filter_map(|l| placer.place(l)).collect();
    let all = placed.len() == wanted;
    // Feeds again and again, where there is room.
    let mut placed = placed;
    for label in feeds(design, picture) {
        let spent = |p: &Placed| {
            let near = p.area.inflate(6.0);
            label.anchors.iter().any(|a| near.contains(*a)) && p.says_too(&label)
        };
        if !placed.iter().any(spent) {
            placed.extend(placer.place(label));
        }
    }
    (placed, all)
}

fn block(picture: &Picture, placer: &mut Placer) {
    for line in &picture.lines {
        placer.block_line(&line.points, line.stroke.half_width());
    }
    // No words between the two rails of a road.
    for road in &picture.roads {
        placer.block_line(road, GAUGE / 2.0 - 0.7);
    }
    for shape in &picture.shapes {
        placer.block_line(&shape.left[..2], GAUGE / 2.0 - 0.7);
    }
    let spot = |placer: &mut Placer, at: Point, r: f64| placer.block_box(Rect::around(at, at).inflate(r));
    for shape in &picture.shapes {
        spot(placer, shape.frog, FROG_RADIUS);
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
    design: &Design,
    part: &Part,
    picture: &Picture,
    elsewhere: &dyn Fn(TurnoutId) -> Option<usize>,
) -> Vec<Label> {
    let port_word =
        |t: TurnoutId, p: Port| format!("{} {}", *design.document[t].name, crate::parse::Word::word(p));
    picture
        .ends
        .iter()
        .filter_map(|end| {
            let tip = end.at + end.out * 3.5;
            let piece = &part.sketch.pieces[end.piece];
            let content = match end.end {
                End::Off => "off the layout".to_owned(),
                End::Cut(t, port) => {
                    let track = if piece.main { "" } else { &design.document[piece.track].name };
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
fn tracks(design: &Design, part: &Part, picture: &Picture) -> Vec<Label> {
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
        let mut label = Label::new(&*design.document[piece.track].name.value, BODY, anchors[0]);
        label.anchors = anchors;
        label.gap = 0.9;
        label.near = label.gap + 1.8;
        label.towards = vec![up(), down()];
        labels.push(label);
    }
    labels
}

/// Name, hand and normal road of every turnout; the frog with its own.
fn turnouts(design: &Design, part: &Part, picture: &Picture) -> Vec<Label> {
    let mut labels = Vec::new();
    let many = design.document.boards.len() > 1;
    for (shape, id) in picture.shapes.iter().zip(&part.sketch.turnouts) {
        let t = &design.document[*id];
        let hand = hand(*t.kind);
        // The side away from the diverging road.
        let diverges_up = shape.left[2].y + shape.right[2].y < 2.0 * shape.toe.y - 1e-6;
        let wye = *t.kind == TurnoutKind::Wye;
        let away = if diverges_up { down() } else { up() };
        let sign = shape.facing.sign();
        let at = |u: f64| point(shape.toe.x + sign * u, shape.toe.y);
        let sides = |us: &[f64]| -> Vec<Point> {
            [away, -away].into_iter().flat_map(|side| us.iter().map(move |u| at(*u) + side * EDGE)).collect()
        };
        let anchors = match wye {
            true => sides(&[TIPS * 0.8, 0.0]),
            false => sides(&[TIPS, TIPS + 4.0, TIPS + 2.0, TIPS + 6.0, TIPS * 0.5]),
        };
        let second = match many {
            true => format!("{hand}, {}", *design.document[t.board].name),
            false => hand.to_owned(),
        };
        let third = format!("normal: {}", crate::parse::Word::word(t.normal));
        let mut label = Label::new("", BODY, anchors[0]);
        label.lines =
            vec![line(&*t.name.value, BODY, true), line(second, SMALL, false), line(third, SMALL, false)];
        label.anchors = anchors;
        label.gap = 0.9;
        // Right at the blades, or with a leader to them.
        label.near = label.gap + 0.6;
        label.towards = vec![away, -away];
        labels.push(label);

        let content = match *t.frog {
            FrogKind::Insulated => format!("frog {} insulated", *t.name),
            _ => format!("frog {}", *t.name),
        };
        let mut label = Label::new(content, SMALL, shape.frog);
        label.gap = FROG_RADIUS + 0.5;
        label.towards = vec![vector(sign, 0.0), -away, away];
        labels.push(label);
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
fn feeds(design: &Design, picture: &Picture) -> Vec<Label> {
    let mut labels = Vec::new();
    let mut letter = |feed: crate::track::Feed, anchors: Vec<Point>, out: Vector| {
        let mut label = Label::new(feed.letter(), SMALL, anchors[0]);
        label.anchors = anchors;
        label.gap = 0.9;
        label.reach = 0.0;
        label.towards = vec![out];
        labels.push(label);
    };
    for (j, way) in picture.joints.iter().zip(&picture.joint_ways) {
        let joint = &design.rails.joints[j.number];
        let side = joint.side;
        let track = design.document.tracks.iter().position(|t| {
            [*t.from, *t.to].contains(&crate::parse::TrackEnd::Port(joint.turnout, joint.port))
        });
        let Some(track) = track else { continue };
        // Looking out of the port; the track may run the other way.
        let starts =
            *design.document.tracks[track].from == crate::parse::TrackEnd::Port(joint.turnout, joint.port);
        let side = if starts { side } else { side.other() };
        let feed = design.rails.track_feed(crate::parse::TrackId(track), side);
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
                letter(design.rails.track_feed(*piece, side), anchors.to_vec(), out);
            }
        }
    }
    labels
}
