//! From a board, seen from above, to paper, seen from below.

use crate::geom::{Point, Rect, point};

/// How a board, or a part of one, lies on a sheet: lying under it with the head towards its back,
/// so that the front edge is at the bottom and the left end, seen from above, is on the right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct View {
    /// Millimetres of paper per millimetre of board.
    pub scale: f64,
    /// What is shown, on paper.
    pub outline: Rect,
    /// From where to where along the board it is shown.
    pub window: (f64, f64),
    /// The part of the window that this sheet names; the rest overlaps its neighbours.
    pub own: (f64, f64),
    /// Number of this part and how many there are.
    pub part: (usize, usize),
}

/// Millimetres of board that neighbouring parts share on each side of their border.
pub const OVERLAP: f64 = 30.0;

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
    /// A board of this size in so many parts side by side, from its left end seen from above, at
    /// the largest scale at which each fits into the middle of a field.
    pub fn parts(size: (f64, f64), count: usize, field: Rect) -> (Vec<View>, &'static str) {
        let share = size.0 / count as f64;
        let own = |i: usize| (share * i as f64, share * (i + 1) as f64);
        let window = |i: usize| ((own(i).0 - OVERLAP).max(0.0), (own(i).1 + OVERLAP).min(size.0));
        let widest = (0..count).map(|i| window(i).1 - window(i).0).fold(0.0, f64::max);
        let fits = |n: f64| widest / n <= field.width() && size.1 / n <= field.height();
        let last = SCALES[SCALES.len() - 1];
        let (n, name) = SCALES.into_iter().find(|(n, _)| fits(*n)).unwrap_or(last);
        let middle = field.centre();
        let view = |i: usize| {
            let (from, to) = window(i);
            let (w, h) = ((to - from) / n, size.1 / n);
            let outline = Rect::new(middle.x - w / 2.0, middle.y - h / 2.0, w, h);
            View { scale: 1.0 / n, outline, window: (from, to), own: own(i), part: (i + 1, count) }
        };
        ((0..count).map(view).collect(), name)
    }

    /// Whether this sheet is the one that names what stands here.
    pub fn names(&self, p: Point) -> bool {
        let (part, count) = self.part;
        (p.x >= self.own.0 || part == 1) && (p.x < self.own.1 || part == count)
    }

    /// A place on the board, x from its left end seen from above, y from its front edge.
    pub fn at(&self, p: Point) -> Point {
        let (right, bottom) = (self.outline.max.x, self.outline.max.y);
        point(right - (p.x - self.window.0) * self.scale, bottom - p.y * self.scale)
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
        let (views, name) = View::parts((1200.0, 500.0), 1, Rect::new(20.0, 10.0, 260.0, 120.0));
        let view = views[0];
        assert_eq!(name, "1:5");
        assert_eq!(view.outline, Rect::new(30.0, 20.0, 240.0, 100.0));
        // 100 mm from the left end and 50 mm from the front: 20 mm from the RIGHT side of the
        // drawing and 10 mm above its bottom.
        assert!(view.at(point(100.0, 50.0)).is_at(point(250.0, 110.0)));
        assert!(view.at(point(1200.0, 500.0)).is_at(point(30.0, 20.0)));
    }

    #[test]
    fn parts_share_a_strip_but_name_each_place_once() {
        // 1500 by 400 in two parts: windows of 780 mm, 156 by 80 mm of paper at 1:5.
        let (views, name) = View::parts((1500.0, 400.0), 2, Rect::new(0.0, 0.0, 240.0, 100.0));
        assert_eq!((name, views.len()), ("1:5", 2));
        assert_eq!((views[0].window, views[1].window), ((0.0, 780.0), (720.0, 1500.0)));
        for x in [0.0, 749.0, 750.0, 751.0, 1500.0] {
            assert_eq!(views.iter().filter(|v| v.names(point(x, 10.0))).count(), 1, "{x}");
        }
        // The second part's right side is 720 mm from the left end seen from above.
        assert!((views[1].outline.max.x - views[1].at(point(720.0, 0.0)).x).abs() < 1e-9);
    }
}
