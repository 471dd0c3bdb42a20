//! One board from below.

use super::DriveRow;
use super::courses::{Course, Places};
use super::draft::{Draft, THIN_BLACK};
use super::fittings::{self, Fitting};
use super::holes::{dropper_name, frog_name, frogs};
use super::lanes::Ground;
use super::view::View;
use super::wiring::Bus;
use crate::Design;
use crate::draw::line::THIN;
use crate::draw::page::{Page, caution_strip};
use crate::draw::place::labels::Line;
use crate::draw::place::{Label, clip};
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::draw::sheets::hand;
use crate::draw::text::fit;
use crate::draw::text::lettering::{BODY, SMALL};
use crate::geom::{Point, Rect, point};
use crate::parse::{BoardId, TrackId};

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

/// What is laid and screwed beside the drives; it depends on the board and the scale alone.
pub struct Laid {
    pub scale: f64,
    pub fitted: Vec<Fitting>,
    pub buses: Vec<Bus>,
    pub looms: Vec<Vec<Point>>,
}

/// Radius of a hole's mark on paper.
pub const HOLE: f64 = 0.7;
const MEMBER: Ink = Ink(229, 229, 229);
const SLEEPERS: Ink = Ink(241, 236, 226);
const RAIL: Stroke = Stroke::solid(THIN, Ink::GREY);

