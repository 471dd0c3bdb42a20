//! The turnout itself, from above, with all its bars normal: rails in their feeds, blades, frogs,
//! insulated joints. Toe, or ends a and c, at the left.

use super::super::{Book, hand, track_function};
use super::band::small;
use crate::draw::ink::{ink, rail, solid_ink};
use crate::draw::line::{HEAVY, THIN};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, Rect, point, vector};
use crate::parse::{Colour, FrogKind, Port, TrackEnd, TurnoutId, TurnoutKind, WireFunction, Word};
use crate::track::{Feed, Formation, Position, RailPlace, Side};

/// Half the distance between the rails.
const HALF: f64 = 2.5;
/// Fall of the diverging road.
const SLOPE: f64 = 0.3;
/// From the toe to where the diverging road leaves.
const LEAD: f64 = 5.0;
/// How far an open blade stands off its stock rail.
const OPEN: f64 = 1.0;
/// Half the length of a slip road.
const SLIP: f64 = 5.5;
/// From the middle of a diamond to its joints, if there is room.
const ACROSS: f64 = 13.25;

/// Where the lines of a picture are. y runs down: the left road of a turnout goes up.
#[derive(Clone, Copy)]
pub(super) struct Shape {
    formation: Formation,
    kind: TurnoutKind,
    toe: f64,
    heel: f64,
    middle: f64,
}

impl Shape {
    pub fn of(book: &Book, turnout: TurnoutId, (toe, heel): (f64, f64), middle: f64) -> Shape {
        let spec = &book.design.document[turnout];
        Shape { formation: Formation::of(spec), kind: *spec.kind, toe, heel, middle }
    }

    fn fans(&self) -> bool {
        self.formation.has_toe()
    }

    fn slope(&self, road: usize) -> f64 {
        let of = |slopes: &[f64]| slopes.get(road).copied().unwrap_or(0.0);
        match self.kind {
            TurnoutKind::Left => of(&[0.0, -SLOPE]),
            TurnoutKind::Right => of(&[0.0, SLOPE]),
            TurnoutKind::Wye => of(&[-SLOPE / 2.0, SLOPE / 2.0]),
            TurnoutKind::CurvedLeft => of(&[-0.06, -0.06 - 0.27]),
            TurnoutKind::CurvedRight => of(&[0.06, 0.06 + 0.27]),
            TurnoutKind::ThreeWay => of(&[0.0, -SLOPE, SLOPE]),
            TurnoutKind::Diamond | TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip => of(&[SLOPE, -SLOPE]),
        }
    }

    /// Where the roads part, or cross.
    fn bend(&self) -> f64 {
        if self.fans() { self.toe + LEAD } else { self.centre() }
    }

    fn centre(&self) -> f64 {
        (self.toe + self.heel) / 2.0
    }

    fn along(&self, x: f64) -> f64 {
        let along = x - self.bend();
        if self.fans() { along.max(0.0) } else { along }
    }

    /// The middle of a road at x.
    fn axis(&self, road: usize, x: f64) -> f64 {
        self.middle + self.slope(road) * self.along(x)
    }

    fn rail(&self, road: usize, side: Side, x: f64) -> Point {
        point(x, self.axis(road, x) + off(side))
    }

    fn rail_points(&self, road: usize, side: Side, from: f64, to: f64) -> Vec<Point> {
        let bend = self.bend();
        let mut points = vec![self.rail(road, side, from)];
        if self.fans() && from < bend && bend < to {
            points.push(self.rail(road, side, bend));
        }
        points.push(self.rail(road, side, to));
        points
    }

    /// A frog: where two rails cross.
    pub fn frog(&self, crossing: usize) -> Point {
        let through = self.formation.through(crossing);
        let [(r, s), (q, t), ..] = through.as_slice() else { return point(self.bend(), self.middle) };
        let fall = self.slope(*r) - self.slope(*q);
        let along = if fall.abs() > 1e-6 { (off(*t) - off(*s)) / fall } else { 0.0 };
        self.rail(*r, *s, self.bend() + along)
    }

    /// The straight road at a port and whether the port is its far end.
    fn road_at(&self, port: Port) -> (usize, bool) {
        let road = self.formation.roads_of(port).find(|r| self.fans() || self.formation.leads_across(*r));
        let road = road.unwrap_or(0);
        (road, self.formation.roads()[road].to == port)
    }

