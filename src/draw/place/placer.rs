//! Looks for the places of labels: each takes the nearest free one around its anchors, and a leader
//! line once that is not close by. Labels placed earlier have the better places.
//!
//! Deterministic: the same obstacles and labels in the same order give the same places.

use super::labels::{Label, Placed};
use crate::draw::overlap::grid::Grid;
use crate::draw::place::offset::{segment_distance, segments_cross};
use crate::geom::{Point, Rect, Vector, point, vector};

#[derive(Clone, Copy, Debug)]
enum Shape {
    Segment { a: Point, b: Point, half: f64 },
    Box,
}

#[derive(Clone, Copy, Debug)]
struct Obstacle {
    /// The box itself, or the one round a line with its thickness.
    extent: Rect,
    shape: Shape,
}

/// What is already on the sheet, and the labels placed among it.
pub struct Placer {
    area: Rect,
    grid: Grid,
    obstacles: Vec<Obstacle>,
    /// Directions to look in besides a label's own.
    ways: [Vector; WAYS],
    efforts: &'static [Effort],
}

const WAYS: usize = 48;
/// White between words and anything else, in millimetres.
const CLEAR: f64 = 0.5;
/// White between a leader and a line beside it.
const BESIDE: f64 = 0.25;
/// Distances to try beyond the label's own gap.
const RINGS: [f64; 15] = [0.0, 0.8, 1.6, 2.6, 3.8, 5.2, 7.0, 9.0, 11.5, 14.0, 17.0, 21.0, 26.0, 32.0, 40.0];

/// How long a leader may be and how many lines it may cross.
struct Effort {
    reach: f64,
    over: usize,
    /// Whether to look in 48 directions instead of 16.
    fine: bool,
}

/// Tried in this order.
const EFFORTS: [Effort; 3] =
    [Effort::new(40.0, 0), Effort::new(40.0, usize::MAX), Effort::new(40.0, usize::MAX).finely()];
const SHORT: [Effort; 7] = [
    Effort::new(15.0, 0),
    Effort::new(15.0, 2),
    Effort::new(15.0, 2).finely(),
    Effort::new(15.0, 4).finely(),
    Effort::new(40.0, 2),
    Effort::new(40.0, usize::MAX),
    Effort::new(40.0, usize::MAX).finely(),
];

impl Effort {
    const fn new(reach: f64, over: usize) -> Effort {
        Effort { reach, over, fine: false }
    }

    const fn finely(self) -> Effort {
        Effort { fine: true, ..self }
    }
}

/// What is known of a place that was tried for a label. Nothing moves while a label looks for its
/// place: what was seen with less effort need not be looked at again with more.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Seen {
    Nothing,
    /// Something stands there, or the leader would run through words or along a line.
    Taken,
    /// Free, and so near that it needs no leader.
    Near,
    /// Free, with a leader across this many lines at least.
    Across(u32),
}

/// Words' box, and the leader to it.
type Spot = (Rect, Option<(Point, Point)>);

impl Obstacle {
    fn keeps_off(&self, grown: &Rect) -> bool {
        match self.shape {
            Shape::Segment { a, b, half } => {
                meet(&self.extent, grown) && grown.inflate(half).crosses_segment(a, b)
            }
            Shape::Box => self.extent.overlaps(grown),
        }
    }
}

/// Whether two boxes have a point in common: a quick look before a thorough one.
fn meet(a: &Rect, b: &Rect) -> bool {
    a.min.x <= b.max.x && b.min.x <= a.max.x && a.min.y <= b.max.y && b.min.y <= a.max.y
}

impl Placer {
    /// Labels stay inside `area`.
    pub fn new(area: Rect) -> Placer {
        let turn = |k: usize| Vector::from_angle(k as f64 * std::f64::consts::TAU / WAYS as f64);
        let (grid, obstacles) = (Grid::new(area.max.x, area.max.y), Vec::new());
        Placer { area, grid, obstacles, ways: std::array::from_fn(turn), efforts: &EFFORTS }
    }

    /// Rather a short leader across one track (two rails) than a long one.
    pub fn with_short_leaders(mut self) -> Placer {
        self.efforts = &SHORT;
        self
    }

    fn add(&mut self, extent: Rect, shape: Shape) {
        self.grid.insert(self.obstacles.len(), &extent);
        self.obstacles.push(Obstacle { extent, shape });
    }

