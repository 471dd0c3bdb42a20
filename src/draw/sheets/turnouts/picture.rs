//! The turnout itself, from above, in its normal position: rails in their feeds, blades, frog,
//! insulated joints.

use super::super::Book;
use super::super::pen::Label;
use super::super::{branches, track_function};
use super::band::{branches_right, small};
use super::columns::Columns;
use crate::circuit::PinRef;
use crate::draw::ink::{ink, rail, solid_ink};
use crate::draw::line::{HEAVY, THIN};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Ink, Role, Stroke};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, point, vector};
use crate::hardware::WireId;
use crate::parse::{Colour, FrogKind, Port, TrackEnd, TurnoutId, TurnoutKind, WireFunction};
use crate::track::{Feed, RailPlace, Side};

/// Half the distance between the rails.
const HALF: f64 = 2.5;
/// Fall of the diverging road.
const SLOPE: f64 = 0.3;
/// From the toe to where the diverging road leaves.
const LEAD: f64 = 5.0;
/// How far an open blade stands off its stock rail.
const OPEN: f64 = 1.0;
/// From the heel back to the insulated joints.
const JOINT: f64 = 7.5;

/// Where the lines of a picture are, with y turned so that the diverging road of a left-hand
/// turnout goes up.
struct Geometry {
    toe: f64,
    heel: f64,
    /// Middle of the toe track.
    middle: f64,
    /// −1 branches up, +1 branches down.
    turn: f64,
    wye: bool,
}

impl Geometry {
    /// y of a road's rail at x. `outer`: the rail on the side to which the turnout branches.
    fn rail(&self, road: Road, outer: bool, x: f64) -> f64 {
        let along = (x - self.toe - LEAD).max(0.0);
        let side = if outer { self.turn * HALF } else { -self.turn * HALF };
        let shift = match (road, self.wye) {
            (Road::Through, false) => 0.0,
            (Road::Branch, false) => self.turn * SLOPE * along,
            (Road::Through, true) => -self.turn * SLOPE / 2.0 * along,
            (Road::Branch, true) => self.turn * SLOPE / 2.0 * along,
        };
        self.middle + side + shift
    }

    fn at(&self, road: Road, outer: bool, x: f64) -> Point {
        point(x, self.rail(road, outer, x))
    }

    /// The frog: the branch's inner rail meets the through road's outer rail.
    fn frog(&self) -> Point {
        let x = self.toe + LEAD + 2.0 * HALF / SLOPE;
        self.at(Road::Through, true, x)
    }

    fn rail_points(&self, road: Road, outer: bool, from: f64, to: f64) -> Vec<Point> {
        let bend = self.toe + LEAD;
        let mut points = vec![self.at(road, outer, from)];
        if from < bend && bend < to {
            points.push(self.at(road, outer, bend));
        }
        points.push(self.at(road, outer, to));
        points
    }
}

/// The road that stays and the road that leaves; of a wye, the right and the left one.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Road {
    Through,
    Branch,
}

/// Draws the picture; `frog_wire` is the wire to the frog and where it starts.
pub(super) fn draw(
    book: &mut Book,
    page: &mut Page,
    cols: &Columns,
    turnout: TurnoutId,
    top: f64,
    frog_wire: Option<(WireId, PinRef, Point)>,
) {
    let spec = book.design.document[turnout].clone();
    let right = branches_right(*spec.kind);
    let wye = *spec.kind == TurnoutKind::Wye;
    let turn = if right { 1.0 } else { -1.0 };
    let g =
        Geometry { toe: cols.toe, heel: cols.heel, middle: top + if right { 15.0 } else { 17.5 }, turn, wye };
    if let Some((id, pin, start)) = frog_wire {
        let frog = g.frog();
        let label_x = start.x + 2.6;
        let label = Label { x: label_x, y: start.y, width: cols.track_bus[0] - label_x - 1.5 };
        let points = vec![start, point(frog.x, start.y), frog];
        book.draw_wire(&mut page.scene, id, points, Some(label));
        book.draw_pin(&mut page.scene, pin, frog);
    }
    let mut p = Picture { book, page, g, turnout };
    p.rails(*spec.frog, spec.normal);
    p.words(right);
}

