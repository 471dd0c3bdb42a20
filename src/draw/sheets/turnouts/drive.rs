//! The drive, and the contact that feeds the frog.

use super::super::pen::{Label, pin_name, thin};
use super::super::{Book, Thing};
use super::band::Work;
use super::columns::Columns;
use crate::circuit::{Contact, DriveSymbol, PartId, PartKind, PinRef};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Dash, Role, Stroke};
use crate::draw::symbols::changeover::{Changeover, Pins, changeover};
use crate::draw::symbols::{coil, motor, servo};
use crate::draw::text::{self, lettering};
use crate::drives::{BarPlan, Pairing};
use crate::geom::{Point, Rect, point};
use crate::hardware::End;

/// Draws the drive and, if there is one, the relay's coils; returns the pins that a line of the
/// band runs to.
pub(super) fn draw(
    book: &mut Book,
    page: &mut Page,
    work: &Work,
    plan: &BarPlan,
    part: PartId,
    (top, end, relay_row): (f64, f64, f64),
) -> Vec<(PinRef, Point)> {
    let x = work.cols.drive;
    let has_contact = book.design.circuit.contacts.iter().any(|c| c.part == part);
    let PartKind::Drive { pattern, .. } = book.design.circuit[part].kind else { return Vec::new() };
    let mut d = Drawer { book, page, x, pins: Vec::new() };
    match pattern {
        DriveSymbol::TwinCoil => {
            d.coils(part, &[("N", top + 10.0), ("R", top + 20.0)], ("C", top + 27.5));
            d.outline(part, top + 4.5, top + end, has_contact);
        }
        DriveSymbol::Motor => {
            d.motor(part, top + 12.5, top + 27.5);
            d.outline(part, top + 4.5, top + end, has_contact);
        }
        DriveSymbol::Servo => d.servo(plan, part, top + 10.0),
    }
    if d.book.design.plan.wants_relay(plan.bar) {
        let relay =
            d.book.design.circuit.find(|k| matches!(k, PartKind::Relay { bar, .. } if bar == plan.bar));
        if let Some(relay) = relay {
            d.relay(relay, top + relay_row);
        }
    }
    d.pins
}

struct Drawer<'b, 'd> {
    book: &'b mut Book<'d>,
    page: &'b mut Page,
    x: f64,
    pins: Vec<(PinRef, Point)>,
}

impl Drawer<'_, '_> {
    fn pin(&mut self, part: PartId, name: &str, at: Point) {
        if let Some(pin) = self.book.design.circuit.pin_of(part, name) {
            self.book.draw_pin(&mut self.page.scene, pin, at);
            self.pins.push((pin, at));
        }
        // Between the pin and the body of the symbol, which begins 2.5 mm on.
        pin_name(&mut self.page.scene, point(at.x + 2.2, at.y - 0.7), Anchor::End, name);
    }

    fn lead(&mut self, points: &[Point]) {
        self.page.scene.polyline(points.to_vec(), thin(), Role::Symbol);
    }

    /// Coils under one another, their right ends joined to a common pin at the left.
    fn coils(&mut self, part: PartId, coils: &[(&str, f64)], common: (&str, f64)) {
        let x = self.x;
        let joint = x + 16.25;
        for (name, y) in coils {
            let ends = coil::coil(&mut self.page.scene, point(x, *y));
            self.pin(part, name, ends.a);
            self.lead(&[ends.b, point(joint, *y)]);
        }
        let (name, y) = common;
        let first = coils.first().map_or(y, |c| c.1);
        self.lead(&[point(joint, first), point(joint, y), point(x, y)]);
        for (_, at) in coils.iter().skip(1) {
            self.page.scene.circle(
                point(joint, *at),
                0.55,
                None,
                Some(crate::draw::scene::Ink::BLACK),
                Role::Symbol,
            );
        }
        self.pin(part, name, point(x, y));
    }

