//! The bar of a margin. Its verdict is told by pattern as well as by colour: full, hatched, or empty.

use super::super::pen;
use super::Verdict;
use crate::draw::line::THIN;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Scene, Stroke};
use crate::draw::text::{self, lettering};
use crate::firing::MARGIN;
use crate::geom::{Point, Rect, point};

/// The scale ends here: nobody asks by how much more than twice.
const END: f64 = 2.0;
pub(super) const HEIGHT: f64 = 2.8;
const HATCH: f64 = 1.2;

impl Verdict {
    fn ink(self) -> Ink {
        match self {
            Verdict::Throws => Ink(120, 185, 135),
            Verdict::Tight => Ink(200, 110, 0),
            Verdict::MayStick => Ink(200, 16, 46),
        }
    }

    pub fn words(self) -> &'static str {
        match self {
            Verdict::Throws => "throws",
            Verdict::Tight => "tight",
            Verdict::MayStick => "may stick",
        }
    }
}

/// A length on the scale: 0 at the left edge of the room, 2 at its right.
fn x(room: Rect, margin: f64) -> f64 {
    room.min.x + room.width() * (margin / END).clamp(0.0, 1.0)
}

/// The bar in its room, from the left; what goes beyond the scale ends in a point.
pub(super) fn bar(scene: &mut Scene, room: Rect, margin: f64, verdict: Verdict) {
    let margin = if margin.is_finite() { margin } else { END };
    let end = x(room, margin);
    let middle = room.min.y + room.height() / 2.0;
    if margin > END {
        let neck = end - HEIGHT / 2.0;
        let corners = vec![
            room.min,
            point(neck, room.min.y),
            point(end, middle),
            point(neck, room.max.y),
            point(room.min.x, room.max.y),
        ];
        let outline = Some(Stroke::solid(THIN, Ink::BLACK));
        scene.polygon(corners, outline, Some(verdict.ink()), Role::Decoration);
    } else {
        filled(scene, Rect::new(room.min.x, room.min.y, (end - room.min.x).max(0.3), room.height()), verdict);
    }
}

fn filled(scene: &mut Scene, area: Rect, verdict: Verdict) {
    let (outline, fill) = match verdict {
        Verdict::Throws => (Stroke::solid(THIN, Ink::BLACK), Some(verdict.ink())),
        Verdict::Tight => (Stroke::solid(THIN, verdict.ink()), None),
        Verdict::MayStick => (Stroke::solid(0.5, verdict.ink()), None),
    };
    scene.rect(area, Some(outline), fill, Role::Decoration);
    if verdict == Verdict::Tight {
        for (a, b) in hatching(area) {
            scene.line(a, b, Stroke::solid(THIN, verdict.ink()), Role::Decoration);
        }
    }
}

/// Lines at 45° across an area, from lower left to upper right.
fn hatching(area: Rect) -> Vec<(Point, Point)> {
    let (w, h) = (area.width(), area.height());
    let mut lines = Vec::new();
    let mut from = HATCH;
    while from < w + h {
        // The line x + y = from, measured from the upper left corner.
        let low = point(area.min.x + (from - h).max(0.0), area.min.y + from.min(h));
        let high = point(area.min.x + from.min(w), area.min.y + (from - w).max(0.0));
        lines.push((low, high));
        from += HATCH;
    }
    lines
}

/// The two marks down a column of bars, with their words above it.
pub(super) fn marks(scene: &mut Scene, room: Rect, bottom: f64) {
    let dashed = Stroke { dash: Dash::Dashed, ..Stroke::solid(0.35, Ink::BLACK) };
    for (margin, stroke) in [(1.0, Stroke::solid(0.35, Ink::BLACK)), (MARGIN, dashed)] {
        let x = x(room, margin);
        scene.line(point(x, room.min.y), point(x, bottom), stroke, Role::Decoration);
    }
    scene.line(point(room.min.x, room.min.y), point(room.min.x, bottom), pen::thin(), Role::Decoration);
    let y = room.min.y - 1.0;
    for (margin, anchor, words) in
        [(1.0, Anchor::End, "1.0 needed".to_owned()), (MARGIN, Anchor::Start, format!("{MARGIN} asked for"))]
    {
        scene.text(point(x(room, margin), y), lettering::SMALL, anchor, words);
    }
}

/// What the three patterns mean, on one line.
pub(super) fn key(scene: &mut Scene, at: Point) {
    let mut left = at.x;
    for (verdict, words) in [
        (Verdict::Throws, format!("{MARGIN} times what it needs, or more")),
        (Verdict::Tight, format!("less than {MARGIN} times: tight")),
        (Verdict::MayStick, "less than it needs: may stick".to_owned()),
    ] {
        filled(scene, Rect::new(left, at.y - HEIGHT + 0.2, 10.0, HEIGHT), verdict);
        scene.text(point(left + 12.5, at.y), lettering::BODY, Anchor::Start, words.as_str());
        left += 20.0 + text::width(&words, lettering::BODY, false);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_stays_inside_and_runs_at_45_degrees() {
        let area = Rect::new(10.0, 20.0, 7.3, HEIGHT);
        let lines = hatching(area);
        assert!(lines.len() > 5);
        for (a, b) in lines {
            assert!(area.inflate(1e-9).holds(&Rect::around(a, b)), "{a:?} {b:?}");
            assert!(((b.x - a.x) + (b.y - a.y)).abs() < 1e-9);
        }
    }

    #[test]
    fn the_scale_ends_at_twice_the_need() {
        let room = Rect::new(0.0, 0.0, 50.0, HEIGHT);
        assert!((x(room, 1.0) - 25.0).abs() < 1e-9);
        assert_eq!(x(room, 7.0), 50.0);
        assert_eq!(x(room, -1.0), 0.0);
    }
}
