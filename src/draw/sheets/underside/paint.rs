//! One board from below.

use super::DriveRow;
use super::footprint::{Footprint, Places};
use super::view::View;
use crate::Design;
use crate::circuit::{NetKind, Place};
use crate::draw::ink::conductor;
use crate::draw::line::{THIN, WIRE};
use crate::draw::page::{Page, caution_strip};
use crate::draw::place::labels::Line;
use crate::draw::place::{Label, Placer, clip};
use crate::draw::scene::{Anchor, Dash, Ink, Role, Scene, Stroke};
use crate::draw::sheets::hand;
use crate::draw::text::fit;
use crate::draw::text::lettering::{BODY, SMALL};
use crate::geom::{Point, Rect, point, vector};
use crate::parse::{BoardId, FrogKind, TrainControl};
use crate::track::Feed;

/// What is drawn on one sheet.
pub struct Board<'a> {
    pub design: &'a Design,
    pub places: &'a Places<'a>,
    pub id: BoardId,
    pub view: View,
    /// Where words may stand.
    pub field: Rect,
    pub drives: &'a [DriveRow],
}

const MEMBER: Ink = Ink(229, 229, 229);
const SLEEPERS: Ink = Ink(241, 236, 226);
const THIN_BLACK: Stroke = Stroke::solid(THIN, Ink::BLACK);
const RAIL: Stroke = Stroke::solid(THIN, Ink::GREY);
const LOOM: Stroke = Stroke { width: THIN, ink: Ink(150, 150, 150), dash: Dash::Dashed, edge: None };
/// Radius of a hole's mark on paper.
const HOLE: f64 = 0.7;
/// Length of a terminal on its strip, and a strip's width (common practice, no source).
const TERMINAL: f64 = 6.0;
const STRIP: f64 = 18.0;
/// A drive's outline: along the track and across it (common practice, no source).
const DRIVE: (f64, f64) = (40.0, 25.0);
/// From the middle of the strips to the looms' trunk and to the bus, towards the back.
const TRUNK: f64 = 22.0;
const BUS: f64 = 40.0;

/// The picture while words wait for their places.
struct Draft<'s> {
    scene: &'s mut Scene,
    placer: Placer,
    /// What is shown of the board, on paper.
    outline: Rect,
    labels: Vec<(u8, Label)>,
}

impl Draft<'_> {
    /// A line that words keep clear of, as far as it lies on the board.
    fn line(&mut self, points: &[Point], stroke: Stroke) {
        for run in clip::polyline(points, &self.outline) {
            self.placer.block_line(&run, stroke.half_width());
            self.scene.polyline(run, stroke, Role::Decoration);
        }
    }

    /// A pale surface; words may stand on it.
    fn tint(&mut self, points: &[Point], ink: Ink) {
        let shape = clip::polygon(points, &self.outline);
        if shape.len() > 2 {
            self.scene.polygon(shape, None, Some(ink), Role::Decoration);
        }
    }

    fn hole(&mut self, at: Point, radius: f64, fill: Ink) {
        self.placer.block_box(Rect::around(at, at).inflate(radius));
        self.scene.circle(at, radius, Some(THIN_BLACK), Some(fill), Role::Symbol);
    }

    /// The frame of a thing, as far as it lies on the board.
    fn frame(&mut self, area: Rect, stroke: Stroke, fill: Option<Ink>) {
        let (a, b) = (area.min, area.max);
        let corners = [a, point(b.x, a.y), b, point(a.x, b.y)];
        if let Some(ink) = fill {
            self.tint(&corners, ink);
        }
        self.line(&[corners[0], corners[1], corners[2], corners[3], corners[0]], stroke);
    }

    fn label(&mut self, order: u8, label: Label) {
        self.labels.push((order, label));
    }
}

