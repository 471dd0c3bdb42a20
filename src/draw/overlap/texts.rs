//! Faults of texts: off the page, too small, unprintable, on one another, crossed, covered.

use super::grid::Grid;
use super::shapes::{extent, inside, page, segments};
use super::{Fault, FaultKind};
use crate::draw::scene::{Ink, Item, Path, Role, Scene, Stroke, Text};
use crate::draw::text::{bounds, glyphs, lettering, printable};
use crate::geom::{EPSILON, Point, Rect};

/// How far a line may reach into a text's box before it counts, in millimetres: about the white
/// that letters leave at the edge of their box.
const MARGIN: f64 = 0.15;

struct Label<'a> {
    text: &'a Text,
    area: Rect,
    /// Place in the painting order.
    order: usize,
    /// Place of a white disc beneath the text that holds all of it: what lies under the disc does
    /// not cross the text.
    disc: Option<usize>,
}

pub fn check(scene: &Scene, faults: &mut Vec<Fault>) {
    let page = page(scene);
    let labels: Vec<Label> = scene
        .items
        .iter()
        .enumerate()
        .filter_map(|(order, item)| match item {
            Item::Text(text) => {
                let area = bounds(text);
                Some(Label { text, area, order, disc: disc_under(scene, order, &area) })
            }
            _ => None,
        })
        .collect();
    let mut grid = Grid::new(scene.width, scene.height);
    for (i, label) in labels.iter().enumerate() {
        alone(label, &page, faults);
        for j in grid.near(&label.area) {
            if labels[j].area.overlaps(&label.area) {
                let detail = format!("“{}” and “{}”", labels[j].text.content, label.text.content);
                faults.push(Fault { kind: FaultKind::TextOnText, at: label.area.centre(), detail });
            }
        }
        grid.insert(i, &label.area);
    }
    for (order, item) in scene.items.iter().enumerate() {
        let Some(area) = extent(item) else { continue };
        if !page.holds(&area) {
            faults.push(Fault { kind: FaultKind::OutsidePage, at: area.centre(), detail: describe(item) });
        }
        match item {
            Item::Path(path) => path_on_texts(path, order, &labels, &grid, faults),
            Item::Circle { centre, radius, stroke, fill, .. } => {
                if stroke.is_some() || fill.is_some() {
                    let half = stroke.as_ref().map_or(0.0, Stroke::half_width);
                    circle_on_texts(*centre, *radius, half, (order, fill), &labels, &grid, faults);
                }
            }
            Item::Text(_) => {}
        }
    }
}

fn disc_under(scene: &Scene, order: usize, area: &Rect) -> Option<usize> {
    let r = area.inflate(-MARGIN);
    let corners = [r.min, r.max, Point { x: r.min.x, y: r.max.y }, Point { x: r.max.x, y: r.min.y }];
    scene.items[..order].iter().rposition(|item| match item {
        Item::Circle { centre, radius, fill: Some(Ink::WHITE), .. } => {
            corners.iter().all(|c| centre.distance(*c) <= *radius)
        }
        _ => false,
    })
}

fn alone(label: &Label, page: &Rect, faults: &mut Vec<Fault>) {
    let mut add = |kind, detail| faults.push(Fault { kind, at: label.text.at, detail });
    if !page.holds(&label.area) {
        add(FaultKind::OutsidePage, label.text.content.clone());
    }
    if label.text.height < lettering::SMALL - EPSILON {
        add(FaultKind::TextTooSmall, format!("“{}” {:.2} mm", label.text.content, label.text.height));
    }
    for (c, g) in glyphs(&printable(&label.text.content), label.text.bold) {
        if g.id == 0 {
            add(FaultKind::MissingGlyph, format!("U+{:04X} in “{}”", c as u32, label.text.content));
        }
    }
}

fn path_on_texts(path: &Path, order: usize, labels: &[Label], grid: &Grid, faults: &mut Vec<Fault>) {
    if path.stroke.is_none() && path.fill.is_none() {
        return;
    }
    let half = path.stroke.as_ref().map_or(0.0, Stroke::half_width);
    // A background tint may end within a text printed on it: nothing is lost.
    let tint = path.stroke.is_none() && path.role == Role::Decoration && path.fill.is_some_and(is_pale);
    for segment in segments(path) {
        for i in grid.near(&segment.bounds().inflate(half)) {
            let label = &labels[i];
            if (tint && order < label.order) || label.disc.is_some_and(|disc| order < disc) {
                continue;
            }
            let grown = label.area.inflate(half - MARGIN);
            if grown.width() > 0.0 && grown.crosses_segment(segment.a, segment.b) {
                let at = segment.nearest(label.area.centre());
                faults.push(crossed(label, at, &path.role));
            }
        }
    }
    if path.closed && path.fill.is_some() {
        let Some(area) = extent(&Item::Path(path.clone())) else { return };
        for i in grid.near(&area) {
            let label = &labels[i];
            if order > label.order && inside(path, label.area.centre()) {
                faults.push(covered(label));
            }
        }
    }
}

fn circle_on_texts(
    centre: Point,
    radius: f64,
    half: f64,
    (order, fill): (usize, &Option<Ink>),
    labels: &[Label],
    grid: &Grid,
    faults: &mut Vec<Fault>,
) {
    let area = Rect::around(centre, centre).inflate(radius + half);
    for i in grid.near(&area) {
        let label = &labels[i];
        let r = label.area.inflate(-MARGIN);
        if r.width() <= 0.0 {
            continue;
        }
        let within = |p: Point| p.distance(centre) < radius - half;
        let corners = [r.min, r.max, Point { x: r.min.x, y: r.max.y }, Point { x: r.max.x, y: r.min.y }];
        let nearest = Point { x: centre.x.clamp(r.min.x, r.max.x), y: centre.y.clamp(r.min.y, r.max.y) };
        if corners.into_iter().all(within) {
            if fill.is_some() && order > label.order {
                faults.push(covered(label));
            }
        } else if nearest.distance(centre) < radius + half {
            faults.push(crossed(label, nearest, &Role::Symbol));
        }
    }
}

fn crossed(label: &Label, at: Point, role: &Role) -> Fault {
    let by = match role {
        Role::Decoration => "a rule".to_owned(),
        Role::Symbol => "a symbol".to_owned(),
        Role::Wire { net, .. } => format!("a wire of {net}"),
        Role::Rail { rail } => format!("rail {rail}"),
        Role::Pin { name, .. } => format!("pin {name}"),
        Role::Junction { net } => format!("a dot of {net}"),
    };
    Fault { kind: FaultKind::TextCrossed, at, detail: format!("“{}” by {by}", label.text.content) }
}

fn covered(label: &Label) -> Fault {
    let detail = format!("“{}”", label.text.content);
    Fault { kind: FaultKind::TextCovered, at: label.area.centre(), detail }
}

/// Light enough to print black on.
fn is_pale(Ink(r, g, b): Ink) -> bool {
    u32::from(r) + u32::from(g) + u32::from(b) > 3 * 180
}

fn describe(item: &Item) -> String {
    match item {
        Item::Path(p) => format!("{:?}", p.role),
        Item::Circle { role, .. } => format!("{role:?}"),
        Item::Text(t) => t.content.clone(),
    }
}
