//! Free lanes for what runs along a board: the track bus and the looms' trunk. Millimetres of
//! board, seen from above.

use crate::draw::place::clip;
use crate::geom::{Point, Rect, Vector, point};

/// What lanes keep clear of.
#[derive(Clone, Debug, Default)]
pub struct Ground {
    /// Millimetres of paper per millimetre of board.
    pub scale: f64,
    pub size: (f64, f64),
    pub holes: Vec<Point>,
    pub rails: Vec<(Point, Point)>,
    pub boxes: Vec<Rect>,
    pub members: Vec<Rect>,
    /// Lanes already taken.
    pub taken: Vec<(Point, Point)>,
}

/// One conductor of the bus: along the board, and down to its strip.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lane {
    pub along: (Point, Point),
    /// From the strip to the bus.
    pub drop: (Point, Point),
}

/// A hole's centre stays this far from a lane's middle, in millimetres of paper.
const HOLE_CLEAR: f64 = 2.0;
/// Half the gap where a lane passes a hole after all.
const GAP: f64 = 1.9;
/// From candidate to candidate, in millimetres of board.
const STEP: f64 = 2.5;

impl Ground {
    /// How badly a level or upright line lies; 0 is free. A box counts most, for words stand at it;
    /// then a hole, which a lane can be broken at; then the length (on paper) that runs on rails, on other lanes or in framing.
    fn cost(&self, (a, b): (Point, Point), own: Option<usize>) -> f64 {
        let band = |paper: f64| Rect::around(a, b).inflate(paper / self.scale);
        let (near, clear) = (band(1.0), band(HOLE_CLEAR));
        let holes = self.holes.iter().filter(|h| clear.contains(**h)).count() as f64;
        let boxed = self.boxes.iter().enumerate().filter(|(i, r)| Some(*i) != own && r.overlaps(&near));
        // What runs along counts, what crosses hardly.
        let way = (b - a).unit();
        let on = |lines: &[(Point, Point)]| -> f64 {
            // Most are far away: that is quick to see.
            let beside = lines.iter().filter(|(c, d)| meets(&near, *c, *d));
            let pieces = beside.filter_map(|(c, d)| clip::segment(*c, *d, &near));
            let weight = |d: Vector| (d.dot(way).abs() + 0.1 * d.cross(way).abs()) * self.scale;
            pieces.map(|(c, d)| weight(d - c)).sum()
        };
        let framed = self.members.iter().filter(|m| m.overlaps(&near)).map(|m| {
            let x = m.max.x.min(near.max.x) - m.min.x.max(near.min.x);
            let y = m.max.y.min(near.max.y) - m.min.y.max(near.min.y);
            x.max(y) * self.scale
        });
        holes * 200.0
            + boxed.count() as f64 * 1000.0
            + on(&self.rails) * 2.0
            + on(&self.taken) * 6.0
            + framed.sum::<f64>() * 0.3
    }

    /// Levels at which a lane may run.
    fn levels(&self) -> impl Iterator<Item = f64> + use<> {
        let depth = self.size.1;
        let edge = depth * 0.04;
        (0..).map(move |k| edge + STEP * f64::from(k)).take_while(move |y| *y <= depth - edge)
    }

    /// Two lanes side by side, `gap` apart, for a strip: the first conductor nearer to the front.
    pub fn bus(&self, strip: Rect, gap: f64) -> [Lane; 2] {
        let (left, right) = (self.size.0 * 0.02, self.size.0 * 0.98);
        let pair = |y: f64, x: f64| {
            [0.0, 1.0].map(|k| {
                let (y, x) = (y + gap * k, x + gap * (k - 0.5));
                let start = if y > strip.centre().y { strip.max.y } else { strip.min.y };
                Lane { along: (point(left, y), point(right, y)), drop: (point(x, start), point(x, y)) }
            })
        };
        let own = self.boxes.iter().position(|b| *b == strip);
        let starts = [0.5, 0.35, 0.65, 0.2, 0.8].map(|t| strip.min.x + strip.width() * t);
        let mut best = Cheapest::default();
        for y in self.levels() {
            let along = pair(y, strip.centre().x).map(|l| self.cost(l.along, None));
            if along[0] + along[1] >= best.limit {
                continue;
            }
            for x in starts {
                let lanes = pair(y, x);
                let one = |k: usize| {
                    let drop = lanes[k].drop;
                    let long = drop.0.distance(drop.1) * self.scale;
                    // The drop leaves its own strip, but a bus on it would hide it.
                    along[k] + self.cost(drop, own) + long * 0.2
                };
                best.offer(one(0) + one(1), lanes);
            }
        }
        best.item.unwrap_or_else(|| pair(strip.max.y + gap, strip.centre().x))
    }

