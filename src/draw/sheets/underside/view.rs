//! From a board, seen from above, to paper, seen from below.

use crate::geom::{Point, Rect, point};

/// How a board lies on a sheet: lying under it with the head towards its back, so that the front
/// edge is at the bottom and the left end, seen from above, is on the right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Millimetres of paper per millimetre of board.
    pub scale: f64,
    /// The board's outline on paper.
    pub outline: Rect,
}

/// Scales with their names: ISO 5455, and 1:2.5.
const SCALES: [(f64, &str); 8] = [
    (1.0, "1:1"),
    (2.0, "1:2"),
    (2.5, "1:2.5"),
    (5.0, "1:5"),
    (10.0, "1:10"),
    (20.0, "1:20"),
    (50.0, "1:50"),
    (100.0, "1:100"),
];

impl View {
    /// The largest scale at which a board of this size fits into a field, in its middle.
    pub fn fitting(size: (f64, f64), field: Rect) -> (View, &'static str) {
        let fits = |n: f64| size.0 / n <= field.width() && size.1 / n <= field.height();
        let last = SCALES[SCALES.len() - 1];
        let (n, name) = SCALES.into_iter().find(|(n, _)| fits(*n)).unwrap_or(last);
        let (w, h) = (size.0 / n, size.1 / n);
        let middle = field.centre();
        let outline = Rect::new(middle.x - w / 2.0, middle.y - h / 2.0, w, h);
        (View { scale: 1.0 / n, outline }, name)
    }

    /// A place on the board, x from its left end seen from above, y from its front edge.
    pub fn at(&self, p: Point) -> Point {
        point(self.outline.max.x - p.x * self.scale, self.outline.max.y - p.y * self.scale)
    }

    pub fn all(&self, points: &[Point]) -> Vec<Point> {
        points.iter().map(|p| self.at(*p)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn left_and_right_are_swapped_and_the_front_edge_is_at_the_bottom() {
        // A board of 1200 by 500 at 1:5 takes 240 by 100; in a field of 260 by 120 at (20, 10) its
        // outline runs from (30, 20) to (270, 120).
        let (view, name) = View::fitting((1200.0, 500.0), Rect::new(20.0, 10.0, 260.0, 120.0));
        assert_eq!(name, "1:5");
        assert_eq!(view.outline, Rect::new(30.0, 20.0, 240.0, 100.0));
        // 100 mm from the left end and 50 mm from the front: 20 mm from the RIGHT side of the
        // drawing and 10 mm above its bottom.
        assert!(view.at(point(100.0, 50.0)).is_at(point(250.0, 110.0)));
        assert!(view.at(point(1200.0, 500.0)).is_at(point(30.0, 20.0)));
    }
}