    /// A line `half` millimetres thick on each side of its axis.
    pub fn block_line(&mut self, points: &[Point], half: f64) {
        for w in points.windows(2) {
            // Long lines in short pieces, so that their boxes stay slim.
            let pieces = (w[0].distance(w[1]) / 15.0).ceil().max(1.0);
            for k in 0..pieces as usize {
                let t = |k: usize| w[0].lerp(w[1], k as f64 / pieces);
                let (a, b) = (t(k), t(k + 1));
                self.add(Rect::around(a, b).inflate(half), Shape::Segment { a, b, half });
            }
        }
    }

    pub fn block_box(&mut self, area: Rect) {
        self.add(area, Shape::Box);
    }

    /// Finds a place, and keeps it free from then on; `None` if there is none within reach.
    pub fn place(&mut self, label: Label) -> Option<Placed> {
        self.place_in(label, &[self.area])
    }

    /// The same, with the words inside the first of these areas that has a place.
    pub fn place_in(&mut self, label: Label, areas: &[Rect]) -> Option<Placed> {
        let mut search = Search::new(self, &label);
        let (area, leader) = areas.iter().find_map(|area| search.find(area))?;
        self.block_box(area);
        if let Some((a, b)) = leader {
            self.block_line(&[a, b], 0.2);
        }
        Some(Placed { label, area, leader })
    }
}

/// One label's search for its place.
struct Search<'a> {
    placer: &'a Placer,
    label: &'a Label,
    size: Vector,
    /// The label's own directions, then all others.
    ways: Vec<Vector>,
    /// For each distance, each anchor, each direction; grows as the search goes outward.
    seen: Vec<Seen>,
    /// The obstacle met last: most likely it is in the way of the next place too.
    met: Option<usize>,
}

impl<'a> Search<'a> {
    fn new(placer: &'a Placer, label: &'a Label) -> Search<'a> {
        let bound = label.reach <= 0.0;
        let others = placer.ways.iter().copied().filter(|_| !bound);
        let ways = label.towards.iter().copied().chain(others).collect();
        Search { placer, label, size: label.size(), ways, seen: Vec::new(), met: None }
    }

    /// The best place with the words inside `within`.
    fn find(&mut self, within: &Rect) -> Option<Spot> {
        let (label, placer) = (self.label, self.placer);
        let anchors = label.anchors.len();
        placer.efforts.iter().find_map(|effort| {
            let rings = RINGS.iter().take_while(|r| **r <= label.reach.min(effort.reach));
            rings.enumerate().find_map(|(i, ring)| {
                let d = label.gap + ring;
                (0..anchors).find_map(|k| self.around(i * anchors + k, label.anchors[k], d, effort, within))
            })
        })
    }

    /// Looks round one anchor, `d` away; `turn` counts rings and anchors.
    fn around(&mut self, turn: usize, anchor: Point, d: f64, effort: &Effort, within: &Rect) -> Option<Spot> {
        let (own, all) = (self.label.towards.len(), self.ways.len());
        let first = turn * all;
        if self.seen.len() < first + all {
            self.seen.resize(first + all, Seen::Nothing);
        }
        // Sixteen directions, or three times as many.
        let step = if effort.fine { 1 } else { 3 };
        for k in (0..own).chain((own..all).step_by(step)) {
            let seen = self.seen[first + k];
            if seen == Seen::Taken || matches!(seen, Seen::Across(n) if n as usize > effort.over) {
                continue;
            }
            // The box touches the circle of radius d with its nearest side or corner.
            let (way, size) = (self.ways[k], self.size);
            let centre = anchor + way * d + vector(way.x * size.x / 2.0, way.y * size.y / 2.0);
            let area = Rect::new(centre.x - size.x / 2.0, centre.y - size.y / 2.0, size.x, size.y);
            if !within.holds(&area) {
                continue;
            }
            let (seen, leader) = self.look(seen, anchor, &area, effort.over);
            self.seen[first + k] = seen;
            match seen {
                Seen::Near => return Some((area, None)),
                Seen::Across(n) if n as usize <= effort.over => return Some((area, leader)),
                _ => {}
            }
        }
        None
    }

    /// Looks at a place for the words, and at the leader to it.
    fn look(
        &mut self,
        before: Seen,
        anchor: Point,
        area: &Rect,
        over: usize,
    ) -> (Seen, Option<(Point, Point)>) {
        if before == Seen::Nothing && !self.is_free(area) {
            return (Seen::Taken, None);
        }
        let end = point(anchor.x.clamp(area.min.x, area.max.x), anchor.y.clamp(area.min.y, area.max.y));
        if end.distance(anchor) <= self.label.near.max(self.label.gap + 0.5) {
            return (Seen::Near, None);
        }
        // The leader stops just before the words.
        let tip = end + (anchor - end).unit() * 0.4;
        (self.placer.leader(anchor, tip, over), Some((anchor, tip)))
    }

    fn is_free(&mut self, area: &Rect) -> bool {
        let placer = self.placer;
        let grown = area.inflate(CLEAR);
        let blocks = |i: usize| placer.obstacles[i].keeps_off(&grown);
        if !placer.area.holds(area) || self.met.is_some_and(blocks) {
            return false;
        }
        let met = placer.grid.find_near(&grown, blocks);
        self.met = met.or(self.met);
        met.is_none()
    }
}

