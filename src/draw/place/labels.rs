//! Words beside what they name, before and after they have their place.

use crate::draw::line::THIN;
use crate::draw::scene::{Anchor, Ink, Role, Scene, Stroke, Text};
use crate::draw::text::{LINE_PITCH, bounds};
use crate::geom::{Point, Rect, Vector, point, vector};

/// One line of a label.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub content: String,
    pub height: f64,
    pub bold: bool,
    pub ink: Ink,
}

/// Words and what they belong to.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    pub lines: Vec<Line>,
    /// Places that the words may stand beside, the best first.
    pub anchors: Vec<Point>,
    /// Directions to look in, the best first; the others follow by angle.
    pub towards: Vec<Vector>,
    /// Clear space between anchor and words, in millimetres.
    pub gap: f64,
    /// Up to this distance from the anchor the words need no leader.
    pub near: f64,
    /// How far the words may stand away with a leader; zero: never with one.
    pub reach: f64,
}

/// Where a label went.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    pub label: Label,
    pub area: Rect,
    pub leader: Option<(Point, Point)>,
}

const LEADER: Stroke = Stroke::solid(THIN / 2.0 + 0.05, Ink::GREY);

impl Line {
    pub fn new(content: impl Into<String>, height: f64, bold: bool) -> Line {
        Line { content: content.into(), height, bold, ink: Ink::BLACK }
    }

    fn text(&self, at: Point) -> Text {
        Text {
            at,
            content: self.content.clone(),
            height: self.height,
            bold: self.bold,
            anchor: Anchor::Start,
            ink: self.ink,
            upright: false,
        }
    }
}

impl Label {
    pub fn new(content: impl Into<String>, height: f64, anchor: Point) -> Label {
        Label {
            lines: vec![Line::new(content, height, false)],
            anchors: vec![anchor],
            towards: Vec::new(),
            gap: 0.9,
            near: 2.0,
            reach: 40.0,
        }
    }

    /// The label's box with its top left corner at the origin.
    pub(super) fn size(&self) -> Vector {
        let areas = self.at(Point::default());
        areas.iter().fold(vector(0.0, 0.0), |s, (_, r)| vector(s.x.max(r.max.x), s.y.max(r.max.y)))
    }

    /// The texts of the label with its top left corner at `corner`.
    fn at(&self, corner: Point) -> Vec<(Text, Rect)> {
        let mut baseline = corner.y;
        let mut out: Vec<(Text, Rect)> = Vec::new();
        for (i, line) in self.lines.iter().enumerate() {
            let rise = -bounds(&line.text(Point::default())).min.y;
            baseline += if i == 0 { rise } else { (line.height * LINE_PITCH).max(rise + 0.9) };
            let text = line.text(point(corner.x, baseline));
            let area = bounds(&text);
            out.push((text, area));
        }
        out
    }
}

impl Placed {
    /// Whether these words end with those of another label: "D4 A" tells all that "A" does.
    pub fn says_too(&self, other: &Label) -> bool {
        let last = |l: &Label| l.lines.last().map(|l| l.content.clone()).unwrap_or_default();
        last(&self.label).ends_with(&last(other))
    }

    pub fn draw(&self, scene: &mut Scene) {
        if let Some((a, b)) = self.leader {
            scene.line(a, b, LEADER, Role::Decoration);
        }
        for (text, _) in self.label.at(self.area.min) {
            scene.items.push(crate::draw::scene::Item::Text(text));
        }
    }
}
