//! What the operator touches, at the left of the first band that it throws.

use super::super::pen::Label;
use super::super::{Book, Thing};
use super::band::Work;
use super::bus_of;
use crate::circuit::{PartId, PartKind, PinRef, Place};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Role, Scene};
use crate::draw::symbols::changeover::{Actuator, Blade, Changeover, changeover};
use crate::draw::symbols::{push_button, stud_and_probe};
use crate::draw::text::{self, lettering};
use crate::drives::{BarPlan, Pairing};
use crate::geom::{Point, Rect, point};
use crate::parse::ControlKind;

/// Draws the control of a band; returns where its outgoing pins are.
pub(super) fn draw(
    book: &mut Book,
    page: &mut Page,
    work: &mut Work,
    plan: &BarPlan,
    drive: PartId,
    top: f64,
) -> Vec<(PinRef, Point)> {
    let _ = drive;
    let found = book.design.circuit.find(|k| match k {
        PartKind::Control { control, .. } | PartKind::Decoder { control } => control == plan.control,
        _ => false,
    });
    let Some(part) = found else {
        by_routes(book, page, work, plan, top);
        return Vec::new();
    };
    title(book, page, work, plan, part, top);
    let kind = *book.design.document[plan.control].with;
    let hangs = vec!["R", "1R", "2R"];
    let mut d = Drawer { book, page, work, part, top, out: Vec::new(), hangs };
    match (plan.pairing, kind) {
        (Pairing::SolenoidDischarge | Pairing::SolenoidDirect, ControlKind::PushButtons) => d.buttons(),
        (Pairing::SolenoidDischarge | Pairing::SolenoidDirect, ControlKind::StudsAndProbe) => d.studs(),
        (Pairing::SolenoidDischarge | Pairing::SolenoidDirect, _) => d.momentary(),
        (Pairing::MotorReversing, _) => d.reversing(),
        (Pairing::MotorSplit, _) => d.single_pole(),
        (Pairing::ServoToggle, _) => d.servo_toggle(),
        (Pairing::SolenoidDecoder, _) => d.decoder(&[("N", 10.0), ("R", 20.0), ("C", 27.5)]),
        (Pairing::MotorDecoder, _) => d.decoder(&[("1", 12.5), ("2", 27.5)]),
        (Pairing::ServoDecoder, _) => {}
    }
    d.out
}

/// A control without anything of its own: its name, and that route buttons work it.
fn by_routes(book: &Book, page: &mut Page, work: &Work, plan: &BarPlan, top: f64) {
    let at = point(work.cols.panel_bus[1] + 2.5, top + 5.2);
    let room = work.cols.panel_strip - at.x - 3.0;
    let name = &book.design.document[plan.control].name.value;
    let name = text::fit(name, lettering::HEADING, true, room).into_owned();
    page.scene.bold(at, lettering::HEADING, Anchor::Start, name);
    throws(book, page, work, plan, top);
}

/// In a band whose control stands elsewhere: its name and where it is.
pub(super) fn continued(book: &Book, page: &mut Page, work: &Work, plan: &BarPlan, top: f64) {
    let name = &book.design.document[plan.control].name.value;
    let x = work.cols.panel_bus[1] + 2.5;
    page.scene.push_text(
        point(x, top + 5.2),
        lettering::HEADING,
        Anchor::Start,
        true,
        crate::draw::scene::Ink::GREY,
        name.clone(),
    );
    let found = book.design.circuit.find(|k| match k {
        PartKind::Control { control, .. } | PartKind::Decoder { control } => control == plan.control,
        _ => false,
    });
    let place = found.map_or("", |p| book.reference(Thing::Part(p)));
    let w = text::width(name, lettering::HEADING, true) + 2.0;
    let alone = *book.design.document[plan.control].with == ControlKind::RouteButtons;
    let words = if alone { "by routes alone".to_owned() } else { format!("drawn at {place}") };
    page.scene.text(point(x + w, top + 5.2), lettering::SMALL, Anchor::Start, words.trim_end());
}

fn title(book: &mut Book, page: &mut Page, work: &Work, plan: &BarPlan, part: PartId, top: f64) {
    let at = point(work.cols.panel_bus[1] + 2.5, top + 5.2);
    let name = book.design.circuit[part].designation.clone();
    // Left of the lever.
    let room = work.cols.control[0] + 3.5 - at.x;
    let name = text::fit(&name, lettering::HEADING, true, room).into_owned();
    page.scene.bold(at, lettering::HEADING, Anchor::Start, name);
    book.place(Thing::Part(part), page, at);
    throws(book, page, work, plan, top);
}

