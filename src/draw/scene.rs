//! The finished picture: every line, dot, pin and text at its final place, in millimetres from the
//! top left corner of the page, y down. Exporters merely write it out; tests read it back.
//!
//! A reader of a [`Scene`] need not worry any more about layout, fonts or units: what is here is
//! what is printed.

use crate::geom::{Point, Rect};

/// One page of the book.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// For file names: `turnouts-1`.
    pub slug: String,
    /// For the title block and the outline: "Turnouts T1 to T4".
    pub title: String,
    pub width: f64,
    pub height: f64,
    /// In painting order.
    pub items: Vec<Item>,
}

/// Something on the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// An open or closed run of straight segments.
    Path(Path),
    Circle {
        centre: Point,
        radius: f64,
        stroke: Option<Stroke>,
        fill: Option<Ink>,
        role: Role,
    },
    Text(Text),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    pub points: Vec<Point>,
    pub closed: bool,
    pub stroke: Option<Stroke>,
    pub fill: Option<Ink>,
    pub role: Role,
}

/// What an item stands for, so that a test can rebuild the circuit from the picture.
#[derive(Clone, Debug, PartialEq)]
pub enum Role {
    /// Frame, table rule, hatching: carries no connection.
    Decoration,
    /// The outline or a stroke of a symbol; wires must not pass through its box.
    Symbol,
    /// A conductor of the net named; the wire's number if it is one numbered wire.
    Wire { net: String, wire: Option<String> },
    /// A rail drawn in its feed.
    Rail { rail: String },
    /// Where wires may end: "S1:2", "XB1:4", or a cross-reference "→ 3/B2 …".
    Pin { name: String, net: String },
    /// A dot: the wires that meet here are joined.
    Junction { net: String },
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    pub width: f64,
    pub ink: Ink,
    pub dash: Dash,
    /// A darker edge on both sides, so that white and yellow wires show on paper.
    pub edge: Option<Ink>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    Solid,
    Dashed,
    /// Long, short: the outline of an assembly (ISO 128 line 04).
    ChainDotted,
}

/// A printing colour, 24-bit RGB.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Ink(pub u8, pub u8, pub u8);

impl Ink {
    pub const BLACK: Ink = Ink(0, 0, 0);
    pub const WHITE: Ink = Ink(255, 255, 255);
    pub const GREY: Ink = Ink(110, 110, 110);
    pub const LIGHT: Ink = Ink(205, 205, 205);
}

#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The end of the baseline that the anchor names.
    pub at: Point,
    pub content: String,
    /// Height of a capital in millimetres (ISO 3098's h), not the font size.
    pub height: f64,
    pub bold: bool,
    pub anchor: Anchor,
    pub ink: Ink,
    /// Turned a quarter anticlockwise: reads from bottom to top.
    pub upright: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// Radius of a pin without ink; small, so that only a wire that ends exactly there meets it.
const PIN_REACH: f64 = 0.1;

impl Stroke {
    /// How far a dark edge shows on each side, in millimetres.
    pub const EDGE: f64 = 0.15;

    /// Half of what the stroke covers across, its edge included.
    pub fn half_width(&self) -> f64 {
        self.width / 2.0 + if self.edge.is_some() { Stroke::EDGE } else { 0.0 }
    }

    pub const fn solid(width: f64, ink: Ink) -> Stroke {
        Stroke { width, ink, dash: Dash::Solid, edge: None }
    }
}

impl Scene {
    pub fn new(slug: impl Into<String>, title: impl Into<String>, width: f64, height: f64) -> Scene {
        Scene { slug: slug.into(), title: title.into(), width, height, items: Vec::new() }
    }

    pub fn line(&mut self, a: Point, b: Point, stroke: Stroke, role: Role) {
        self.polyline(vec![a, b], stroke, role);
    }

    pub fn polyline(&mut self, points: Vec<Point>, stroke: Stroke, role: Role) {
        self.items.push(Item::Path(Path { points, closed: false, stroke: Some(stroke), fill: None, role }));
    }

    pub fn polygon(&mut self, points: Vec<Point>, stroke: Option<Stroke>, fill: Option<Ink>, role: Role) {
        self.items.push(Item::Path(Path { points, closed: true, stroke, fill, role }));
    }

    pub fn rect(&mut self, r: Rect, stroke: Option<Stroke>, fill: Option<Ink>, role: Role) {
        let corners = vec![r.min, Point { x: r.max.x, y: r.min.y }, r.max, Point { x: r.min.x, y: r.max.y }];
        self.polygon(corners, stroke, fill, role);
    }

    pub fn circle(
        &mut self,
        centre: Point,
        radius: f64,
        stroke: Option<Stroke>,
        fill: Option<Ink>,
        role: Role,
    ) {
        self.items.push(Item::Circle { centre, radius, stroke, fill, role });
    }

    /// Text with its baseline at `at`.
    pub fn text(&mut self, at: Point, height: f64, anchor: Anchor, content: impl Into<String>) {
        self.push_text(at, height, anchor, false, Ink::BLACK, content);
    }

    pub fn bold(&mut self, at: Point, height: f64, anchor: Anchor, content: impl Into<String>) {
        self.push_text(at, height, anchor, true, Ink::BLACK, content);
    }

    pub fn push_text(
        &mut self,
        at: Point,
        height: f64,
        anchor: Anchor,
        bold: bool,
        ink: Ink,
        content: impl Into<String>,
    ) {
        self.items.push(Item::Text(Text {
            at,
            content: content.into(),
            height,
            bold,
            anchor,
            ink,
            upright: false,
        }));
    }

    /// Text that reads from bottom to top.
    pub fn upright(&mut self, at: Point, height: f64, anchor: Anchor, content: impl Into<String>) {
        self.text(at, height, anchor, content);
        if let Some(Item::Text(t)) = self.items.last_mut() {
            t.upright = true;
        }
    }

    /// A conductor through the points given.
    pub fn wire(&mut self, points: Vec<Point>, stroke: Stroke, net: &str, wire: Option<&str>) {
        let role = Role::Wire { net: net.to_owned(), wire: wire.map(str::to_owned) };
        self.polyline(points, stroke, role);
    }

    /// A place where wires may end, without ink of its own: the symbol there shows it.
    pub fn pin(&mut self, at: Point, name: impl Into<String>, net: impl Into<String>) {
        self.circle(at, PIN_REACH, None, None, Role::Pin { name: name.into(), net: net.into() });
    }

    pub fn texts(&self) -> impl Iterator<Item = &Text> {
        self.items.iter().filter_map(|i| match i {
            Item::Text(t) => Some(t),
            _ => None,
        })
    }
}
