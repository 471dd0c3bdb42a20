//! On the picture of a board: strips, drives, fittings, bus, looms and cables.

use super::draft::{Draft, THIN_BLACK};
use super::fittings::{Fitting, strip, strip_area};
use super::lanes::{Ground, Lane};
use super::paint::{Board, HOLE, Laid};
use crate::circuit::{NetKind, Part, PartKind, Place};
use crate::draw::ink::conductor;
use crate::draw::line::{THIN, WIRE};
use crate::draw::place::labels::Line;
use crate::draw::place::{Label, clip};
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::draw::sheets::{hand, track_function};
use crate::draw::text::lettering::{BODY, SMALL};
use crate::draw::text::width;
use crate::geom::{Point, Rect, point, vector};
use crate::parse::BoardId;
use crate::track::{Feed, ZoneId};

const LOOM: Stroke = Stroke { width: THIN, ink: Ink(150, 150, 150), dash: Dash::Dashed, edge: None };
/// A mistake; in black and white the words say it.
const RED: Ink = Ink(200, 16, 46);
/// Between the two conductors of the bus, in millimetres of paper.
const BUS_GAP: f64 = 2.4;

/// One conductor of a section's bus on the board.
pub struct Bus {
    name: String,
    feed: Feed,
    /// Whether it is the first of its pair.
    first: bool,
    lane: Lane,
    /// The lane without what would touch a hole.
    pieces: Vec<(Point, Point)>,
}