    fn motor(&mut self, part: PartId, one: f64, two: f64) {
        let x = self.x;
        let ends = motor::motor(&mut self.page.scene, point(x, one));
        self.pin(part, "1", ends.a);
        let joint = x + 16.25;
        self.lead(&[ends.b, point(joint, one), point(joint, two), point(x, two)]);
        self.pin(part, "2", point(x, two));
    }

    /// Controller or decoder at the left, its lead, the servo at the right.
    fn servo(&mut self, plan: &BarPlan, part: PartId, y: f64) {
        let x = self.x;
        let right = x + 7.5;
        let at = point(x + 27.5, y);
        let pins = servo::servo(&mut self.page.scene, at);
        let name = self.book.design.circuit[part].designation.clone();
        self.page.scene.bold(point(x + 40.0, y - 4.0), lettering::HEADING, Anchor::End, name);
        self.book.place(Thing::Part(part), self.page, at);
        let mut controller = None;
        for (own, end) in [("S", pins.signal), ("+", pins.plus), ("−", pins.minus)] {
            let Some(pin) = self.book.design.circuit.pin_of(part, own) else { continue };
            self.book.draw_pin(&mut self.page.scene, pin, end);
            let found =
                self.book.design.wiring.wires.iter().enumerate().find_map(|(i, w)| match (w.from, w.to) {
                    (End::Pin(a), End::Pin(b)) if b == pin => Some((crate::hardware::WireId(i), a)),
                    (End::Pin(a), End::Pin(b)) if a == pin => Some((crate::hardware::WireId(i), b)),
                    _ => None,
                });
            let Some((id, source)) = found else { continue };
            controller = Some(source.part);
            let start = point(right + 2.5, end.y);
            self.book.draw_pin(&mut self.page.scene, source, start);
            self.lead(&[point(right, end.y), start]);
            let source_name = self.book.design.circuit.pin(source).name;
            pin_name(&mut self.page.scene, point(right - 0.6, end.y + 0.9), Anchor::End, source_name);
            let label = Label { x: start.x + 0.8, y: end.y, width: end.x - start.x - 1.2 };
            self.book.draw_wire(&mut self.page.scene, id, vec![start, end], Some(label));
        }
        let outline = Rect::new(x, y - 2.5, 7.5, 15.0);
        self.page.scene.rect(outline, Some(thin()), None, Role::Symbol);
        let Some(controller) = controller else { return };
        let name = self.book.design.circuit[controller].designation.clone();
        self.page.scene.bold(point(x, y - 4.0), lettering::HEADING, Anchor::Start, name);
        self.book.place(Thing::Part(controller), self.page, point(x, y));
        if plan.pairing == Pairing::ServoToggle {
            // The input that follows this turnout's control.
            let input = self.book.design.circuit[controller].pins.iter().position(|p| {
                p.net.is_some_and(|n| {
                    let net = &self.book.design.circuit[n];
                    net.kind == crate::circuit::NetKind::Input && p.name.starts_with('I') && {
                        // Inputs and outputs of a channel bear the same number.
                        let channel = &p.name[1..];
                        self.book.design.circuit[controller].pins.iter().any(|o| {
                            o.name == format!("{channel}S")
                                && o.net.is_some_and(|on| {
                                    self.book.design.circuit[on].pins.iter().any(|q| q.part == part)
                                })
                        })
                    }
                })
            });
            if let Some(pin) = input {
                let pin = PinRef { part: controller, pin };
                let at = point(x, y);
                self.book.draw_pin(&mut self.page.scene, pin, at);
                self.pins.push((pin, at));
                let name = self.book.design.circuit.pin(pin).name;
                pin_name(&mut self.page.scene, point(x + 0.6, y + 0.9), Anchor::Start, name);
                let words = format!("channel {}", &name[1..]);
                self.page.scene.text(point(x + 10.0, y - 4.0), lettering::SMALL, Anchor::Start, words);
            }
        }
    }

