//! Words beside what they name: every label takes the nearest free place around its anchor, and a
//! leader line once that is not close by. Labels placed earlier have the better places.
//!
//! Deterministic: the same obstacles and labels in the same order give the same places.

use crate::draw::line::THIN;
use crate::draw::overlap::grid::Grid;
use crate::draw::place::offset::{segment_distance, segments_cross};
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

#[derive(Clone, Copy, Debug)]
enum Obstacle {
    Segment { a: Point, b: Point, half: f64 },
    Box(Rect),
}

/// What is already on the sheet, and the labels placed among it.
pub struct Placer {
    area: Rect,
    grid: Grid,
    obstacles: Vec<Obstacle>,
    /// Directions to look in besides a label's own.
    ways: [Vector; 48],
    efforts: &'static [Effort],
}

/// White between words and anything else, in millimetres.
const CLEAR: f64 = 0.5;
const LEADER: Stroke = Stroke::solid(THIN / 2.0 + 0.05, Ink::GREY);
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
    fn size(&self) -> Vector {
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

impl Placer {
    /// Labels stay inside `area`.
    pub fn new(area: Rect) -> Placer {
        let ways = std::array::from_fn(|k| Vector::from_angle(k as f64 * std::f64::consts::TAU / 48.0));
        let (grid, obstacles) = (Grid::new(area.max.x, area.max.y), Vec::new());
        Placer { area, grid, obstacles, ways, efforts: &EFFORTS }
    }

    /// Rather a short leader across one track (two rails) than a long one.
    pub fn with_short_leaders(mut self) -> Placer {
        self.efforts = &SHORT;
        self
    }

    fn add(&mut self, obstacle: Obstacle) {
        let extent = match obstacle {
            Obstacle::Segment { a, b, half } => Rect::around(a, b).inflate(half),
            Obstacle::Box(r) => r,
        };
        self.grid.insert(self.obstacles.len(), &extent);
        self.obstacles.push(obstacle);
    }

    /// A line `half` millimetres thick on each side of its axis.
    pub fn block_line(&mut self, points: &[Point], half: f64) {
        for w in points.windows(2) {
            // Long lines in short pieces, so that their boxes stay slim.
            let pieces = (w[0].distance(w[1]) / 15.0).ceil().max(1.0);
            for k in 0..pieces as usize {
                let t = |k: usize| w[0].lerp(w[1], k as f64 / pieces);
                self.add(Obstacle::Segment { a: t(k), b: t(k + 1), half });
            }
        }
    }

    pub fn block_box(&mut self, area: Rect) {
        self.add(Obstacle::Box(area));
    }

    pub fn is_free(&self, area: &Rect) -> bool {
        let grown = area.inflate(CLEAR);
        self.area.holds(area)
            && self.grid.all_near(&grown, |i| match self.obstacles[i] {
                Obstacle::Segment { a, b, half } => !grown.inflate(half).crosses_segment(a, b),
                Obstacle::Box(r) => !r.overlaps(&grown),
            })
    }

    /// Whether a leader from `from` may run to `to`: never through words, and through no more than
    /// `over` lines. What lies at its root does not count.
    fn is_open(&self, from: Point, to: Point, over: usize) -> bool {
        let root = from + (to - from).unit() * 0.9;
        // A leader along a line would pass for part of it.
        let probes = [0.5, 0.75, 1.0].map(|t| root.lerp(to, t));
        // A line may lie in several cells of the grid, but counts once.
        let mut crossed: Vec<usize> = Vec::new();
        self.grid.all_near(&Rect::around(from, to), |i| match self.obstacles[i] {
            Obstacle::Box(r) => r.contains(from) || !r.inflate(0.2).crosses_segment(root, to),
            Obstacle::Segment { a, b, half } => {
                let reach = half + 0.25;
                // Most lines are far away: that is quicker to see by their boxes.
                let beside = Rect::around(a, b).inflate(reach + 1e-6);
                let along = |p: &Point| beside.contains(*p) && segment_distance(*p, a, b) < reach;
                if !crossed.contains(&i) && segments_cross((root, to), (a, b)) {
                    crossed.push(i);
                }
                crossed.len() <= over && probes.iter().filter(|p| along(p)).count() < 2
            }
        })
    }

    /// Finds a place, and keeps it free from then on; `None` if there is none within reach.
    pub fn place(&mut self, label: Label) -> Option<Placed> {
        self.place_in(label, self.area)
    }

    /// The same, with the words inside `area`.
    pub fn place_in(&mut self, label: Label, area: Rect) -> Option<Placed> {
        let size = label.size();
        let spot = self.efforts.iter().find_map(|effort| {
            RINGS.iter().take_while(|r| **r <= label.reach.min(effort.reach)).find_map(|ring| {
                let d = label.gap + ring;
                label.anchors.iter().find_map(|a| self.around(*a, d, &label, size, (effort, &area)))
            })
        });
        let (area, leader) = spot?;
        self.block_box(area);
        if let Some((a, b)) = leader {
            self.block_line(&[a, b], 0.2);
        }
        Some(Placed { label, area, leader })
    }

    fn around(
        &self,
        anchor: Point,
        d: f64,
        label: &Label,
        size: Vector,
        (effort, within): (&Effort, &Rect),
    ) -> Option<(Rect, Option<(Point, Point)>)> {
        let bound = label.reach <= 0.0;
        // Sixteen directions, or three times as many.
        let step = if effort.fine { 1 } else { 3 };
        let others = self.ways.iter().step_by(step).copied().filter(|_| !bound);
        let free = label.towards.iter().copied().chain(others);
        for way in free {
            // The box touches the circle of radius d with its nearest side or corner.
            let centre = anchor + way * d + vector(way.x * size.x / 2.0, way.y * size.y / 2.0);
            let area = Rect::new(centre.x - size.x / 2.0, centre.y - size.y / 2.0, size.x, size.y);
            if !within.holds(&area) || !self.is_free(&area) {
                continue;
            }
            let end = point(anchor.x.clamp(area.min.x, area.max.x), anchor.y.clamp(area.min.y, area.max.y));
            let distance = end.distance(anchor);
            if distance <= label.near.max(label.gap + 0.5) {
                return Some((area, None));
            }
            // The leader stops just before the words.
            let tip = end + (anchor - end).unit() * 0.4;
            if self.is_open(anchor, tip, effort.over) {
                return Some((area, Some((anchor, tip))));
            }
        }
        None
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::overlap;

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
