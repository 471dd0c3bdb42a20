//! Lines that run beside a line: the rails of a road.

use crate::geom::{Point, Vector};

/// The polyline `d` millimetres to the left of `path` (to the right if negative), looking along it,
/// on a sheet whose y axis points down. Corners are mitred.
pub fn offset(path: &[Point], d: f64) -> Vec<Point> {
    let path = without_repeats(path);
    if path.len() < 2 {
        return path;
    }
    let normals: Vec<Vector> = path.windows(2).map(|w| left_of((w[1] - w[0]).unit())).collect();
    let last = normals.len() - 1;
    path.iter()
        .enumerate()
        .map(|(i, p)| {
            let (a, b) = (normals[i.saturating_sub(1)], normals[i.min(last)]);
            // The bisector, as long as the mitre; a hairpin (never drawn) is left flat.
            let k = 1.0 + a.dot(b);
            *p + if k < 0.1 { a } else { (a + b) * (1.0 / k) } * d
        })
        .collect()
}

/// The unit vector to the left of a direction on a sheet.
pub fn left_of(direction: Vector) -> Vector {
    -direction.perpendicular()
}

/// Length in millimetres.
pub fn length(path: &[Point]) -> f64 {
    path.windows(2).map(|w| w[0].distance(w[1])).sum()
}

/// The point `s` millimetres along, and the direction there.
pub fn along(path: &[Point], s: f64) -> (Point, Vector) {
    let mut rest = s.max(0.0);
    for w in path.windows(2) {
        let step = w[0].distance(w[1]);
        if rest <= step && step > 0.0 {
            return (w[0].lerp(w[1], rest / step), (w[1] - w[0]).unit());
        }
        rest -= step;
    }
    match path {
        [.., a, b] => (*b, (*b - *a).unit()),
        [a] => (*a, Vector::default()),
        [] => (Point::default(), Vector::default()),
    }
}

/// Where the lines through two segments cross; `None` if they are parallel.
pub fn crossing(a: (Point, Point), b: (Point, Point)) -> Option<Point> {
    let (d, e) = (a.1 - a.0, b.1 - b.0);
    let cross = d.cross(e);
    if cross.abs() < 1e-9 {
        return None;
    }
    Some(a.0 + d * ((b.0 - a.0).cross(e) / cross))
}

/// From a point to the nearest point of a segment.
pub fn segment_distance(p: Point, a: Point, b: Point) -> f64 {
    let d = b - a;
    let t = ((p - a).dot(d) / d.dot(d).max(1e-12)).clamp(0.0, 1.0);
    p.distance(a.lerp(b, t))
}

/// Whether two segments cross each other between their ends.
pub fn segments_cross(a: (Point, Point), b: (Point, Point)) -> bool {
    let side = |p: Point, q: Point, r: Point| (q - p).cross(r - p);
    side(a.0, a.1, b.0) * side(a.0, a.1, b.1) < 0.0 && side(b.0, b.1, a.0) * side(b.0, b.1, a.1) < 0.0
}

/// The least distance between two segments.
pub fn segments_distance(a: (Point, Point), b: (Point, Point)) -> f64 {
    if segments_cross(a, b) {
        return 0.0;
    }
    let ends = [(a.0, b), (a.1, b), (b.0, a), (b.1, a)];
    ends.into_iter().map(|(p, (c, d))| segment_distance(p, c, d)).fold(f64::INFINITY, f64::min)
}

fn without_repeats(path: &[Point]) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::with_capacity(path.len());
    for p in path {
        if kept.last().is_none_or(|q| !q.is_at(*p)) {
            kept.push(*p);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::point;

    #[test]
    fn the_left_rail_of_a_road_to_the_right_lies_higher_on_the_sheet() {
        let path = [point(0.0, 0.0), point(10.0, 0.0), point(20.0, 10.0)];
        let left = offset(&path, 2.0);
        assert!(left[0].is_at(point(0.0, -2.0)));
        // The mitre of a bend by 45 degrees: 2·tan(22.5°) along.
        assert!(left[1].is_at(point(10.0 + 2.0 * 22.5f64.to_radians().tan(), -2.0)), "{left:?}");
        assert!((left[2].distance(path[2]) - 2.0).abs() < 1e-9);
    }

    #[test]
    fn the_distance_of_segments_is_between_their_nearest_points() {
        let a = (point(0.0, 0.0), point(10.0, 0.0));
        assert_eq!(segments_distance(a, (point(5.0, -1.0), point(5.0, 1.0))), 0.0);
        assert_eq!(segments_distance(a, (point(13.0, 4.0), point(20.0, 4.0))), 5.0);
        assert_eq!(segments_distance(a, (point(2.0, 3.0), point(8.0, 3.0))), 3.0);
    }

    #[test]
    fn along_walks_round_corners() {
        let path = [point(0.0, 0.0), point(10.0, 0.0), point(10.0, 5.0)];
        assert_eq!(length(&path), 15.0);
        let (p, d) = along(&path, 12.0);
        assert!(p.is_at(point(10.0, 2.0)) && d.y == 1.0);
    }
}