    /// Paths from a strip to each of the drives, over a common trunk. `drives` are the pins, each
    /// with the place of its box in [`Ground::boxes`].
    pub fn looms(&self, strip: Rect, drives: &[(Point, Option<usize>)]) -> Vec<Vec<Point>> {
        let xs = drives.iter().map(|(p, _)| p.x).chain([strip.centre().x]);
        let (left, right) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, r), x| (l.min(x), r.max(x)));
        let mut best = Cheapest::default();
        for y in self.levels() {
            let trunk = self.cost((point(left, y), point(right, y)), None);
            let mut ups = 0.0;
            for (p, own) in drives {
                if trunk + ups >= best.limit {
                    break;
                }
                ups += self.cost((point(p.x, y), *p), *own) * 0.5;
            }
            best.offer(trunk + ups + (y - strip.centre().y).abs() * self.scale * 0.3, y);
        }
        let Some(trunk) = best.item else { return Vec::new() };
        let path = |(pin, own_box): &(Point, Option<usize>)| {
            // Beside a box in the way, then into the own one from the side.
            let asides = (0..=12).flat_map(|k| [-5.0, 5.0].map(|s| s * f64::from(k)));
            let mut best = Cheapest::default();
            for aside in asides {
                let x = pin.x + aside;
                let up = self.cost((point(x, trunk), point(x, pin.y)), *own_box);
                if up < best.limit {
                    best.offer(up + self.cost((point(x, pin.y), *pin), *own_box) + aside.abs() * 0.2, aside);
                }
            }
            let x = pin.x + best.item.unwrap_or(0.0);
            vec![strip.centre(), point(strip.centre().x, trunk), point(x, trunk), point(x, pin.y), *pin]
        };
        drives.iter().map(path).collect()
    }

    /// A lane without what would touch a hole.
    pub fn broken(&self, (a, b): (Point, Point)) -> Vec<(Point, Point)> {
        let clear = GAP / self.scale;
        let length = a.distance(b);
        let way = (b - a).unit();
        let mut cuts: Vec<f64> = self
            .holes
            .iter()
            .map(|h| ((*h - a).dot(way), (*h - a).cross(way).abs()))
            .filter(|(t, aside)| *aside < clear && *t > -clear && *t < length + clear)
            .map(|(t, _)| t)
            .collect();
        cuts.sort_by(f64::total_cmp);
        let mut pieces = Vec::new();
        let mut from = 0.0;
        for t in cuts {
            if t - clear > from + 1e-9 {
                pieces.push((a + way * from, a + way * (t - clear)));
            }
            from = f64::max(from, t + clear);
        }
        if from < length - 1e-9 {
            pieces.push((a + way * from, b));
        }
        pieces
    }
}

/// The first of the cheapest that were offered.
struct Cheapest<T> {
    item: Option<T>,
    /// What costs this much is no longer cheaper; costs only add up, so a sum may stop here.
    limit: f64,
}

impl<T> Default for Cheapest<T> {
    fn default() -> Self {
        Cheapest { item: None, limit: f64::INFINITY }
    }
}

impl<T> Cheapest<T> {
    fn offer(&mut self, cost: f64, item: T) {
        if cost < self.limit {
            *self = Cheapest { item: Some(item), limit: cost - 1e-9 };
        }
    }
}

/// Whether a line's own box has a point in common with an area.
fn meets(area: &Rect, a: Point, b: Point) -> bool {
    a.x.min(b.x) <= area.max.x
        && a.x.max(b.x) >= area.min.x
        && a.y.min(b.y) <= area.max.y
        && a.y.max(b.y) >= area.min.y
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ground() -> Ground {
        Ground { scale: 0.2, size: (1000.0, 400.0), ..Ground::default() }
    }

    #[test]
    fn the_bus_keeps_off_rails_and_holes_and_is_near_its_strip() {
        let strip = Rect::new(650.0, 30.0, 100.0, 18.0);
        let mut g = ground();
        g.boxes.push(strip);
        // Rails right beside the strip and a hole behind them: the lane lies behind both.
        g.rails = [60.0, 70.0, 80.0].map(|y| (point(0.0, y), point(1000.0, y))).to_vec();
        g.holes.push(point(300.0, 95.0));
        let lanes = g.bus(strip, 11.0);
        for lane in lanes {
            assert!(lane.along.0.y > 80.0 && lane.along.0.y < 160.0, "{lane:?}");
            assert_eq!(g.broken(lane.along), [lane.along]);
        }
    }

    #[test]
    fn a_lane_is_broken_round_a_hole_by_the_gap() {
        let mut g = ground();
        g.holes.push(point(500.0, 101.0));
        let pieces = g.broken((point(0.0, 100.0), point(1000.0, 100.0)));
        // 1.9 mm of paper at 1:5 are 9.5 mm of board.
        assert_eq!(pieces.len(), 2);
        assert!(pieces[0].1.is_at(point(490.5, 100.0)) && pieces[1].0.is_at(point(509.5, 100.0)));
    }
}