impl Board<'_> {
    /// Draws the board; returns how many names found no place. Gives up once they are `limit`.
    pub fn draw(&self, laid: &Laid, page: &mut Page, limit: usize) -> Option<usize> {
        let mut draft = Draft::new(&mut page.scene, self.field, self.view.outline);
        self.board(&mut draft);
        self.tracks(&mut draft);
        self.turnouts(&mut draft);
        self.looms_and_bus(&mut draft, laid);
        self.strips(&mut draft);
        self.fitted(&mut draft, &laid.fitted);
        self.drives(&mut draft);
        self.cables(&mut draft);
        self.frogs(&mut draft);
        let unplaced = self.droppers(&mut draft);
        let lost = draft.place_labels(limit)?;
        self.notes(page, &unplaced, &lost);
        Some(lost.len())
    }

    /// Finds room for fittings, buses and looms.
    pub fn laid(&self) -> Laid {
        let mut ground = self.ground();
        let fitted = fittings::fittings(self.design, self.id, self.drives, &mut ground);
        let buses = self.buses(&mut ground);
        Laid { scale: self.view.scale, fitted, buses, looms: self.looms(&ground) }
    }

    /// What lanes and fittings keep clear of. Boxes: strips, then drives.
    fn ground(&self) -> Ground {
        let document = &self.design.document;
        let mut ground = Ground { scale: self.view.scale, size: self.size(), ..Ground::default() };
        ground
            .boxes
            .extend(["XB", "XT"].iter().filter_map(|x| fittings::strip_area(self.design, self.id, x)));
        ground.boxes.extend(self.drives.iter().filter_map(|row| self.drive_area(row)));
        ground.holes.extend(self.drives.iter().map(|row| row.at));
        for member in crate::drives::members(document, self.id) {
            let far =
                member.iter().fold(Rect::around(member[0], member[2]), |r, p| r.union(&Rect::around(*p, *p)));
            ground.members.push(far);
        }
        for (i, _) in document.turnouts.iter().enumerate().filter(|(_, t)| t.board == self.id) {
            let Some(f) = &self.places.footprints[i] else { continue };
            ground.rails.extend(f.rails().flat_map(|r| r.windows(2)).map(|w| (w[0], w[1])));
        }
        ground.holes.extend(frogs(self.design, self.id).filter_map(|f| self.places.frog(f)));
        for i in 0..document.tracks.len() {
            ground.rails.extend(self.track_rails(TrackId(i)));
        }
        let droppers = self.design.rails.droppers.iter().filter(|d| d.board == self.id);
        let hole = |d: &crate::track::Dropper| {
            self.places.dropper(self.id, self.design.rails.rails[d.rail.0].place).map(|h| h.at)
        };
        ground.holes.extend(droppers.filter_map(hole));
        ground
    }

    /// A drive's outline on the board.
    pub(super) fn drive_area(&self, row: &DriveRow) -> Option<Rect> {
        crate::drives::drive_outline(&self.design.document, row.bar)
    }

    /// Middle lines of a track's known stretches, as far as they lie on the board.
    fn stretches(&self, track: TrackId) -> Vec<(Point, Point)> {
        let (w, depth) = self.size();
        let board = Rect::new(0.0, 0.0, w, depth);
        let runs = match self.places.course(self.id, track) {
            None => Vec::new(),
            Some(Course::Straight(run)) => vec![*run],
            Some(Course::Stubs(stubs)) => stubs.clone(),
        };
        runs.iter().filter_map(|r| clip::segment(r.from, r.to, &board)).collect()
    }

    fn track_rails(&self, track: TrackId) -> impl Iterator<Item = (Point, Point)> {
        let gauge = self.design.document.layout.gauge.mm();
        self.stretches(track).into_iter().flat_map(move |(a, b)| {
            let half = (b - a).unit().perpendicular() * (gauge / 2.0);
            [(a + half, b + half), (a - half, b - half)]
        })
    }

    fn board(&self, d: &mut Draft) {
        let (view, outline) = (&self.view, self.view.outline);
        for member in crate::drives::members(&self.design.document, self.id) {
            d.tint(&view.all(&member), MEMBER);
        }
        let said = "Seen from below, lying under the board with your head towards its back: left and right are swapped.";
        let top = self.field.min.y - super::HEADING;
        d.scene.bold(point(self.field.min.x, top + BODY + 0.5), BODY, Anchor::Start, said);
        let marks = "Dot: hole of a dropper. Hollow dot: on this track, place as convenient; mark the hole from \
                     above. Diamond: hole of a frog's wire. Circle in a dashed box: drive's pin. Grey dashes: looms.";
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
        for i in 0..self.design.document.tracks.len() {
            let half = self.design.document.layout.gauge.mm();
            for (a, b) in self.stretches(TrackId(i)) {
                let across = (b - a).unit().perpendicular() * half;
                let sleepers = [a + across, b + across, b - across, a - across];
                d.tint(&self.view.all(&sleepers), SLEEPERS);
            }
            for (a, b) in self.track_rails(TrackId(i)) {
                d.line(&self.view.all(&[a, b]), Stroke { dash: Dash::Dashed, ..RAIL });
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
            for rail in f.rails() {
                d.line(&self.view.all(rail), THIN_BLACK);
            }
            // A turnout with a drive is named at it.
            if self.drives.iter().any(|row| self.design.document[row.bar].turnout.0 == i)
                || !self.view.names(f.middle)
            {
                continue;
            }
            let mut label = Label::new("", BODY, self.view.at(f.middle));
            label.lines = vec![Line::new(format!("{} {}", *t.name, hand(*t.kind)), BODY, true)];
            label.gap = f.gauge * self.view.scale + 0.8;
            label.near = label.gap + 3.0;
            let aside = self.view.at(f.origin + f.heading.perpendicular()) - self.view.at(f.origin);
            label.towards = vec![aside.unit(), -aside.unit()];
            d.label(1, label);
        }
    }

    fn frogs(&self, d: &mut Draft) {
        for frog in frogs(self.design, self.id) {
            let Some(hole) = self.places.frog(frog).filter(|p| self.view.names(*p)) else { continue };
            let at = self.view.at(hole);
            d.diamond(at);
            d.label(2, Label::new(frog_name(self.design, frog), SMALL, at));
        }
    }

    /// Draws the droppers' holes; returns those without a place.
    fn droppers(&self, d: &mut Draft) -> Vec<String> {
        let mut unplaced = Vec::new();
        for (i, dropper) in self.design.rails.droppers.iter().enumerate() {
            if dropper.board != self.id {
                continue;
            }
            let place = self.design.rails.rails[dropper.rail.0].place;
            match self.places.dropper(self.id, place) {
                Some(hole) if !self.view.names(hole.at) => {}
                Some(hole) => {
                    let at = self.view.at(hole.at);
                    d.hole(at, HOLE * 0.8, if hole.known { Ink::BLACK } else { Ink::WHITE });
                    d.label(2, Label::new(dropper_name(self.design, i), SMALL, at));
                }
                None => unplaced.push(format!("D{}", i + 1)),
            }
        }
        unplaced
    }

    fn notes(&self, page: &mut Page, unplaced: &[String], lost: &[String]) {
        let mut notes = vec![
            "Each turnout's hand is its true one; from below it looks the other way round. Turnouts are \
             drawn by toe and heading with usual lengths: check each hole against the track. Terminal 1 of \
             a strip is at its left, seen from below."
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

    pub(super) fn size(&self) -> (f64, f64) {
        self.design.document[self.id].size.map_or((0.0, 0.0), |(w, d)| (w.mm(), d.mm()))
    }
}

/// A line beside another, `by` to the left, y to the back.
fn beside(line: &[Point], by: f64) -> Vec<Point> {
    crate::draw::place::offset::offset(line, -by)
}