    /// The rail on one side of a port, looking outward.
    fn port_rail(&self, port: Port, outward: Side) -> (usize, Side) {
        if port == Port::Toe {
            // The outermost rails are the stock rails.
            let branches = self.formation.branches();
            let outer = if outward == Side::Right { branches.first() } else { branches.last() };
            let road = outer.map_or(0, |p| self.road_at(*p).0);
            return (road, outward.other());
        }
        let (road, far) = self.road_at(port);
        (road, if far { outward } else { outward.other() })
    }

    fn end_x(&self, port: Port) -> f64 {
        if port == Port::Toe || !self.road_at(port).1 { self.toe } else { self.heel }
    }

    fn is_slip(&self, road: usize) -> bool {
        !self.fans() && !self.formation.leads_across(road)
    }
}

fn off(side: Side) -> f64 {
    if side == Side::Left { -HALF } else { HALF }
}

/// What a picture shows beside the turnout itself.
pub(super) struct Caption {
    pub name: String,
    /// Room for the name.
    pub width: f64,
    /// Of a diamond: the name stands below it.
    pub below: bool,
    /// The bar of the band, by its place in the formation.
    pub bar: Option<usize>,
}

pub(super) fn draw(book: &Book, page: &mut Page, shape: Shape, turnout: TurnoutId, caption: &Caption) {
    let mut p = Picture { book, page, g: shape, turnout, joint: 7.5 };
    let two = p.ports().iter().any(|port| p.joints_at(*port).len() > 1);
    p.joint = match shape.fans() {
        true if two => 10.0,
        true => 7.5,
        false => (shape.heel - shape.centre() - ACROSS).max(5.0),
    };
    p.rails();
    p.bars(caption.bar);
    p.frogs();
    p.joints();
    p.words(caption);
}

struct Picture<'b, 'd> {
    book: &'b Book<'d>,
    page: &'b mut Page,
    g: Shape,
    turnout: TurnoutId,
    /// From the heel back to the insulated joints.
    joint: f64,
}

