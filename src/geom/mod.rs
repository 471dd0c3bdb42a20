//! Plane geometry on paper and on boards: points, vectors, rectangles. No words of the trade here.
//!
//! The unit is the millimetre and the y axis points down on sheets (as in SVG); boards, whose y
//! axis points away from the front edge, are converted when they are drawn.

use std::ops::{Add, Mul, Neg, Sub};

/// Two coordinates closer than this are the same place (a thousandth of a line width).
pub const EPSILON: f64 = 1e-4;

/// A place.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

/// A displacement: places differ by it, it can be scaled and turned.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Vector {
    pub x: f64,
    pub y: f64,
}

pub const fn point(x: f64, y: f64) -> Point {
    Point { x, y }
}

pub const fn vector(x: f64, y: f64) -> Vector {
    Vector { x, y }
}

impl Point {
    pub fn distance(self, other: Point) -> f64 {
        (self - other).length()
    }

    pub fn lerp(self, other: Point, t: f64) -> Point {
        self + (other - self) * t
    }

    /// The same place within [`EPSILON`].
    pub fn is_at(self, other: Point) -> bool {
        (self.x - other.x).abs() < EPSILON && (self.y - other.y).abs() < EPSILON
    }
}

impl Vector {
    /// The unit vector at an angle in radians, anticlockwise from +x with y up.
    pub fn from_angle(radians: f64) -> Vector {
        vector(radians.cos(), radians.sin())
    }

    pub fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// The same direction with length one; a zero vector stays zero.
    pub fn unit(self) -> Vector {
        let l = self.length();
        if l < EPSILON { Vector::default() } else { self * (1.0 / l) }
    }

    /// Turned a quarter: (x, y) becomes (-y, x).
    pub fn perpendicular(self) -> Vector {
        vector(-self.y, self.x)
    }

    pub fn dot(self, other: Vector) -> f64 {
        self.x * other.x + self.y * other.y
    }

    pub fn cross(self, other: Vector) -> f64 {
        self.x * other.y - self.y * other.x
    }
}

impl Sub for Point {
    type Output = Vector;
    fn sub(self, o: Point) -> Vector {
        vector(self.x - o.x, self.y - o.y)
    }
}
impl Add<Vector> for Point {
    type Output = Point;
    fn add(self, v: Vector) -> Point {
        point(self.x + v.x, self.y + v.y)
    }
}
impl Sub<Vector> for Point {
    type Output = Point;
    fn sub(self, v: Vector) -> Point {
        point(self.x - v.x, self.y - v.y)
    }
}
impl Add for Vector {
    type Output = Vector;
    fn add(self, o: Vector) -> Vector {
        vector(self.x + o.x, self.y + o.y)
    }
}
impl Sub for Vector {
    type Output = Vector;
    fn sub(self, o: Vector) -> Vector {
        vector(self.x - o.x, self.y - o.y)
    }
}
impl Neg for Vector {
    type Output = Vector;
    fn neg(self) -> Vector {
        vector(-self.x, -self.y)
    }
}
impl Mul<f64> for Vector {
    type Output = Vector;
    fn mul(self, k: f64) -> Vector {
        vector(self.x * k, self.y * k)
    }
}

/// An axis-parallel rectangle; `min` is its top left corner on a sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    pub min: Point,
    pub max: Point,
}

impl Rect {
    pub const fn new(x: f64, y: f64, width: f64, height: f64) -> Rect {
        Rect { min: point(x, y), max: point(x + width, y + height) }
    }

    /// The smallest rectangle that holds both points.
    pub fn around(a: Point, b: Point) -> Rect {
        Rect { min: point(a.x.min(b.x), a.y.min(b.y)), max: point(a.x.max(b.x), a.y.max(b.y)) }
    }

    pub fn width(&self) -> f64 {
        self.max.x - self.min.x
    }

    pub fn height(&self) -> f64 {
        self.max.y - self.min.y
    }

    pub fn centre(&self) -> Point {
        self.min.lerp(self.max, 0.5)
    }

    pub fn union(&self, o: &Rect) -> Rect {
        Rect {
            min: point(self.min.x.min(o.min.x), self.min.y.min(o.min.y)),
            max: point(self.max.x.max(o.max.x), self.max.y.max(o.max.y)),
        }
    }

    /// Grown by `d` on every side (shrunk if negative).
    pub fn inflate(&self, d: f64) -> Rect {
        Rect { min: point(self.min.x - d, self.min.y - d), max: point(self.max.x + d, self.max.y + d) }
    }

    pub fn contains(&self, p: Point) -> bool {
        p.x >= self.min.x - EPSILON
            && p.x <= self.max.x + EPSILON
            && p.y >= self.min.y - EPSILON
            && p.y <= self.max.y + EPSILON
    }

    pub fn holds(&self, o: &Rect) -> bool {
        self.contains(o.min) && self.contains(o.max)
    }

    /// Whether the insides overlap; sharing an edge does not count.
    pub fn overlaps(&self, o: &Rect) -> bool {
        self.min.x < o.max.x - EPSILON
            && o.min.x < self.max.x - EPSILON
            && self.min.y < o.max.y - EPSILON
            && o.min.y < self.max.y - EPSILON
    }

    /// Whether the segment from `a` to `b` passes through the inside (Liang–Barsky clipping).
    pub fn crosses_segment(&self, a: Point, b: Point) -> bool {
        let inner = self.inflate(-EPSILON);
        if inner.width() <= 0.0 || inner.height() <= 0.0 {
            return false;
        }
        let d = b - a;
        let (mut t0, mut t1) = (0.0f64, 1.0f64);
        for (p, q) in [
            (-d.x, a.x - inner.min.x),
            (d.x, inner.max.x - a.x),
            (-d.y, a.y - inner.min.y),
            (d.y, inner.max.y - a.y),
        ] {
            if p.abs() < 1e-12 {
                if q < 0.0 {
                    return false;
                }
            } else {
                let r = q / p;
                if p < 0.0 {
                    t0 = t0.max(r);
                } else {
                    t1 = t1.min(r);
                }
                if t0 > t1 {
                    return false;
                }
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_segment_through_a_rectangle_crosses_it_and_one_along_its_edge_does_not() {
        let r = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert!(r.crosses_segment(point(-5.0, 5.0), point(15.0, 5.0)));
        assert!(r.crosses_segment(point(5.0, 5.0), point(6.0, 5.0)));
        assert!(!r.crosses_segment(point(-5.0, 0.0), point(15.0, 0.0)));
        assert!(!r.crosses_segment(point(-5.0, 12.0), point(15.0, 12.0)));
        assert!(!r.crosses_segment(point(-5.0, -4.0), point(4.0, -5.0)));
    }

    #[test]
    fn rectangles_that_share_an_edge_do_not_overlap() {
        let a = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert!(!a.overlaps(&Rect::new(10.0, 0.0, 5.0, 5.0)));
        assert!(a.overlaps(&Rect::new(9.9, 0.0, 5.0, 5.0)));
    }
}
