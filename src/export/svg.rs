//! One sheet as SVG, in millimetres. Each element says in its class and data attributes what it
//! stands for, so that the circuit can be read back from the file.

use svg::node::element::{Circle, Element, Group, Rectangle, Text as TextElement, Title};
use svg::{Document, Node};

use super::look::{self, Line};
use super::number::number;
use crate::draw::scene::{Anchor, Ink, Item, Path, Role, Scene, Stroke, Text};
use crate::draw::text::{self, FAMILY};

/// The sheet as an SVG document.
///
/// The face is the condensed one of its family, which SVG tells apart by `font-stretch`; asking for
/// it by its full name would find nothing. Kerning is off, because widths are sums of advances.
pub fn svg(scene: &Scene) -> String {
    let mut sheet = Group::new()
        .set("font-family", format!("{FAMILY}, sans-serif"))
        .set("font-stretch", "semi-condensed")
        .set("style", "font-kerning:none")
        .set("stroke-linejoin", "round")
        .set("fill", "none");
    for item in &scene.items {
        sheet = match item {
            Item::Path(p) => path(sheet, p),
            Item::Circle { centre, radius, stroke, fill, role } => {
                let shape = || {
                    Circle::new()
                        .set("cx", number(centre.x))
                        .set("cy", number(centre.y))
                        .set("r", number(*radius))
                        .into()
                };
                shapes(sheet, shape, stroke.as_ref(), *fill, role)
            }
            Item::Text(t) => sheet.add(label(t)),
        };
    }
    let (w, h) = (number(scene.width), number(scene.height));
    Document::new()
        .set("width", format!("{w}mm"))
        .set("height", format!("{h}mm"))
        .set("viewBox", format!("0 0 {w} {h}"))
        .add(Title::new(text::printable(&scene.title).into_owned()))
        .add(Rectangle::new().set("width", w).set("height", h).set("fill", "#fff"))
        .add(sheet)
        .to_string()
}

fn path(sheet: Group, p: &Path) -> Group {
    let points: Vec<String> = p.points.iter().map(|q| format!("{},{}", number(q.x), number(q.y))).collect();
    let points = points.join(" ");
    let name = if p.closed { "polygon" } else { "polyline" };
    let shape = || {
        let mut e = Element::new(name);
        e.assign("points", points.as_str());
        e
    };
    shapes(sheet, shape, p.stroke.as_ref(), p.fill, &p.role)
}

/// The shape, after its wider copy in the edge's ink if it has one.
fn shapes(
    mut sheet: Group,
    shape: impl Fn() -> Element,
    stroke: Option<&Stroke>,
    fill: Option<Ink>,
    role: &Role,
) -> Group {
    let mut lines: Vec<Line> = stroke.map(|s| look::lines(s, role).collect()).unwrap_or_default();
    let top = lines.pop();
    for line in &lines {
        let mut e = shape();
        e.assign("class", "edge");
        outline(&mut e, line);
        sheet = sheet.add(e);
    }
    let mut e = shape();
    meaning(&mut e, role);
    if let Some(line) = &top {
        outline(&mut e, line);
    }
    if let Some(ink) = fill {
        e.assign("fill", colour(ink));
    }
    sheet.add(e)
}

fn outline(e: &mut Element, line: &Line) {
    e.assign("stroke", colour(line.ink));
    e.assign("stroke-width", number(line.width));
    if line.round_ends {
        e.assign("stroke-linecap", "round");
    }
    if !line.dash.is_empty() {
        let lengths: Vec<String> = line.dash.iter().map(|d| number(*d)).collect();
        e.assign("stroke-dasharray", lengths.join(" "));
    }
}

fn meaning(e: &mut Element, role: &Role) {
    let clean = |s: &str| text::printable(s).into_owned();
    let class = match role {
        Role::Decoration => "decoration",
        Role::Symbol => "symbol",
        Role::Wire { net, wire } => {
            e.assign("data-net", clean(net));
            if let Some(wire) = wire {
                e.assign("data-wire", clean(wire));
            }
            "wire"
        }
        Role::Rail { rail } => {
            e.assign("data-rail", clean(rail));
            "rail"
        }
        Role::Pin { name, net } => {
            e.assign("data-pin", clean(name));
            e.assign("data-net", clean(net));
            "pin"
        }
        Role::Junction { net } => {
            e.assign("data-net", clean(net));
            "junction"
        }
    };
    e.assign("class", class);
}

fn label(t: &Text) -> TextElement {
    let (x, y) = (number(t.at.x), number(t.at.y));
    let mut e = TextElement::new(text::printable(&t.content).into_owned())
        .set("font-size", number(text::font_size(t.height)))
        .set("fill", colour(t.ink));
    match t.anchor {
        Anchor::Start => {}
        Anchor::Middle => e = e.set("text-anchor", "middle"),
        Anchor::End => e = e.set("text-anchor", "end"),
    }
    if t.bold {
        e = e.set("font-weight", "bold");
    }
    if t.upright {
        e = e.set("transform", format!("rotate(-90 {x} {y})"));
    }
    e.set("x", x).set("y", y)
}

fn colour(Ink(r, g, b): Ink) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}