struct Picture<'b, 'd> {
    book: &'b Book<'d>,
    page: &'b mut Page,
    g: Geometry,
    turnout: TurnoutId,
}

impl Picture<'_, '_> {
    fn feed_colour(&self, feed: Feed) -> Colour {
        self.book.design.wiring.palette.colour(track_function(self.book.design, Some(feed)))
    }

    fn kind(&self) -> TurnoutKind {
        *self.book.design.document[self.turnout].kind
    }

    /// The side of the stock rail that is the outer one (towards the branch), looking from the toe.
    fn outer_side(&self) -> Side {
        if self.g.turn > 0.0 { Side::Right } else { Side::Left }
    }

    fn feed(&self, outer: bool) -> Feed {
        let side = if outer { self.outer_side() } else { self.outer_side().other() };
        self.book.design.rails.stock_feed(self.turnout, side)
    }

    fn line(&mut self, points: Vec<Point>, colour: Colour, name: &str) {
        let feed_b = self.feed_colour(Feed::B);
        let name = format!("{} {name}", *self.book.design.document[self.turnout].name);
        self.page.scene.polyline(points, rail(colour, colour == feed_b, HEAVY), Role::Rail { rail: name });
    }

    fn rails(&mut self, frog: FrogKind, normal: Port) {
        let (toe, heel) = (self.g.toe, self.g.heel);
        let joint = heel - JOINT;
        let frog_at = self.g.frog();
        let outer_colour = self.feed_colour(self.feed(true));
        let inner_colour = self.feed_colour(self.feed(false));
        let frog_colour = self.book.design.wiring.palette.colour(WireFunction::Other);
        let points = self.g.rail_points(Road::Branch, true, toe, heel);
        self.line(points, outer_colour, "outer stock rail");
        let points = self.g.rail_points(Road::Through, false, toe, heel);
        self.line(points, inner_colour, "inner stock rail");

        let through_normal = normal == through_port(self.kind());
        // The through road's outer rail has its blade at the outer stock rail, closed when the
        // through road is set.
        let tip = toe + LEAD + 1.0;
        for (road, outer, closed) in
            [(Road::Through, true, through_normal), (Road::Branch, false, !through_normal)]
        {
            let own = if outer { outer_colour } else { inner_colour };
            let (blade, vee) = match frog {
                FrogKind::Insulated => (own, own),
                FrogKind::Live => (frog_colour, frog_colour),
                FrogKind::IsolatedWithWire => (own, frog_colour),
            };
            let gap = if frog == FrogKind::Live { 0.0 } else { 1.5 };
            let start = tip;
            let mut points = Vec::new();
            let mut first = self.g.at(road, outer, start);
            // Touching, it starts at the stock rail; open, it stands off it.
            let off = if closed { 0.0 } else { OPEN };
            first.y += if outer { -self.g.turn * off } else { self.g.turn * off };
            points.push(first);
            let knee = start + 6.0;
            points.push(self.g.at(road, outer, knee));
            points.push(self.g.at(road, outer, frog_at.x - gap));
            self.line(points, blade, "closure rail");
            let from = frog_at.x + if frog == FrogKind::Insulated { gap } else { 0.0 };
            let to = if frog == FrogKind::Insulated { heel } else { joint };
            let points = self.g.rail_points(road, outer, from, to);
            self.line(points, vee, "frog rail");
            if frog != FrogKind::Insulated {
                let points = self.g.rail_points(road, outer, joint + 1.0, heel);
                self.line(points, own, "heel rail");
            }
        }
        if frog != FrogKind::Insulated {
            let (fill, _) = ink(frog_colour);
            let pen = Stroke::solid(THIN, solid_ink(frog_colour));
            self.page.scene.circle(frog_at, 0.9, Some(pen), Some(fill), Role::Decoration);
        }
        self.joints(joint + 0.5);
    }

