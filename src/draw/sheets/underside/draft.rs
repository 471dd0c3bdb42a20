//! The picture of a board while words wait for their places.

use crate::draw::line::THIN;
use crate::draw::place::{Label, Placer, clip};
use crate::draw::scene::{Ink, Role, Scene, Stroke};
use crate::geom::{Point, Rect, point};

pub const THIN_BLACK: Stroke = Stroke::solid(THIN, Ink::BLACK);

pub struct Draft<'s> {
    pub scene: &'s mut Scene,
    pub placer: Placer,
    /// What is shown of the board, on paper.
    pub outline: Rect,
    field: Rect,
    labels: Vec<(u8, Label)>,
}

impl<'s> Draft<'s> {
    /// Words stand on the board if they can, else in `field`.
    pub fn new(scene: &'s mut Scene, field: Rect, outline: Rect) -> Draft<'s> {
        Draft { scene, placer: Placer::new(field).with_short_leaders(), outline, field, labels: Vec::new() }
    }

    /// A line that words keep clear of, as far as it lies on the board.
    pub fn line(&mut self, points: &[Point], stroke: Stroke) {
        for run in clip::polyline(points, &self.outline) {
            self.placer.block_line(&run, stroke.half_width());
            self.scene.polyline(run, stroke, Role::Decoration);
        }
    }

    /// A pale surface; words may stand on it.
    pub fn tint(&mut self, points: &[Point], ink: Ink) {
        let shape = clip::polygon(points, &self.outline);
        if shape.len() > 2 {
            self.scene.polygon(shape, None, Some(ink), Role::Decoration);
        }
    }

    pub fn hole(&mut self, at: Point, radius: f64, fill: Ink) {
        self.placer.block_box(Rect::around(at, at).inflate(radius));
        self.scene.circle(at, radius, Some(THIN_BLACK), Some(fill), Role::Symbol);
    }

    /// The hole of a frog's wire.
    pub fn diamond(&mut self, at: Point) {
        let r = 1.15;
        self.placer.block_box(Rect::around(at, at).inflate(r));
        let corners = [(0.0, -r), (r, 0.0), (0.0, r), (-r, 0.0)].map(|(x, y)| point(at.x + x, at.y + y));
        self.scene.polygon(corners.to_vec(), Some(THIN_BLACK), Some(Ink::WHITE), Role::Symbol);
        self.scene.circle(at, 0.35, None, Some(Ink::BLACK), Role::Symbol);
    }

    /// The frame of a thing, as far as it lies on the board.
    pub fn frame(&mut self, area: Rect, stroke: Stroke, fill: Option<Ink>) {
        let (a, b) = (area.min, area.max);
        let corners = [a, point(b.x, a.y), b, point(a.x, b.y)];
        if let Some(ink) = fill {
            self.tint(&corners, ink);
        }
        self.line(&[corners[0], corners[1], corners[2], corners[3], corners[0]], stroke);
    }

    /// Labels of a lower order choose first.
    pub fn label(&mut self, order: u8, label: Label) {
        self.labels.push((order, label));
    }

    /// Places and draws all labels; returns the names of those without a place. Gives up once they
    /// are `limit`.
    pub fn place_labels(&mut self, limit: usize) -> Option<Vec<String>> {
        let mut lost = Vec::new();
        let mut labels = std::mem::take(&mut self.labels);
        labels.sort_by_key(|(order, _)| *order);
        let areas = [self.outline.inflate(-0.6), self.field];
        for (_, label) in labels {
            let name = label.lines.first().map_or_else(String::new, |l| l.content.clone());
            match self.placer.place_in(label, &areas) {
                Some(placed) => placed.draw(self.scene),
                None => lost.push(name),
            }
            if lost.len() >= limit {
                return None;
            }
        }
        Some(lost)
    }
}