    fn relay(&mut self, relay: PartId, y: f64) {
        let two = self.book.design.circuit.pin_of(relay, "B1").is_some();
        if two {
            self.coils(relay, &[("A1", y), ("B1", y + 10.0)], ("A2", y + 17.5));
        } else {
            self.coils(relay, &[("A1", y)], ("A2", y + 7.5));
        }
        if two {
            let at = point(self.x + 0.4, y + 20.4);
            self.page.scene.text(at, lettering::SMALL, Anchor::Start, "diodes built in");
        }
        let name = self.book.design.circuit[relay].designation.clone();
        self.book.place(Thing::Part(relay), self.page, point(self.x, y));
        for dy in if two { vec![0.0, 10.0] } else { vec![0.0] } {
            let inside = point(self.x + 7.5, y + dy + lettering::BODY / 2.0);
            self.page.scene.bold(inside, lettering::BODY, Anchor::Middle, name.clone());
        }
    }

    /// The chain-dotted outline of an assembly, with its name and value at the foot.
    fn outline(&mut self, part: PartId, top: f64, bottom: f64, with_contact: bool) {
        // Pins stand on the outline.
        let right = self.x + if with_contact { 35.0 } else { 18.75 };
        let left = self.x;
        outline(self.page, Rect::new(left, top, right - left, bottom - top));
        let name = self.book.design.circuit[part].designation.clone();
        let value = self.book.design.circuit[part].value.clone();
        let at = point(self.x + 0.5, bottom - 1.2);
        let w = text::width(&name, lettering::HEADING, true) + 1.8;
        self.page.scene.bold(at, lettering::HEADING, Anchor::Start, name);
        let room = right - at.x - w - 1.0;
        // The value stands beside the name if there is room for it, else it is left to the tables.
        if text::width(&value, lettering::SMALL, false) <= room {
            self.page.scene.text(point(at.x + w, at.y), lettering::SMALL, Anchor::Start, value);
        }
        self.book.place(Thing::Part(part), self.page, at);
    }
}

fn outline(page: &mut Page, r: Rect) {
    let pen = Stroke { dash: Dash::ChainDotted, ..thin() };
    page.scene.rect(r, Some(pen), None, Role::Decoration);
}

/// A contact: outers at the right, the common led round to its row at the right too.
pub(super) fn contact(
    book: &mut Book,
    page: &mut Page,
    cols: &Columns,
    contact: &Contact,
    hinge: f64,
    common: f64,
) -> Pins {
    let [left, right] = cols.contact;
    let how = Changeover::default();
    let drawn = changeover(&mut page.scene, point(left, hinge), &how);
    let lead =
        vec![drawn.common, point(left - 1.25, hinge), point(left - 1.25, common), point(right, common)];
    page.scene.polyline(lead, thin(), Role::Symbol);
    let pins = Pins { common: point(right, common), normal: drawn.normal, reverse: drawn.reverse };
    for (pin, at) in
        [(contact.common, pins.common), (contact.normal, pins.normal), (contact.reverse, pins.reverse)]
    {
        let pin = PinRef { part: contact.part, pin };
        book.draw_pin(&mut page.scene, pin, at);
        let name = book.design.circuit.pin(pin).name;
        // The lower outer's lead comes from above: its name stands below.
        let below = at.y > hinge && pin.pin != contact.common;
        let y = if below { at.y + 2.5 } else { at.y - 0.7 };
        pin_name(&mut page.scene, point(right - 0.4, y), Anchor::End, name);
    }
    pins
}

/// The outline of a relay, microswitch or the like round its contacts.
pub(super) fn frame(book: &mut Book, page: &mut Page, cols: &Columns, part: PartId, top: f64, bottom: f64) {
    let [left, right] = cols.contact;
    outline(page, Rect::new(left - 2.75, top, right - left + 2.75, bottom - top));
    let name = book.design.circuit[part].designation.clone();
    let at = point(left - 0.75, bottom - 1.2);
    page.scene.bold(at, lettering::HEADING, Anchor::Start, name);
    book.place(Thing::Part(part), page, at);
}