    fn joints(&mut self, x: f64) {
        let rails = &self.book.design.rails;
        let turnout = self.turnout;
        let numbered: Vec<(usize, Port)> = rails
            .joints
            .iter()
            .enumerate()
            .filter(|(_, j)| j.turnout == turnout && matches!(rails[j.inside].place, RailPlace::Frog(..)))
            .map(|(i, j)| (i + 1, j.port))
            .collect();
        for (number, port) in numbered {
            let through = port == through_port(self.kind());
            let (road, outer) = if through { (Road::Through, true) } else { (Road::Branch, false) };
            let at = self.g.at(road, outer, x);
            let pen = Stroke::solid(0.35, Ink::BLACK);
            for dx in [-0.5, 0.5] {
                let (a, b) = (at + vector(dx, -1.1), at + vector(dx, 1.1));
                self.page.scene.line(a, b, pen, Role::Decoration);
            }
            // Inside the joint's own road, where there is room; 1.8 mm of lettering stand 0.9 mm
            // above and below the middle of the road.
            let middle = (self.g.rail(road, true, x + 3.2) + self.g.rail(road, false, x + 3.2)) / 2.0;
            let words = format!("J{number}");
            self.page.scene.text(point(x + 3.2, middle + 0.9), lettering::SMALL, Anchor::Middle, words);
        }
    }

    fn words(&mut self, right: bool) {
        let spec = &self.book.design.document[self.turnout];
        let (toe, heel, middle, turn) = (self.g.toe, self.g.heel, self.g.middle, self.g.turn);
        // Letters of the feeds at both ends of every rail.
        for (outer, x, anchor, road) in [
            (true, toe - 1.0, Anchor::End, Road::Branch),
            (false, toe - 1.0, Anchor::End, Road::Through),
            (true, heel + 1.0, Anchor::Start, Road::Branch),
            (false, heel + 1.0, Anchor::Start, Road::Branch),
            (true, heel + 1.0, Anchor::Start, Road::Through),
            (false, heel + 1.0, Anchor::Start, Road::Through),
        ] {
            let y = self.g.rail(road, outer, x.clamp(toe, heel)) + 0.9;
            let letter = self.feed(outer).letter();
            self.page.scene.bold(point(x, y), lettering::SMALL, anchor, letter);
        }
        let hand = super::super::hand(*spec.kind);
        let name = spec.name.value.clone();
        let (name_y, hand_y) =
            if right { (middle + 10.0, middle + 13.5) } else { (middle - 10.0, middle - 6.0) };
        let name = text::fit(&name, lettering::HEADING, true, 26.0).into_owned();
        self.page.scene.bold(point(toe - 3.0, name_y), lettering::HEADING, Anchor::Start, name);
        small(self.page, point(toe - 3.0, hand_y), Anchor::Start, 16.0, hand);
        let through = through_port(*spec.kind);
        let branch = branches(*spec.kind).into_iter().find(|p| *p != through).unwrap_or(through);
        let first = spec.kind.ports()[0];
        let below = |y: f64| if right { y - 1.9 } else { y + 3.2 };
        let edge = middle - turn * HALF;
        let frog_x = self.g.frog().x;
        self.track_name(first, point(toe, below(edge)), Anchor::Start, frog_x - toe - 2.0);
        let through_y = below(self.g.rail(Road::Through, false, heel));
        self.track_name(through, point(heel + 2.5, through_y), Anchor::End, heel - frog_x);
        let branch_x = heel - 8.0;
        let branch_y = self.g.rail(Road::Branch, true, branch_x) + if right { 3.2 } else { -1.2 };
        self.track_name(branch, point(branch_x, branch_y), Anchor::End, heel - frog_x);
    }

    fn track_name(&mut self, port: Port, at: Point, anchor: Anchor, width: f64) {
        let end = TrackEnd::Port(self.turnout, port);
        let track = self.book.design.document.tracks.iter().find(|t| *t.from == end || *t.to == end);
        if let Some(track) = track {
            let name = track.name.value.clone();
            small(self.page, at, anchor, width, &name);
        }
    }
}

/// The port of the road that the picture draws as the one that stays.
fn through_port(kind: TurnoutKind) -> Port {
    let [left, right] = branches(kind);
    if branches_right(kind) { left } else { right }
}
