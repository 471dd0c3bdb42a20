//! Segments and what they have to do with one another.

use crate::draw::scene::{Item, Path, Scene};
use crate::geom::{Point, Rect};

/// Tolerance in millimetres for ends that should meet.
pub const NEAR: f64 = 1e-3;

#[derive(Clone, Copy, Debug)]
pub struct Segment {
    pub a: Point,
    pub b: Point,
}

/// How two segments meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Meeting {
    Apart,
    /// They cross, each inside the other's length.
    Cross(Point),
    /// An end of one lies on the other.
    Touch(Point),
    /// They run along one another; the middle of the common part.
    Along(Point),
}

impl Segment {
    pub fn bounds(&self) -> Rect {
        Rect::around(self.a, self.b)
    }

    /// The point of the segment next to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        let d = self.b - self.a;
        let square = d.dot(d);
        let t = if square > 0.0 { ((p - self.a).dot(d) / square).clamp(0.0, 1.0) } else { 0.0 };
        self.a.lerp(self.b, t)
    }

    pub fn distance(&self, p: Point) -> f64 {
        self.nearest(p).distance(p)
    }

    /// How this segment meets another when both are `reach` wide together, from axis to axis.
    pub fn meet(&self, o: &Segment, reach: f64) -> Meeting {
        let (d, e) = (self.b - self.a, o.b - o.a);
        let cross = d.cross(e);
        if cross.abs() < 1e-6 * d.length() * e.length() {
            return self.meet_parallel(o, reach);
        }
        for p in [o.a, o.b] {
            if self.distance(p) <= reach {
                return Meeting::Touch(p);
            }
        }
        for p in [self.a, self.b] {
            if o.distance(p) <= reach {
                return Meeting::Touch(p);
            }
        }
        let (t, u) = ((o.a - self.a).cross(e) / cross, (o.a - self.a).cross(d) / cross);
        if (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u) {
            return Meeting::Cross(self.a.lerp(self.b, t));
        }
        Meeting::Apart
    }

    fn meet_parallel(&self, o: &Segment, reach: f64) -> Meeting {
        let unit = (self.b - self.a).unit();
        if (o.a - self.a).cross(unit).abs() > reach {
            return Meeting::Apart;
        }
        let along = |p: Point| (p - self.a).dot(unit);
        let (c, d) = (along(o.a), along(o.b));
        let from = c.min(d).max(0.0);
        let to = c.max(d).min(along(self.b));
        let middle = self.a + unit * (0.5 * (from + to));
        if to - from > NEAR {
            Meeting::Along(middle)
        } else if to - from >= -reach.max(NEAR) {
            Meeting::Touch(middle)
        } else {
            Meeting::Apart
        }
    }
}

/// The segments of a path, those of no length left out.
pub fn segments(path: &Path) -> impl Iterator<Item = Segment> + '_ {
    let closing = if path.closed && path.points.len() > 2 {
        Some(Segment { a: path.points[path.points.len() - 1], b: path.points[0] })
    } else {
        None
    };
    let open = path.points.windows(2).map(|w| Segment { a: w[0], b: w[1] });
    open.chain(closing).filter(|s| s.a.distance(s.b) > NEAR)
}

/// Whether a closed path has the point inside (even-odd rule).
pub fn inside(path: &Path, p: Point) -> bool {
    segments(path).filter(|s| (s.a.y > p.y) != (s.b.y > p.y)).fold(false, |odd, s| {
        let x = s.a.x + (p.y - s.a.y) / (s.b.y - s.a.y) * (s.b.x - s.a.x);
        odd != (p.x < x)
    })
}

/// The box of an item's geometry, without line widths; nothing for an empty path or a text.
pub fn extent(item: &Item) -> Option<Rect> {
    match item {
        Item::Path(p) => p.points.iter().map(|q| Rect::around(*q, *q)).reduce(|a, b| a.union(&b)),
        Item::Circle { centre, radius, .. } => Some(Rect::around(*centre, *centre).inflate(*radius)),
        Item::Text(_) => None,
    }
}

pub fn page(scene: &Scene) -> Rect {
    Rect::new(0.0, 0.0, scene.width, scene.height)
}