/// Below the symbol, clear of the buses at the left: what it throws, and where routes join in.
fn throws(book: &Book, page: &mut Page, work: &Work, plan: &BarPlan, top: f64) {
    let names: Vec<&str> = book.design.document[plan.control]
        .throws
        .iter()
        .map(|t| book.design.document[t.value].name.as_str())
        .collect();
    let names = names.join(" and ");
    let joined = book.design.plan.routes.iter().any(|r| r.lines.iter().any(|l| l.control == plan.control));
    let alone = *book.design.document[plan.control].with == ControlKind::RouteButtons;
    let words = match (alone, joined) {
        (true, true) => format!("routes alone throw {names}"),
        (true, false) => format!("no route throws {names}"),
        (false, true) => format!("throws {names}, routes join in by jumpers at XP"),
        (false, false) => format!("throws {names}"),
    };
    let lowest = match plan.pairing {
        Pairing::ServoToggle if book.design.plan.wants_relay(plan.bar) => 47.5,
        Pairing::ServoToggle | Pairing::ServoDecoder => 17.5,
        _ => 35.5,
    };
    let at = point(work.cols.panel_bus[1] + 2.5, top + lowest);
    let width = work.cols.panel_strip - at.x - 3.0;
    super::band::small(page, at, Anchor::Start, width, &words);
}

struct Drawer<'b, 'd> {
    book: &'b mut Book<'d>,
    page: &'b mut Page,
    work: &'b mut Work,
    part: PartId,
    top: f64,
    out: Vec<(PinRef, Point)>,
    /// Pins whose lead comes down to them: their names stand below.
    hangs: Vec<&'static str>,
}

impl Drawer<'_, '_> {
    fn pin(&mut self, name: &str, at: Point) {
        if let Some(pin) = self.book.design.circuit.pin_of(self.part, name) {
            self.book.draw_pin(&mut self.page.scene, pin, at);
        }
    }

    /// The pin's name on the lead that leaves to the right; below it where the lead comes down from
    /// above.
    fn outgoing(&mut self, name: &str, at: Point) {
        self.pin(name, at);
        let y = if self.hangs.contains(&name) { at.y + 2.5 } else { at.y - 0.7 };
        super::super::pen::pin_name(&mut self.page.scene, point(at.x - 0.3, y), Anchor::End, name);
        if let Some(pin) = self.book.design.circuit.pin_of(self.part, name) {
            self.out.push((pin, at));
        }
    }

    /// A wire from a bus of the panel to a pin of the control.
    fn tap_bus(&mut self, name: &str, at: Point) {
        let Some(pin) = self.book.design.circuit.pin_of(self.part, name) else { return };
        self.book.draw_pin(&mut self.page.scene, pin, at);
        let y = if self.hangs.contains(&name) { at.y + 2.5 } else { at.y - 0.7 };
        super::super::pen::pin_name(&mut self.page.scene, point(at.x + 0.3, y), Anchor::Start, name);
        let Some(bus) = bus_of(self.book, Place::Panel, pin) else { return };
        let designation = &self.book.design.circuit[bus.part].designation;
        let negative = designation.starts_with("WP-");
        let x = self.work.cols.panel_bus[usize::from(negative)];
        let sign = if negative { "−" } else { "+" };
        let ends = (crate::hardware::End::Pin(bus), crate::hardware::End::Pin(pin));
        let Some((id, _)) = self.book.wire_between(ends.0, ends.1) else { return };
        let label_x = self.work.cols.panel_bus[1] + 1.5;
        let label = Label { x: label_x, y: at.y, width: at.x - label_x - 0.3 };
        self.book.draw_wire(&mut self.page.scene, id, vec![point(x, at.y), at], Some(label));
        self.work.tap(bus, x, sign, at.y);
    }

    fn momentary(&mut self) {
        let [left, _] = self.work.cols.control;
        let at = point(left, self.top + 15.0);
        let how = Changeover {
            half: 5.0,
            blade: Blade::Centre,
            actuator: Actuator::Manual,
            sprung: [true, true],
            ..Changeover::default()
        };
        let pins = changeover(&mut self.page.scene, at, &how);
        self.tap_bus("C", pins.common);
        self.outgoing("N", pins.normal);
        self.outgoing("R", pins.reverse);
    }

    fn buttons(&mut self) {
        let [left, _] = self.work.cols.control;
        for (dy, pin_in, pin_out) in [(10.0, "N1", "N"), (20.0, "R1", "R")] {
            let ends = push_button::push_button(&mut self.page.scene, point(left, self.top + dy));
            self.tap_bus(pin_in, ends.a);
            self.outgoing(pin_out, ends.b);
        }
    }

    fn studs(&mut self) {
        let [_, right] = self.work.cols.control;
        for (dy, pin) in [(10.0, "N"), (20.0, "R")] {
            let at = stud_and_probe::stud(&mut self.page.scene, point(right - 5.0, self.top + dy));
            self.outgoing(pin, at);
        }
        let probe = self.book.design.circuit.find(|k| k == PartKind::Probe);
        if let Some(probe) = probe {
            let name = &self.book.design.circuit[probe].designation;
            let place = self.book.reference(Thing::Part(probe));
            let words = format!("touched by probe {name} {place}");
            let at = point(self.work.cols.panel_bus[1] + 2.5, self.top + 15.9);
            let width = self.work.cols.panel_strip - at.x - 3.0;
            super::band::small(self.page, at, Anchor::Start, width, words.trim_end());
        }
    }

