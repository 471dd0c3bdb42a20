//! Drawing in a symbol's own coordinates, with one line weight for all symbols.

use crate::draw::line::THIN;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Scene, Stroke};
use crate::geom::{Point, Rect, point};

/// Which way the current runs through a symbol.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// First pin left.
    Horizontal,
    /// First pin at the top: the horizontal shape mirrored at the diagonal.
    Vertical,
}

pub const PEN: Stroke = Stroke::solid(THIN, Ink::BLACK);
/// Mechanical linkage: dashed.
const LINKAGE: Stroke = Stroke { dash: Dash::Dashed, ..PEN };

/// A scene seen from a symbol's first pin.
pub struct Sketch<'a> {
    scene: &'a mut Scene,
    at: Point,
    axis: Axis,
}

impl<'a> Sketch<'a> {
    pub fn new(scene: &'a mut Scene, at: Point) -> Sketch<'a> {
        Sketch { scene, at, axis: Axis::Horizontal }
    }

    pub fn along(scene: &'a mut Scene, at: Point, axis: Axis) -> Sketch<'a> {
        Sketch { scene, at, axis }
    }

    /// The place on the sheet `x` millimetres along the current and `y` across it.
    pub fn p(&self, x: f64, y: f64) -> Point {
        match self.axis {
            Axis::Horizontal => point(self.at.x + x, self.at.y + y),
            Axis::Vertical => point(self.at.x + y, self.at.y + x),
        }
    }

    fn all(&self, points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|&(x, y)| self.p(x, y)).collect()
    }

    pub fn line(&mut self, points: &[(f64, f64)]) {
        self.scene.polyline(self.all(points), PEN, Role::Symbol);
    }

    pub fn linkage(&mut self, points: &[(f64, f64)]) {
        self.scene.polyline(self.all(points), LINKAGE, Role::Symbol);
    }

    /// A closed outline, white inside: a symbol hides what lies under it.
    pub fn outline(&mut self, points: &[(f64, f64)]) {
        self.scene.polygon(self.all(points), Some(PEN), Some(Ink::WHITE), Role::Symbol);
    }

    /// A closed black shape.
    pub fn solid(&mut self, points: &[(f64, f64)]) {
        self.scene.polygon(self.all(points), None, Some(Ink::BLACK), Role::Symbol);
    }

    pub fn rect(&mut self, x: f64, y: f64, width: f64, height: f64) {
        let r = Rect::around(self.p(x, y), self.p(x + width, y + height));
        self.scene.rect(r, Some(PEN), Some(Ink::WHITE), Role::Symbol);
    }

    pub fn circle(&mut self, x: f64, y: f64, radius: f64) {
        self.scene.circle(self.p(x, y), radius, Some(PEN), Some(Ink::WHITE), Role::Symbol);
    }

    /// An arc as short chords, from one angle to another in degrees, clockwise on paper from +x.
    pub fn arc(&mut self, x: f64, y: f64, radius: f64, from: f64, to: f64) {
        let steps = 12;
        let points: Vec<_> = (0..=steps)
            .map(|i| (from + (to - from) * f64::from(i) / f64::from(steps)).to_radians())
            .map(|a| (x + radius * a.cos(), y + radius * a.sin()))
            .collect();
        self.line(&points);
    }

    /// Text centred on a point.
    pub fn mark(&mut self, x: f64, y: f64, height: f64, content: &str) {
        let at = self.p(x, y);
        self.scene.text(point(at.x, at.y + height / 2.0), height, Anchor::Middle, content);
    }

    /// A plus sign of two strokes.
    pub fn plus(&mut self, x: f64, y: f64, arm: f64) {
        self.line(&[(x - arm, y), (x + arm, y)]);
        self.line(&[(x, y - arm), (x, y + arm)]);
    }

    pub fn minus(&mut self, x: f64, y: f64, arm: f64) {
        self.line(&[(x - arm, y), (x + arm, y)]);
    }

    /// One period of a sine: alternating current.
    pub fn alternating(&mut self, x: f64, y: f64, arm: f64) {
        let points: Vec<_> = (-8..=8)
            .map(|i| f64::from(i) / 8.0)
            .map(|t| (x + t * arm, y - 0.5 * arm * (t * std::f64::consts::PI).sin()))
            .collect();
        self.line(&points);
    }

    /// Two strokes, the lower one broken: direct current.
    pub fn direct(&mut self, x: f64, y: f64, arm: f64) {
        self.line(&[(x - arm, y - 0.4), (x + arm, y - 0.4)]);
        for i in [-1.0, 0.0, 1.0] {
            let mid = x + i * arm * 0.75;
            self.line(&[(mid - arm * 0.2, y + 0.4), (mid + arm * 0.2, y + 0.4)]);
        }
    }
}
