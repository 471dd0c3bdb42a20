//! Draws wires and their labels, straight from the wiring.

use super::Book;
use crate::circuit::{NetId, PinRef};
use crate::draw::ink::conductor;
use crate::draw::line::{HEAVY, WIRE};
use crate::draw::scene::{Anchor, Ink, Scene, Stroke};
use crate::draw::symbols::{bus_dot, terminal};
use crate::draw::text::{self, lettering};
use crate::geom::{Point, point};
use crate::hardware::{End, TerminalRef, Wire, WireId};
use crate::parse::Colour;

/// Where a label may lie: from `x` to the right, on the line at `y`.
#[derive(Clone, Copy)]
pub(in crate::draw) struct Label {
    pub x: f64,
    pub y: f64,
    pub width: f64,
}

impl Book<'_> {
    pub fn wire_between(&self, a: End, b: End) -> Option<(WireId, Wire)> {
        let found = self.design.wiring.wires.iter().enumerate().find(|(_, w)| w.joins(a, b));
        found.map(|(i, w)| (WireId(i), w.clone()))
    }

    /// The wire that joins an end to a terminal, and that terminal.
    pub fn terminal_of(&self, end: End) -> Option<(WireId, TerminalRef)> {
        self.design.wiring.wires.iter().enumerate().find_map(|(i, w)| match (w.from, w.to) {
            (a, End::Terminal(t)) if a == end => Some((WireId(i), t)),
            (End::Terminal(t), b) if b == end => Some((WireId(i), t)),
            _ => None,
        })
    }

    pub fn net_name(&self, net: NetId) -> &str {
        &self.design.circuit[net].name
    }

    pub fn net_colour(&self, net: NetId) -> Colour {
        let dcc = *self.design.document.layout.control == crate::parse::TrainControl::Dcc;
        self.design.wiring.palette.colour(self.design.circuit[net].kind.function(dcc))
    }

    /// Draws a numbered wire along `points`, with its label above the line.
    pub fn draw_wire(&mut self, scene: &mut Scene, id: WireId, points: Vec<Point>, label: Option<Label>) {
        let wire = self.design.wiring.wires[id.0].clone();
        let net = self.net_name(wire.net).to_owned();
        scene.wire(points, conductor(wire.colour, WIRE), &net, Some(&wire.number.to_string()));
        if let Some(label) = label {
            write_label(scene, &wire.label(), label, self.label_size);
        }
        self.drawn.insert(id);
    }

    /// Draws a conductor that is no numbered wire: a jumper, or a stretch of a bus.
    pub fn draw_net(&self, scene: &mut Scene, net: NetId, points: Vec<Point>, heavy: bool) {
        let width = if heavy { HEAVY } else { WIRE };
        scene.wire(points, conductor(self.net_colour(net), width), self.net_name(net), None);
    }

    /// Dots are black, so that they show on a black-and-white print too.
    pub fn draw_dot(&self, scene: &mut Scene, net: NetId, at: Point) {
        bus_dot::bus_dot(scene, at, Ink::BLACK, self.net_name(net));
    }

    /// A jumper between two terminals: a bar, not a wire.
    pub fn draw_jumper(&self, scene: &mut Scene, net: NetId, points: Vec<Point>) {
        scene.wire(points, Stroke::solid(HEAVY, Ink::BLACK), self.net_name(net), None);
    }

    pub fn draw_pin(&self, scene: &mut Scene, pin: PinRef, at: Point) {
        if let Some(net) = self.design.circuit.pin(pin).net {
            scene.pin(at, self.design.circuit.pin_name(pin), self.net_name(net));
        }
    }

    /// A terminal with its number in it, or above it when it has three digits.
    pub fn draw_terminal(&self, scene: &mut Scene, at: Point, t: TerminalRef) {
        let wiring = &self.design.wiring;
        let net = self.net_name(wiring.terminal(t).net);
        terminal::terminal(scene, at, wiring.terminal_name(t), net);
        let number = wiring.terminal(t).number.to_string();
        let y = if number.len() < 3 { at.y + lettering::SMALL / 2.0 } else { at.y - 2.3 };
        scene.text(point(at.x, y), lettering::SMALL, Anchor::Middle, number);
    }
}

/// The label at name size if it fits, else at the smallest, else cut short.
pub(super) fn write_label(scene: &mut Scene, content: &str, label: Label, size: f64) {
    let fits = text::width(content, size, false) <= label.width;
    let size = if fits { size } else { lettering::SMALL };
    let content = text::fit(content, size, false, label.width);
    scene.text(point(label.x, label.y - 0.8), size, Anchor::Start, content);
}

/// A pin's name beside it, in the smallest lettering.
pub(super) fn pin_name(scene: &mut Scene, at: Point, anchor: Anchor, name: &str) {
    scene.text(at, lettering::SMALL, anchor, name);
}

pub(super) fn thin() -> Stroke {
    Stroke::solid(crate::draw::line::THIN, Ink::BLACK)
}

pub(super) fn light() -> Stroke {
    Stroke::solid(crate::draw::line::THIN, Ink::LIGHT)
}