    /// Two poles between the buses, crossed: what is + in one position is − in the other.
    fn reversing(&mut self) {
        let [left, right] = self.work.cols.control;
        let how = Changeover { actuator: Actuator::Manual, ..Changeover::default() };
        let one = mirrored(&mut self.page.scene, left, right, self.top + 12.5, &how);
        let two = mirrored(&mut self.page.scene, left, right, self.top + 27.5, &Changeover::default());
        linkage(&mut self.page.scene, left + 6.25, self.top + 11.9, self.top + 26.9);
        for (pole, pins) in [("1", one), ("2", two)] {
            self.tap_bus(&format!("{pole}N"), pins.normal);
            self.tap_bus(&format!("{pole}R"), pins.reverse);
            self.outgoing(&format!("{pole}C"), pins.common);
        }
    }

    fn single_pole(&mut self) {
        let [left, right] = self.work.cols.control;
        let how = Changeover { actuator: Actuator::Manual, ..Changeover::default() };
        let y = self.top + 12.5;
        let pins = mirrored(&mut self.page.scene, left, right, y, &how);
        self.tap_bus("N", pins.normal);
        self.tap_bus("R", pins.reverse);
        self.outgoing("C", pins.common);
    }

    fn servo_toggle(&mut self) {
        let [left, right] = self.work.cols.control;
        let how = Changeover { actuator: Actuator::Manual, ..Changeover::default() };
        let y = self.top + 10.0;
        let pins = mirrored(&mut self.page.scene, left, right, y, &how);
        // Pole 1 only closes: its other contact stays free.
        let free = point(pins.normal.x + 0.3, pins.normal.y - 0.7);
        super::super::pen::pin_name(&mut self.page.scene, free, Anchor::Start, "free");
        self.tap_bus("1R", pins.reverse);
        self.outgoing("1C", pins.common);
        if self.book.design.circuit.pin_of(self.part, "2C").is_some() {
            let how = Changeover { half: 5.0, ..Changeover::default() };
            let pins = changeover(&mut self.page.scene, point(left, self.top + 35.0), &how);
            linkage(&mut self.page.scene, left + 6.25, y, self.top + 33.8);
            self.tap_bus("2C", pins.common);
            self.outgoing("2N", pins.normal);
            self.outgoing("2R", pins.reverse);
        }
    }

    /// A decoder stands on the board; it is drawn where a control would be.
    fn decoder(&mut self, rows: &[(&str, f64)]) {
        let [left, right] = self.work.cols.control;
        let last = rows.last().map_or(10.0, |(_, y)| *y);
        let outline = Rect::new(left, self.top + 7.5, right - 2.5 - left, last - 5.0);
        self.page.scene.rect(outline, Some(super::super::pen::thin()), None, Role::Symbol);
        for (pin, dy) in rows {
            let y = self.top + dy;
            let at = point(right, y);
            let stub = [point(right - 2.5, y), at];
            self.page.scene.line(stub[0], stub[1], super::super::pen::thin(), Role::Symbol);
            self.outgoing(pin, at);
        }
        let at = point(self.work.cols.panel_bus[1] + 2.5, self.top + 33.0);
        let width = self.work.cols.panel_strip - at.x;
        super::band::small(self.page, at, Anchor::Start, width, "decoder, on the board");
    }
}

/// Mechanical link between the poles of one switch.
pub(super) fn linkage(scene: &mut Scene, x: f64, from: f64, to: f64) {
    let pen =
        crate::draw::scene::Stroke { dash: crate::draw::scene::Dash::Dashed, ..super::super::pen::thin() };
    scene.line(point(x, from), point(x, to), pen, Role::Symbol);
}

/// A changeover whose common is at the right.
pub(super) fn mirrored(
    scene: &mut Scene,
    left: f64,
    right: f64,
    y: f64,
    how: &Changeover,
) -> crate::draw::symbols::changeover::Pins {
    let mut flipped = Scene::new("", "", 0.0, 0.0);
    let pins = changeover(&mut flipped, point(left, y), how);
    let flip = |p: Point| point(left + right - p.x, p.y);
    for item in flipped.items {
        scene.items.push(match item {
            crate::draw::scene::Item::Path(mut path) => {
                path.points.iter_mut().for_each(|p| *p = flip(*p));
                crate::draw::scene::Item::Path(path)
            }
            crate::draw::scene::Item::Circle { centre, radius, stroke, fill, role } => {
                crate::draw::scene::Item::Circle { centre: flip(centre), radius, stroke, fill, role }
            }
            text => text,
        });
    }
    crate::draw::symbols::changeover::Pins {
        common: flip(pins.common),
        normal: flip(pins.normal),
        reverse: flip(pins.reverse),
    }
}