impl Board<'_> {
    /// Draws the board; returns how many names found no place.
    pub fn draw(&self, page: &mut Page) -> usize {
        let mut draft = Draft {
            scene: &mut page.scene,
            placer: Placer::new(self.field),
            outline: self.view.outline,
            labels: Vec::new(),
        };
        self.board(&mut draft);
        self.tracks(&mut draft);
        self.turnouts(&mut draft);
        self.looms_and_bus(&mut draft);
        self.strips(&mut draft);
        self.drives(&mut draft);
        self.frogs(&mut draft);
        let unplaced = self.droppers(&mut draft);
        let mut lost = Vec::new();
        let mut labels = std::mem::take(&mut draft.labels);
        labels.sort_by_key(|(order, _)| *order);
        for (_, label) in labels {
            let name = label.lines.first().map_or_else(String::new, |l| l.content.clone());
            match draft.placer.place(label) {
                Some(placed) => placed.draw(draft.scene),
                None => lost.push(name),
            }
        }
        self.notes(page, &unplaced, &lost);
        lost.len()
    }

    fn board(&self, d: &mut Draft) {
        let (view, outline) = (&self.view, self.view.outline);
        for m in &self.design.document[self.id].members {
            let (from, to) = (point(m.from.0.mm(), m.from.1.mm()), point(m.to.0.mm(), m.to.1.mm()));
            let across = (to - from).unit().perpendicular() * (m.width.mm() / 2.0);
            let corners = [from + across, to + across, to - across, from - across];
            d.tint(&view.all(&corners), MEMBER);
        }
        let said = "Seen from below, lying under the board with your head towards its back: left and right are swapped.";
        let top = self.field.min.y - super::HEADING;
        d.scene.bold(point(self.field.min.x, top + BODY + 0.5), BODY, Anchor::Start, said);
        let marks = "Black dot: hole of a dropper, with its feed. Coloured dot: hole of a frog's wire. Circle in a \
                     dashed box: hole of a drive's pin. Grey dashes: course of a loom, not of single wires.";
        let second = point(self.field.min.x, top + BODY + 0.5 + 4.4);
        d.scene.text(second, SMALL, Anchor::Start, fit(marks, SMALL, false, self.field.width()));
        self.edges(d);
        let x = outline.centre().x;
        for (baseline, words) in
            [(outline.max.y + 1.6 + BODY, "FRONT EDGE"), (outline.min.y - 1.6, "BACK EDGE")]
        {
            let half = crate::draw::text::width(words, BODY, true) / 2.0 + 1.0;
            d.scene.bold(point(x, baseline), BODY, Anchor::Middle, words);
            d.placer.block_box(Rect::around(
                point(x - half, baseline - BODY - 0.8),
                point(x + half, baseline + 0.8),
            ));
        }
        let y = outline.centre().y;
        let (part, count) = view.part;
        let side = |end: bool, words: &str, other: usize| {
            if end { format!("{words} seen from above") } else { format!("goes on in part {other}") }
        };
        for (x, words) in [
            (outline.max.x + 1.8 + SMALL, side(part == 1, "LEFT END", part.saturating_sub(1))),
            (outline.min.x - 1.8, side(part == count, "RIGHT END", part + 1)),
        ] {
            let half = crate::draw::text::width(&words, SMALL, true) / 2.0 + 1.0;
            d.scene.upright(point(x, y), SMALL, Anchor::Middle, words);
            d.placer.block_box(Rect::around(point(x - SMALL - 0.8, y - half), point(x + 0.8, y + half)));
        }
    }

    /// The board's own edges, the cuts between parts, and marks to join the parts by.
    fn edges(&self, d: &mut Draft) {
        let (view, o) = (&self.view, self.view.outline);
        let heavy = Stroke::solid(0.5, Ink::BLACK);
        let cut = Stroke { dash: Dash::ChainDotted, ..THIN_BLACK };
        let (part, count) = view.part;
        let corners = [o.min, point(o.max.x, o.min.y), o.max, point(o.min.x, o.max.y)];
        d.line(&[corners[0], corners[1]], heavy);
        d.line(&[corners[2], corners[3]], heavy);
        d.line(&[corners[1], corners[2]], if part == 1 { heavy } else { cut });
        d.line(&[corners[3], corners[0]], if part == count { heavy } else { cut });
        for (x, joined) in [(view.own.0, part > 1), (view.own.1, part < count)] {
            if !joined {
                continue;
            }
            let foot = view.at(point(x, 0.0));
            for (from, to) in [(o.max.y, o.max.y + 3.0), (o.min.y, o.min.y - 3.0)] {
                let mark = [point(foot.x, from), point(foot.x, to)];
                d.placer.block_line(&mark, THIN);
                d.scene.polyline(mark.to_vec(), THIN_BLACK, Role::Decoration);
            }
            let words = format!("join here: {x:.0} mm from the left end");
            let half = crate::draw::text::width(&words, SMALL, false) / 2.0;
            let at = point(foot.x.clamp(self.field.min.x + half, self.field.max.x - half), o.max.y + 5.4);
            d.scene.text(at, SMALL, Anchor::Middle, words);
            d.placer.block_box(Rect::around(point(at.x - half, at.y - 2.2), point(at.x + half, at.y + 0.8)));
        }
    }

    /// Tracks between and beyond the turnouts, faintly: where the rails are, as far as is known.
    fn tracks(&self, d: &mut Draft) {
        let (w, depth) = self.size();
        for track in &self.design.document.tracks {
            let Some(run) = self.places.run(self.id, track) else { continue };
            let board = Rect::new(0.0, 0.0, w, depth);
            let Some((a, b)) = clip::segment(run.from, run.to, &board) else { continue };
            let half = (b - a).unit().perpendicular() * (self.design.document.layout.gauge.mm() / 2.0);
            let sleepers = [a + half * 2.0, b + half * 2.0, b - half * 2.0, a - half * 2.0];
            d.tint(&self.view.all(&sleepers), SLEEPERS);
            for side in [half, -half] {
                let rail = self.view.all(&[a + side, b + side]);
                d.line(&rail, Stroke { dash: Dash::Dashed, ..RAIL });
            }
        }
    }

    fn turnouts(&self, d: &mut Draft) {
        for (i, t) in self.design.document.turnouts.iter().enumerate() {
            if t.board != self.id {
                continue;
            }
            let Some(f) = &self.places.footprints[i] else { continue };
            for road in &f.roads {
                let edge = |sign: f64| beside(road, sign * f.gauge);
                let outline: Vec<Point> = edge(1.0).into_iter().chain(edge(-1.0).into_iter().rev()).collect();
                d.tint(&self.view.all(&outline), SLEEPERS);
            }
            for rail in &f.rails {
                d.line(&self.view.all(rail), THIN_BLACK);
            }
            if !self.view.names(middle(f)) {
                continue;
            }
            let mut label = Label::new("", BODY, self.view.at(middle(f)));
            let said = format!("{} {}", *t.name, hand(*t.kind));
            label.lines = vec![Line::new(said, BODY, true)];
            label.gap = f.gauge * self.view.scale + 0.8;
            label.near = label.gap + 3.0;
            let aside = self.view.at(f.toe + f.heading.perpendicular()) - self.view.at(f.toe);
            label.towards = vec![aside.unit(), -aside.unit()];
            d.label(1, label);
        }
    }

    fn strip_area(&self, designation: &str, at: (crate::units::Length, crate::units::Length)) -> Rect {
        let strips = &self.design.wiring.strips;
        let count = strips
            .iter()
            .find(|s| s.designation.starts_with(designation) && s.place == Place::Board(self.id))
            .map_or(0, |s| s.terminals.len());
        let (w, depth) = self.size();
        let half = (TERMINAL * count as f64 / 2.0).max(15.0).min(w * 0.19);
        let middle = point(at.0.mm(), at.1.mm());
        let (low, high) = ((middle.y - STRIP / 2.0).max(2.0), (middle.y + STRIP / 2.0).min(depth - 2.0));
        Rect::around(self.view.at(point(middle.x - half, low)), self.view.at(point(middle.x + half, high)))
    }

    fn strips(&self, d: &mut Draft) {
        let place = self.design.runs.strips[self.id.0];
        for (letters, at) in [("XB", place.drives), ("XT", place.track)] {
            let strip = self
                .design
                .wiring
                .strips
                .iter()
                .find(|s| s.designation.starts_with(letters) && s.place == Place::Board(self.id));
            let Some(strip) = strip else { continue };
            let area = self.strip_area(letters, at);
            d.frame(area, THIN_BLACK, Some(Ink::WHITE));
            let count = strip.terminals.len();
            let step = area.width() / count as f64;
            if step > 1.2 {
                for k in 1..count {
                    let x = area.min.x + step * k as f64;
                    d.line(&[point(x, area.min.y), point(x, area.max.y)], Stroke::solid(0.15, Ink::GREY));
                }
            }
            d.placer.block_box(area);
            if !self.view.names(point(at.0.mm(), at.1.mm())) {
                continue;
            }
            let mut label = Label::new(strip.designation.clone(), BODY, area.centre());
            label.lines = vec![Line::new(strip.designation.clone(), BODY, true)];
            label.anchors = vec![point(area.min.x, area.centre().y), point(area.max.x, area.centre().y)];
            label.gap = 1.0;
            label.towards = vec![vector(-1.0, 0.0), vector(1.0, 0.0)];
            d.label(0, label);
        }
    }

    /// Looms from the strip to the drives, and the pair of buses: courses, not wires.
    fn looms_and_bus(&self, d: &mut Draft) {
        let (w, depth) = self.size();
        let place = self.design.runs.strips[self.id.0];
        let strip = point(place.drives.0.mm(), place.drives.1.mm());
        let trunk = (strip.y + TRUNK).min(depth);
        let mut order: Vec<&DriveRow> = self.drives.iter().collect();
        order.sort_by(|a, b| a.at.x.total_cmp(&b.at.x));
        let mut beside = Vec::new();
        for row in &order {
            let path = [
                point(strip.x, strip.y),
                point(strip.x, trunk),
                point(row.at.x, trunk),
                point(row.at.x, row.at.y),
            ];
            let path = self.view.all(&path);
            d.line(&path, LOOM);
            let shown = clip::polyline(&path, &d.outline);
            beside.extend(
                shown.iter().flatten().zip(shown.iter().flatten().skip(1)).map(|(a, b)| a.lerp(*b, 0.5)),
            );
        }
        if let Some(first) = beside.first() {
            let mut label = Label::new("looms", SMALL, *first);
            label.anchors = beside;
            d.label(3, label);
        }
        let has_bus = self
            .design
            .circuit
            .parts()
            .any(|(_, p)| p.place == Place::Board(self.id) && p.kind == crate::circuit::PartKind::Bus);
        if !has_bus {
            return;
        }
        let dcc = *self.design.document.layout.control == TrainControl::Dcc;
        let gap = 2.2 / self.view.scale;
        for (k, feed) in Feed::ALL.into_iter().enumerate() {
            let y = (place.track.1.mm() + BUS).min(depth * 0.9) + gap * k as f64;
            let colour = self.design.wiring.palette.colour(NetKind::Track(feed).function(dcc));
            let x = place.track.0.mm() + gap * (k as f64 - 0.5);
            let stroke = conductor(colour, 0.5);
            d.line(&self.view.all(&[point(x, place.track.1.mm()), point(x, y)]), stroke);
            d.line(&self.view.all(&[point(w * 0.02, y), point(w * 0.98, y)]), stroke);
            let end = self.view.at(point((w * 0.98).min(self.view.window.1), y));
            let name = format!("W{}{}", self.id.0 + 1, feed.letter());
            let mut label = Label::new(name, SMALL, point(end.x + 1.5, end.y));
            label.towards = vec![vector(0.0, if k == 0 { 1.0 } else { -1.0 })];
            d.label(0, label);
        }
    }

    fn drives(&self, d: &mut Draft) {
        for row in self.drives {
            let Some(f) = &self.places.footprints[row.turnout.0] else { continue };
            // The board's own corner or the footprint's axis: boxes stand square to the board.
            let level = f.heading.x.abs() >= f.heading.y.abs();
            let (along, across) = if level { DRIVE } else { (DRIVE.1, DRIVE.0) };
            let half = vector(along / 2.0, across / 2.0);
            if !d.outline.contains(self.view.at(row.at)) {
                continue;
            }
            let area = Rect::around(self.view.at(row.at - half), self.view.at(row.at + half));
            let pen = Stroke { dash: Dash::Dashed, ..Stroke::solid(WIRE, Ink::BLACK) };
            d.frame(area, pen, None);
            d.hole(self.view.at(row.at), HOLE * 1.2, Ink::WHITE);
            if !self.view.names(row.at) {
                continue;
            }
            let mut label = Label::new("", BODY, area.centre());
            label.lines = vec![Line::new(row.designation.clone(), BODY, true)];
            label.anchors = vec![
                point(area.centre().x, area.min.y),
                point(area.centre().x, area.max.y),
                point(area.min.x, area.centre().y),
                point(area.max.x, area.centre().y),
            ];
            label.gap = 0.9;
            label.towards = vec![vector(0.0, -1.0), vector(0.0, 1.0), vector(-1.0, 0.0), vector(1.0, 0.0)];
            d.label(0, label);
        }
    }

    fn frogs(&self, d: &mut Draft) {
        for (i, t) in self.design.document.turnouts.iter().enumerate() {
            if t.board != self.id || *t.frog == FrogKind::Insulated {
                continue;
            }
            let Some(f) = &self.places.footprints[i] else { continue };
            if !self.view.names(f.frog) {
                continue;
            }
            let at = self.view.at(f.frog);
            let kind = NetKind::Frog(crate::parse::TurnoutId(i));
            let dcc = *self.design.document.layout.control == TrainControl::Dcc;
            let colour = self.design.wiring.palette.colour(kind.function(dcc));
            d.hole(at, HOLE, crate::draw::ink::solid_ink(colour));
            d.label(2, Label::new(format!("frog {}", *t.name), SMALL, at));
        }
    }

    /// Draws the droppers' holes; returns those without a place.
    fn droppers(&self, d: &mut Draft) -> Vec<String> {
        let mut unplaced = Vec::new();
        for (i, dropper) in self.design.rails.droppers.iter().enumerate() {
            if dropper.board != self.id {
                continue;
            }
            let rail = &self.design.rails.rails[dropper.rail.0];
            let name = format!("D{} {}", i + 1, rail.feed.map_or("", Feed::letter));
            match self.places.dropper(self.id, rail.place) {
                Some(at) if !self.view.names(at) => {}
                Some(at) => {
                    let at = self.view.at(at);
                    d.hole(at, HOLE * 0.8, Ink::BLACK);
                    d.label(2, Label::new(name, SMALL, at));
                }
                None => unplaced.push(format!("D{}", i + 1)),
            }
        }
        unplaced
    }

    fn notes(&self, page: &mut Page, unplaced: &[String], lost: &[String]) {
        let mut notes = vec![
            "Each turnout's hand is its true one; from below it looks the other way round. Turnouts are \
             drawn by toe and heading with usual lengths: check each hole against the track."
                .to_owned(),
        ];
        if !unplaced.is_empty() {
            notes.push(format!("Without a place in the file: {}.", unplaced.join(", ")));
        }
        if !lost.is_empty() {
            notes.push(format!("Not labelled for lack of room: {}.", lost.join(", ")));
        }
        let (area, scene) = (page.note_area, &mut page.scene);
        while !notes.is_empty() {
            let all: Vec<&str> = notes.iter().map(String::as_str).collect();
            if caution_strip(scene, area, &[], &all).is_ok() {
                return;
            }
            notes.remove(0);
        }
    }

    fn size(&self) -> (f64, f64) {
        self.design.document[self.id].size.map_or((0.0, 0.0), |(w, d)| (w.mm(), d.mm()))
    }
}

/// Halfway between tie bar and frog.
fn middle(f: &Footprint) -> Point {
    f.tie_bar.lerp(f.frog, 0.55)
}

/// A line beside another, `by` to the left, y to the back.
fn beside(line: &[Point], by: f64) -> Vec<Point> {
    crate::draw::place::offset::offset(line, -by)
}