impl Board<'_> {
    fn paper(&self, area: Rect) -> Rect {
        Rect::around(self.view.at(area.min), self.view.at(area.max))
    }

    pub(super) fn strips(&self, d: &mut Draft) {
        for letters in ["XB", "XT"] {
            let found = strip(self.design, self.id, letters).zip(strip_area(self.design, self.id, letters));
            let Some((strip, on_board)) = found else { continue };
            let area = self.paper(on_board);
            d.frame(area, THIN_BLACK, Some(Ink::WHITE));
            let count = strip.terminals.len();
            let step = area.width() / count as f64;
            for k in 1..count {
                let x = area.min.x + step * k as f64;
                d.line(&[point(x, area.min.y), point(x, area.max.y)], Stroke::solid(0.15, Ink::GREY));
            }
            d.placer.block_box(area);
            if !self.view.names(on_board.centre()) {
                continue;
            }
            // Seen from below, number 1 is at the left.
            let y = area.centre().y + SMALL / 2.0;
            let last = count.to_string();
            d.scene.text(point(area.min.x - 0.8, y), SMALL, Anchor::End, "1");
            d.scene.text(point(area.max.x + 0.8, y), SMALL, Anchor::Start, last.as_str());
            let ends = (width("1", SMALL, false) + 1.0, width(&last, SMALL, false) + 1.0);
            d.placer.block_box(Rect::around(point(area.min.x - ends.0, area.min.y), area.max));
            d.placer.block_box(Rect::around(area.min, point(area.max.x + ends.1, area.max.y)));
            let mut label = Label::new("", BODY, area.centre());
            label.lines = vec![Line::new(strip.designation.clone(), BODY, true)];
            label.anchors = vec![
                point(area.min.x - ends.0, area.centre().y),
                point(area.max.x + ends.1, area.centre().y),
                point(area.centre().x, area.max.y),
            ];
            label.gap = 1.0;
            label.towards = vec![vector(-1.0, 0.0), vector(1.0, 0.0), vector(0.0, 1.0)];
            d.label(0, label);
        }
    }

    /// Small named boxes.
    pub(super) fn fitted(&self, d: &mut Draft, fitted: &[Fitting]) {
        for f in fitted {
            let area = self.paper(f.area);
            if !d.outline.contains(area.centre()) {
                continue;
            }
            d.frame(area, Stroke::solid(WIRE, Ink::BLACK), Some(Ink::WHITE));
            d.placer.block_box(area);
            if !self.view.names(f.area.centre()) {
                continue;
            }
            if width(&f.name, SMALL, false) + 1.2 < area.width() && area.height() > SMALL + 1.2 {
                let at = point(area.centre().x, area.centre().y + SMALL / 2.0);
                d.scene.text(at, SMALL, Anchor::Middle, f.name.as_str());
                continue;
            }
            let mut label = Label::new(f.name.clone(), SMALL, area.centre());
            label.anchors = sides(area);
            label.gap = 0.7;
            label.towards = OUTWARD.map(|(x, y)| vector(x, y)).to_vec();
            d.label(0, label);
        }
    }

    /// Looms from the strip to the drives, and the pair of buses: courses, not wires.
    pub(super) fn looms_and_bus(&self, d: &mut Draft, laid: &Laid) {
        for bus in &laid.buses {
            self.bus(d, bus);
        }
        let mut beside = Vec::new();
        for path in &laid.looms {
            let path = self.view.all(path);
            d.line(&path, LOOM);
            let shown = clip::polyline(&path, &d.outline);
            let middles = shown.iter().flat_map(|run| run.windows(2)).filter(|w| w[0].distance(w[1]) > 6.0);
            beside.extend(middles.map(|w| w[0].lerp(w[1], 0.5)));
        }
        if let Some(first) = beside.first() {
            let mut label = Label::new("looms", SMALL, *first);
            label.anchors = beside;
            d.label(3, label);
        }
    }

    /// Paths of the looms over the board.
    pub(super) fn looms(&self, ground: &Ground) -> Vec<Vec<Point>> {
        let Some(strip) = strip_area(self.design, self.id, "XB") else { return Vec::new() };
        let drives: Vec<(Point, Option<usize>)> = self
            .drives
            .iter()
            .map(|row| {
                let own = self.drive_area(row);
                (row.at, ground.boxes.iter().position(|b| Some(*b) == own))
            })
            .collect();
        ground.looms(strip, &drives)
    }

    /// Lanes for the buses of all sections.
    pub(super) fn buses(&self, ground: &mut Ground) -> Vec<Bus> {
        let Some(strip) = strip_area(self.design, self.id, "XT") else { return Vec::new() };
        let mut buses = Vec::new();
        for pair in self.bus_pairs() {
            let lanes = ground.bus(strip, BUS_GAP / self.view.scale);
            for (k, (lane, (name, feed))) in lanes.into_iter().zip(pair).enumerate() {
                let pieces = [lane.drop, lane.along].into_iter().flat_map(|l| ground.broken(l)).collect();
                ground.taken.extend([lane.along, lane.drop]);
                buses.push(Bus { name, feed, first: k == 0, lane, pieces });
            }
        }
        buses
    }

    /// The board's buses, a pair for each section of track: designation and feed.
    fn bus_pairs(&self) -> Vec<Vec<(String, Feed)>> {
        let circuit = &self.design.circuit;
        let mut pairs: Vec<(ZoneId, Vec<(String, Feed)>)> = Vec::new();
        let own = |p: &Part| p.place == Place::Board(self.id) && p.kind == PartKind::Bus;
        for (_, part) in circuit.parts().filter(|(_, p)| own(p)) {
            let kind = part.pins.iter().find_map(|p| p.net).map(|net| circuit[net].kind);
            let Some(NetKind::Track(pole)) = kind else { continue };
            let bus = (part.designation.clone(), pole.feed);
            match pairs.iter_mut().find(|(zone, _)| *zone == pole.zone) {
                Some((_, pair)) => pair.push(bus),
                None => pairs.push((pole.zone, vec![bus])),
            }
        }
        pairs.into_iter().map(|(_, pair)| pair).collect()
    }

    fn bus(&self, d: &mut Draft, bus: &Bus) {
        let (lane, name) = (&bus.lane, &bus.name);
        let colour = self.design.wiring.palette.colour(track_function(self.design, Some(bus.feed)));
        let stroke = conductor(colour, 0.5);
        for piece in &bus.pieces {
            d.line(&self.view.all(&[piece.0, piece.1]), stroke);
        }
        let (low, high) = (self.view.window.0.max(lane.along.0.x), self.view.window.1.min(lane.along.1.x));
        // Away from the other conductor: the first runs nearer to the front.
        let away = vector(0.0, if bus.first { 1.0 } else { -1.0 });
        for (x, inward) in [(low, -1.5), (high, 1.5)] {
            let end = self.view.at(point(x, lane.along.0.y));
            let mut label = Label::new(name.clone(), SMALL, point(end.x + inward * 2.0, end.y));
            label.towards = vec![away];
            label.gap = 0.7;
            d.label(0, label);
        }
        if self.view.names(lane.drop.0) {
            let (a, b) = (self.view.at(lane.drop.0), self.view.at(lane.drop.1));
            let mut label = Label::new(name.clone(), SMALL, a.lerp(b, 0.5));
            label.anchors = [0.3, 0.5, 0.7, 0.15, 0.85].map(|t| a.lerp(b, t)).to_vec();
            // The first conductor is nearer to the left end seen from above: on the right here.
            label.towards = vec![vector(if bus.first { 1.0 } else { -1.0 }, 0.0)];
            label.gap = 0.6;
            d.label(0, label);
        }
    }

    pub(super) fn drives(&self, d: &mut Draft) {
        for row in self.drives {
            let Some(area) = self.drive_area(row).map(|a| self.paper(a)) else { continue };
            if !d.outline.contains(self.view.at(row.at)) {
                continue;
            }
            let fouled = crate::drives::fouled_member(&self.design.document, row.bar).is_some();
            let pen = Stroke { dash: Dash::Dashed, ..Stroke::solid(WIRE, Ink::BLACK) };
            if fouled {
                hatch(d, area);
            }
            d.frame(area, pen, None);
            d.hole(self.view.at(row.at), HOLE * 1.2, Ink::WHITE);
            if !self.view.names(row.at) {
                continue;
            }
            let document = &self.design.document;
            let hand = hand(*document.turnout_of(row.bar).kind);
            let said = format!("{} {} {hand}", row.designation, document[row.bar].name);
            let mut label = Label::new("", BODY, area.centre());
            label.lines = vec![Line::new(said, BODY, true)];
            if fouled {
                label.lines.push(Line { ink: RED, ..Line::new("fouls a member", SMALL, true) });
            }
            label.anchors = sides(area);
            label.gap = 0.9;
            label.towards = OUTWARD.map(|(x, y)| vector(x, y)).to_vec();
            d.label(0, label);
        }
    }

    /// Where the panel's cable and the links to the neighbouring boards come in.
    pub(super) fn cables(&self, d: &mut Draft) {
        let document = &self.design.document;
        let Some(strip) = strip_area(self.design, self.id, "XB").or(strip_area(self.design, self.id, "XT"))
        else {
            return;
        };
        let (w, _) = self.size();
        let own = document[self.id].stands_at.map(|(x, _)| x.mm());
        let end = |other: usize| match (own, document.boards[other].stands_at) {
            (Some(own), Some((x, _))) if x.mm() != own => x.mm() > own,
            _ => other > self.id.0,
        };
        let mut cables: Vec<(bool, String)> = Vec::new();
        if document.panel.board == self.id {
            cables.push((strip.centre().x > w / 2.0, "panel cable".into()));
        }
        let near = [self.id.0.checked_sub(1), Some(self.id.0 + 1)];
        for other in near.into_iter().flatten().filter(|o| *o < document.boards.len()) {
            cables.push((end(other), format!("link to {}", *document[BoardId(other)].name)));
        }
        let (part, count) = self.view.part;
        let mut used = [0.0; 2];
        for (right_end, words) in cables {
            if if right_end { part != count } else { part != 1 } {
                continue;
            }
            // The right end seen from above is on the left here.
            let (x, inward) = if right_end { (d.outline.min.x, 1.0) } else { (d.outline.max.x, -1.0) };
            let y = self.view.at(strip.centre()).y - used[usize::from(right_end)];
            used[usize::from(right_end)] += 4.0;
            let at = |u: f64, v: f64| point(x + inward * u, y + v);
            d.line(&[at(0.3, 0.0), at(6.0, 0.0)], Stroke::solid(WIRE, Ink::BLACK));
            let head = vec![at(7.5, 0.0), at(5.3, 0.8), at(5.3, -0.8)];
            d.scene.polygon(head, None, Some(Ink::BLACK), Role::Symbol);
            d.placer.block_box(Rect::around(at(0.0, -0.9), at(7.5, 0.9)));
            let mut label = Label::new(words, SMALL, at(7.5, 0.0));
            label.towards = vec![vector(inward, 0.0)];
            d.label(0, label);
        }
    }
}

const OUTWARD: [(f64, f64); 4] = [(0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0)];

/// Middles of the sides: top, bottom, left, right.
fn sides(area: Rect) -> Vec<Point> {
    let c = area.centre();
    vec![point(c.x, area.min.y), point(c.x, area.max.y), point(area.min.x, c.y), point(area.max.x, c.y)]
}

/// Slanting lines across a box.
fn hatch(d: &mut Draft, area: Rect) {
    let mut x = area.min.x - area.height() + 1.0;
    while x < area.max.x {
        let line = (point(x, area.max.y), point(x + area.height(), area.min.y));
        if let Some((a, b)) = clip::segment(line.0, line.1, &area) {
            d.line(&[a, b], Stroke::solid(0.2, RED));
        }
        x += 1.4;
    }
}
