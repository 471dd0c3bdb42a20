//! What of a shape lies inside a rectangle.

use crate::geom::{Point, Rect};

/// The part of a segment inside (Liang–Barsky clipping).
pub fn segment(a: Point, b: Point, area: &Rect) -> Option<(Point, Point)> {
    let (mut from, mut to) = (0.0f64, 1.0f64);
    let way = b - a;
    for (p, q) in [
        (-way.x, a.x - area.min.x),
        (way.x, area.max.x - a.x),
        (-way.y, a.y - area.min.y),
        (way.y, area.max.y - a.y),
    ] {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    (to - from > 1e-9).then(|| (a.lerp(b, from), a.lerp(b, to)))
}

/// The stretches of a polyline inside.
pub fn polyline(points: &[Point], area: &Rect) -> Vec<Vec<Point>> {
    let mut found: Vec<Vec<Point>> = Vec::new();
    for w in points.windows(2) {
        let Some((a, b)) = segment(w[0], w[1], area) else { continue };
        match found.last_mut() {
            Some(run) if run.last().is_some_and(|p| p.is_at(a)) => run.push(b),
            _ => found.push(vec![a, b]),
        }
    }
    found
}

/// A polygon cut to a rectangle (Sutherland–Hodgman); empty if nothing is left.
pub fn polygon(points: &[Point], area: &Rect) -> Vec<Point> {
    let sides: [(bool, f64, f64); 4] = [
        (true, area.min.x, 1.0),
        (true, area.max.x, -1.0),
        (false, area.min.y, 1.0),
        (false, area.max.y, -1.0),
    ];
    let mut shape = points.to_vec();
    for (upright, limit, sign) in sides {
        let depth = |p: Point| (if upright { p.x } else { p.y } - limit) * sign;
        let mut cut = Vec::with_capacity(shape.len() + 2);
        for (i, p) in shape.iter().enumerate() {
            let before = shape[(i + shape.len() - 1) % shape.len()];
            let (d, e) = (depth(before), depth(*p));
            if (d < 0.0) != (e < 0.0) {
                cut.push(before.lerp(*p, d / (d - e)));
            }
            if e >= 0.0 {
                cut.push(*p);
            }
        }
        shape = cut;
    }
    shape
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::point;

    const AREA: Rect = Rect::new(0.0, 0.0, 10.0, 10.0);

    #[test]
    fn a_line_that_leaves_and_comes_back_is_cut_in_two() {
        let path = [point(5.0, 5.0), point(15.0, 5.0), point(15.0, 8.0), point(5.0, 8.0)];
        let parts = polyline(&path, &AREA);
        assert_eq!(parts.len(), 2);
        assert!(parts[0][1].is_at(point(10.0, 5.0)) && parts[1][0].is_at(point(10.0, 8.0)));
    }

    #[test]
    fn a_square_over_a_corner_leaves_the_common_square() {
        let square = [point(5.0, 5.0), point(15.0, 5.0), point(15.0, 15.0), point(5.0, 15.0)];
        let cut = polygon(&square, &AREA);
        assert_eq!(cut.len(), 4);
        assert!(cut.iter().all(|p| (5.0..=10.0).contains(&p.x) && (5.0..=10.0).contains(&p.y)));
        assert!(polygon(&square, &Rect::new(20.0, 20.0, 1.0, 1.0)).is_empty());
    }
}