impl Placer {
    /// What a leader from `from` to `to` meets: it must never run through words or along a line. It
    /// counts lines until they are more than `over`. What lies at its root does not count.
    fn leader(&self, from: Point, to: Point, over: usize) -> Seen {
        let root = from + (to - from).unit() * 0.9;
        // A leader along a line would pass for part of it.
        let probes = [0.5, 0.75, 1.0].map(|t| root.lerp(to, t));
        let extent = Rect::around(from, to);
        let wide = extent.inflate(BESIDE + 1e-6);
        // A line may lie in several cells of the grid, but counts once.
        let mut crossed: Vec<usize> = Vec::new();
        let hit = self.grid.find_near(&extent, |i| {
            let o = &self.obstacles[i];
            // Most things are far away: that is quicker to see by their boxes.
            if !meet(&o.extent, &wide) {
                return false;
            }
            match o.shape {
                Shape::Box => !o.extent.contains(from) && o.extent.inflate(0.2).crosses_segment(root, to),
                Shape::Segment { a, b, half } => {
                    let along = |p: &&Point| segment_distance(**p, a, b) < half + BESIDE;
                    if !crossed.contains(&i) && segments_cross((root, to), (a, b)) {
                        crossed.push(i);
                    }
                    crossed.len() > over || probes.iter().filter(along).count() > 1
                }
            }
        });
        match hit {
            Some(_) if crossed.len() <= over => Seen::Taken,
            _ => Seen::Across(crossed.len() as u32),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::overlap;
    use crate::draw::scene::{Ink, Role, Scene, Stroke};

    #[test]
    fn labels_of_one_crowded_point_neither_overlap_nor_leave_the_area() {
        let area = Rect::new(10.0, 10.0, 100.0, 80.0);
        let mut placer = Placer::new(area);
        let mut scene = Scene::new("s", "S", 120.0, 100.0);
        let rail = [point(10.0, 50.0), point(110.0, 50.0)];
        placer.block_line(&rail, 0.35);
        scene.polyline(rail.to_vec(), Stroke::solid(0.7, Ink::BLACK), Role::Decoration);
        let mut found = 0;
        for i in 1..=24 {
            let label = Label::new(format!("D{i} A"), 1.8, point(60.0, 50.0));
            let Some(placed) = placer.place(label) else { continue };
            assert!(area.holds(&placed.area));
            placed.draw(&mut scene);
            found += 1;
        }
        // Six stand round the point; what comes after would need leaders through their words.
        assert!(found >= 6, "{found}");
        assert!(overlap::check(&scene).faults.is_empty());
    }

    #[test]
    fn a_lone_label_takes_the_first_direction_without_a_leader() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 100.0, 100.0));
        let mut label = Label::new("J1", 1.8, point(50.0, 50.0));
        label.towards = vec![vector(0.0, 1.0)];
        let placed = placer.place(label).unwrap();
        assert_eq!(placed.leader, None);
        assert!((placed.area.min.y - 50.9).abs() < 1e-9 && (placed.area.centre().x - 50.0).abs() < 1e-9);
    }

    #[test]
    fn without_room_there_is_no_place() {
        let mut placer = Placer::new(Rect::new(0.0, 0.0, 3.0, 3.0));
        assert_eq!(placer.place(Label::new("a long name", 2.5, point(1.0, 1.0))), None);
    }
}