impl Picture<'_, '_> {
    fn ports(&self) -> &'static [Port] {
        self.g.kind.ports()
    }

    fn frog_kind(&self) -> FrogKind {
        *self.book.design.document[self.turnout].frog
    }

    fn feed(&self, road: usize, side: Side) -> Feed {
        self.book.design.rails.road_feed(&self.book.design.document, self.turnout, road, side)
    }

    fn feed_colour(&self, feed: Feed) -> Colour {
        self.book.design.wiring.palette.colour(track_function(self.book.design, Some(feed)))
    }

    fn frog_colour(&self) -> Colour {
        self.book.design.wiring.palette.colour(WireFunction::Other)
    }

    /// Whether a crossing has a feed of its own that changes.
    fn is_fed(&self, crossing: usize) -> bool {
        let rails = &self.book.design.rails;
        rails.frogs_of(self.turnout).any(|f| rails[f].crossing == crossing)
    }

    fn line(&mut self, points: Vec<Point>, colour: Colour, name: &str) {
        let feed_b = self.feed_colour(Feed::B);
        let name = format!("{} {name}", *self.book.design.document[self.turnout].name);
        self.page.scene.polyline(points, rail(colour, colour == feed_b, HEAVY), Role::Rail { rail: name });
    }

    fn rails(&mut self) {
        for road in 0..self.g.formation.roads().len() {
            for side in Side::ALL {
                let own = self.feed_colour(self.feed(road, side));
                if self.g.is_slip(road) {
                    self.slip_rail(road, side, own);
                } else if !self.g.fans() {
                    self.crossing_rail(road, side, own);
                } else if self.g.formation.roads()[road].rail(side).is_empty() {
                    let points = self.g.rail_points(road, side, self.g.toe, self.g.heel);
                    self.line(points, own, "stock rail");
                } else {
                    self.closure_rail(road, side, own);
                }
            }
        }
    }

    /// From its blade over its frogs to the heel.
    fn closure_rail(&mut self, road: usize, side: Side, own: Colour) {
        let (frog, frog_colour) = (self.frog_kind(), self.frog_colour());
        let blade = self.g.formation.blades().find(|b| (b.road, b.side) == (road, side));
        let closed = blade.is_some_and(|b| b.position == Position::Normal);
        let mut frogs: Vec<f64> =
            self.g.formation.roads()[road].rail(side).iter().map(|c| self.g.frog(*c).x).collect();
        frogs.sort_by(f64::total_cmp);
        let (Some(first), Some(last)) = (frogs.first().copied(), frogs.last().copied()) else { return };
        let joint = self.g.heel - self.joint;
        let gap = if frog == FrogKind::Live { 0.0 } else { 1.5 };
        let live = if frog == FrogKind::Live { frog_colour } else { own };
        // Touching, the blade starts at the stock rail; open, it stands off it.
        let tip = self.g.toe + LEAD + 1.0;
        let mut start = self.g.rail(road, side, tip);
        start.y += if closed { 0.0 } else { -OPEN * off(side).signum() };
        let knee = self.g.rail(road, side, tip + 6.0);
        self.line(vec![start, knee, self.g.rail(road, side, first - gap)], live, "closure rail");
        for pair in frogs.windows(2) {
            let points = self.g.rail_points(road, side, pair[0] + gap, pair[1] - gap);
            self.line(points, live, "closure rail");
        }
        if frog == FrogKind::Insulated {
            let points = self.g.rail_points(road, side, last + gap, self.g.heel);
            self.line(points, own, "frog rail");
        } else {
            let points = self.g.rail_points(road, side, last, joint);
            self.line(points, frog_colour, "frog rail");
            let points = self.g.rail_points(road, side, joint + 1.0, self.g.heel);
            self.line(points, own, "heel rail");
        }
    }

    /// Straight across a diamond; the pieces of its frogs in their own colour.
    fn crossing_rail(&mut self, road: usize, side: Side, own: Colour) {
        let g = self.g;
        let (left, right) = (g.toe + self.joint, g.heel - self.joint);
        let mut cuts: Vec<(f64, f64)> = Vec::new();
        for crossing in g.formation.roads()[road].rail(side).iter().filter(|c| self.is_fed(**c)) {
            let x = g.frog(*crossing).x;
            cuts.push(if x < g.centre() - 1.0 {
                (left, x + 2.0)
            } else if x > g.centre() + 1.0 {
                (x - 2.0, right)
            } else {
                (x - 2.5, x + 2.5)
            });
        }
        cuts.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut from = g.toe;
        let frog_colour = self.frog_colour();
        for (a, b) in cuts {
            self.line(g.rail_points(road, side, from, a - 0.5), own, "rail");
            self.line(g.rail_points(road, side, a + 0.5, b - 0.3), frog_colour, "frog");
            from = b + 0.7;
        }
        self.line(g.rail_points(road, side, from, g.heel), own, "rail");
    }

    /// A slip road runs level between the two straight roads; an open blade ends short of them.
    fn slip_rail(&mut self, road: usize, side: Side, own: Colour) {
        let upper = self.g.formation.roads()[road].from == Port::A;
        let y = self.g.middle + off(side) + if upper { -1.0 } else { 1.0 } * SLOPE * SLIP;
        let setting = self.g.formation.setting(road);
        let short = |bar: usize| match setting.get(bar) {
            Some(Position::Normal) => 0.0,
            _ => 1.6,
        };
        let middle = self.g.centre();
        let (a, b) = (point(middle - SLIP + short(0), y), point(middle + SLIP - short(1), y));
        self.line(vec![a, b], own, "slip rail");
    }

    /// The tie bars of a turnout with two; that of the band is heavy and bears its name.
    fn bars(&mut self, own: Option<usize>) {
        let names = self.g.kind.bars();
        if names.len() < 2 {
            return;
        }
        for (i, name) in names.iter().enumerate() {
            let fans = self.g.fans();
            let (x, reach) = if fans {
                (self.g.toe + LEAD + 2.0 + 3.0 * i as f64, HALF + 2.0)
            } else {
                let reach = SLOPE * SLIP + HALF + 1.2;
                (self.g.centre() + if i == 0 { -1.0 } else { 1.0 } * (SLIP - 1.0), reach)
            };
            // Where it is driven: the left one above, the right one below.
            let below = fans && i == 1;
            let handle = self.g.middle + if below { reach } else { -reach };
            let (a, b) = (point(x, self.g.middle - reach), point(x, self.g.middle + reach));
            let mine = own == Some(i);
            let pen = if mine {
                Stroke::solid(0.35, Ink::BLACK)
            } else {
                Stroke { dash: Dash::Dashed, ..Stroke::solid(THIN, Ink::GREY) }
            };
            self.page.scene.line(a, b, pen, Role::Decoration);
            if mine {
                let square = Rect::new(x - 0.6, handle - 0.6, 1.2, 1.2);
                self.page.scene.rect(square, None, Some(Ink::BLACK), Role::Decoration);
                let y = if below { handle + 2.9 } else { handle - 1.0 };
                self.page.scene.bold(point(x, y), lettering::SMALL, Anchor::Middle, *name);
            }
        }
    }

    fn frogs(&mut self) {
        let (fill, _) = ink(self.frog_colour());
        let pen = Stroke::solid(THIN, solid_ink(self.frog_colour()));
        for crossing in 0..self.g.formation.crossings().len() {
            if self.is_fed(crossing) {
                self.page.scene.circle(self.g.frog(crossing), 0.9, Some(pen), Some(fill), Role::Decoration);
            }
        }
    }

    /// Joints at a port: number, side looking outward.
    fn joints_at(&self, port: Port) -> Vec<(usize, Side)> {
        let rails = &self.book.design.rails;
        let of = |(i, j): (usize, &crate::track::Joint)| {
            let frog = matches!(rails[j.inside].place, RailPlace::Frog(..));
            let border = rails[j.inside].zone != rails[j.outside].zone;
            let here = j.turnout == self.turnout && j.port == port && (frog || border);
            here.then_some((i + 1, j.side))
        };
        rails.joints.iter().enumerate().filter_map(of).collect()
    }

    fn joints(&mut self) {
        for port in self.ports() {
            let found = self.joints_at(*port);
            let at_toe = self.g.end_x(*port) == self.g.toe;
            let x = match (at_toe, self.g.fans()) {
                (true, true) => self.g.toe + 0.8,
                (true, false) => self.g.toe + self.joint,
                (false, true) => self.g.heel - self.joint + 0.5,
                (false, false) => self.g.heel - self.joint,
            };
            for (_, outward) in &found {
                let (road, side) = self.g.port_rail(*port, *outward);
                let at = self.g.rail(road, side, x);
                let pen = Stroke::solid(0.35, Ink::BLACK);
                for dx in [-0.5, 0.5] {
                    let (a, b) = (at + vector(dx, -1.1), at + vector(dx, 1.1));
                    self.page.scene.line(a, b, pen, Role::Decoration);
                }
            }
            // Inside the joint's own road, where there is room; 1.8 mm of lettering stand 0.9 mm
            // above and below the middle of the road.
            let words: Vec<String> = found.iter().map(|(n, _)| format!("J{n}")).collect();
            if words.is_empty() {
                continue;
            }
            let road = self.g.road_at(*port).0;
            if !at_toe && self.g.fans() && words.len() > 1 {
                // One by one, as the road slopes.
                for (i, word) in words.into_iter().enumerate() {
                    let at = x + 2.9 + 4.0 * i as f64;
                    let y = self.g.axis(road, at) + 0.9;
                    self.page.scene.text(point(at, y), lettering::SMALL, Anchor::Middle, word);
                }
                continue;
            }
            // At a toe there is room for "J6/7" only.
            let words = if *port == Port::Toe { words.join("/").replace("/J", "/") } else { words.join(" ") };
            let width = text::width(&words, lettering::SMALL, false);
            let middle = match (at_toe, self.g.fans()) {
                (true, true) => x + 0.9 + width / 2.0,
                (true, false) => (self.g.toe + x - 0.8) / 2.0,
                (false, true) => x + 3.2,
                (false, false) => (self.g.heel + x + 0.8) / 2.0,
            };
            let y = if *port == Port::Toe { self.g.middle } else { self.g.axis(road, middle) };
            self.page.scene.text(point(middle, y + 0.9), lettering::SMALL, Anchor::Middle, words);
        }
    }

    fn words(&mut self, caption: &Caption) {
        let (toe, heel, middle) = (self.g.toe, self.g.heel, self.g.middle);
        // Letters of the feeds at both ends of every rail; ends of a diamond bear their names too.
        for port in self.ports() {
            let x = self.g.end_x(*port);
            let (x_text, anchor) =
                if x == toe { (toe - 1.0, Anchor::End) } else { (heel + 1.0, Anchor::Start) };
            for outward in Side::ALL {
                let (road, side) = self.g.port_rail(*port, outward);
                let y = self.g.rail(road, side, x).y + 0.9;
                let letter = self.feed(road, side).letter();
                self.page.scene.bold(point(x_text, y), lettering::SMALL, anchor, letter);
            }
            if !self.g.fans() {
                let y = self.g.axis(self.g.road_at(*port).0, x) + 0.9;
                self.page.scene.text(point(x_text, y), lettering::SMALL, anchor, port.word());
            }
        }
        let low = self.leads_down();
        let (name_y, hand_y) = match self.g.kind {
            TurnoutKind::ThreeWay => (middle - 13.5, middle - 10.0),
            _ if !self.g.fans() && caption.below => (middle + 17.0, middle + 17.0),
            _ if !self.g.fans() => (middle - 13.0, middle - 13.0),
            _ if low => (middle + 10.0, middle + 13.5),
            _ => (middle - 10.0, middle - 6.0),
        };
        let fits = text::width(&caption.name, lettering::HEADING, true) <= caption.width;
        let size = if fits { lettering::HEADING } else { lettering::BODY };
        let name = text::fit(&caption.name, size, true, caption.width).into_owned();
        let beside = text::width(&name, size, true) + 1.5;
        self.page.scene.bold(point(toe - 3.0, name_y), size, Anchor::Start, name);
        let words = hand(self.g.kind);
        if self.g.fans() {
            small(self.page, point(toe - 3.0, hand_y), Anchor::Start, 16.0, words);
        } else if caption.width > beside + 8.0 {
            let at = point(toe - 3.0 + beside, hand_y);
            small(self.page, at, Anchor::Start, caption.width - beside, words);
        }
        self.track_names(low);
    }

    /// Whether the diverging road goes down on the page.
    fn leads_down(&self) -> bool {
        matches!(self.g.kind, TurnoutKind::Right | TurnoutKind::CurvedRight)
    }

    fn track_names(&mut self, low: bool) {
        let g = self.g;
        let (toe, heel, middle) = (g.toe, g.heel, g.middle);
        if !g.fans() {
            let room = g.frog(0).x - toe - 1.5;
            let reach = SLOPE * (heel - toe) / 2.0 + HALF;
            for (port, x, anchor, y) in [
                (Port::A, toe, Anchor::Start, middle - reach - 1.2),
                (Port::C, toe, Anchor::Start, middle + reach + 3.2),
                (Port::D, heel, Anchor::End, middle - reach - 1.2),
                (Port::B, heel, Anchor::End, middle + reach + 3.2),
            ] {
                self.track_name(port, point(x, y), anchor, room);
            }
            return;
        }
        let branches = g.formation.branches();
        let frog_x = (0..g.formation.crossings().len()).map(|c| g.frog(c).x).fold(heel, f64::min);
        let below = |y: f64| if low { y - 1.9 } else { y + 3.2 };
        let edge = middle + if low { -HALF } else { HALF };
        let room = frog_x - toe - 2.0;
        if g.kind == TurnoutKind::ThreeWay {
            self.track_name(Port::Toe, point(toe - 3.0, middle + 12.4), Anchor::Start, room + 3.0);
            self.track_name(Port::Straight, point(heel - 0.3, middle + 5.4), Anchor::End, 9.0);
            let x = heel - 10.0;
            let up = g.rail(1, Side::Left, x).y - 1.2;
            self.track_name(Port::Left, point(x, up), Anchor::End, 14.0);
            let down = g.rail(2, Side::Right, x).y + 3.2;
            self.track_name(Port::Right, point(x, down), Anchor::End, x - g.frog(0).x - 1.0);
            return;
        }
        self.track_name(Port::Toe, point(toe, below(edge)), Anchor::Start, room);
        // The road that stays is on the other side from the one that leaves.
        let (Some(left), Some(right)) = (branches.first().copied(), branches.last().copied()) else { return };
        let (through, branch) = if low { (left, right) } else { (right, left) };
        let inner = if low { Side::Left } else { Side::Right };
        let y = below(g.rail(g.road_at(through).0, inner, heel).y);
        self.track_name(through, point(heel + 2.5, y), Anchor::End, heel - frog_x);
        // Clear of a joint in the outer rail.
        let x = heel - if self.joints_at(branch).len() > 1 { 12.5 } else { 8.0 };
        let y = g.rail(g.road_at(branch).0, inner.other(), x).y + if low { 3.2 } else { -1.2 };
        self.track_name(branch, point(x, y), Anchor::End, heel - frog_x);
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
