//! Supplies: one sheet for each kind of drive, from the plug-in supply to what the controls share,
//! with the values and how they were found.

mod axis;
mod onward;
mod plot;
mod values;

use super::pen::Label;
use super::{Book, Thing};
use crate::circuit::{NetKind, PartId, PartKind, PinRef, Place};
use crate::draw::page::{Page, caution_strip};
use crate::draw::scene::{Anchor, Role};
use crate::draw::symbols::{Axis, bridge_rectifier, capacitor, fuse, plug_in_supply, resistor, terminal};
use crate::draw::text::{self, lettering};
use crate::drives::UsePlan;
use crate::geom::{Point, Rect, point};
use crate::hardware::End;
use crate::parse::{BarId, SupplyKind, SupplyUse};

pub(super) fn draw(book: &mut Book) {
    for use_plan in &book.design.plan.uses {
        sheet(book, use_plan);
    }
}

fn title(kind: SupplyUse) -> (&'static str, &'static str, &'static str) {
    match kind {
        SupplyUse::Solenoids => ("supply-solenoids", "Supply of the solenoids", "points"),
        SupplyUse::SlowMotion => ("supply-slow-motion", "Supply of the slow-motion motors", "motors"),
        SupplyUse::Servos => ("supply-servos", "Supply of the servos", "servos"),
    }
}

fn sheet(book: &mut Book, use_plan: &UsePlan) {
    let (slug, title, part) = title(use_plan.kind);
    let mut page = book.page(slug, title, "none");
    let origin = page.inner.min;
    let Some(source) = source_of(book, use_plan.kind) else { return };
    let members = use_plan.members.clone();
    let mut s = Sheet { book, page: &mut page, y: origin.y + 27.5, left: origin.x, members };
    s.chain(source, use_plan);
    let table_top = origin.y + 72.5;
    // What stands beside the table needs 115 mm of the page.
    let table_width = (page.inner.width() - 115.0).min(145.0);
    values::draw(book, &mut page, part, table_top, table_width);
    // Beside the table stands the plot or the list; with both, the list has a sheet of its own.
    let discharges = use_plan.kind == SupplyUse::Solenoids && !book.design.firing.units.is_empty();
    let beside = point(origin.x + 182.5, table_top + 5.0);
    if !discharges {
        let rows = onward::rows(book, source);
        onward::draw(book, &mut page, &rows, beside);
    }
    let mut cautions = vec![
        "Use an approved, enclosed plug-in supply; its mains side is not opened. Work on mains wiring is for \
         licensed people, by the local code."
            .to_owned(),
    ];
    let bank = book.design.sizing.bank().cloned();
    if let (SupplyUse::Solenoids, Some(bank)) = (use_plan.kind, &bank) {
        if let Some(unit) = book.design.firing.units.first() {
            plot::draw(book, &mut page, unit, table_top);
        }
        let energy = crate::electrics::supply::stored_energy(bank.capacitor, bank.highest);
        cautions.push(format!(
            "Stored charge: C1 may hold {energy} at {}. Switch off, wait a minute, measure, then work. A coil \
             that stays on gets hot.",
            bank.highest
        ));
    }
    let area = page.note_area;
    let refs: Vec<&str> = cautions.iter().map(String::as_str).collect();
    if caution_strip(&mut page.scene, area, &refs, &[]).is_err() {
        let last = refs.len() - 1;
        let _ = caution_strip(&mut page.scene, area, &refs[last..], &[]);
    }
    book.add(page);
    let rows = if discharges { onward::rows(book, source) } else { Vec::new() };
    if !rows.is_empty() {
        let mut page = book.page(format!("{slug}-2"), format!("{title} (2)"), "none");
        let at = point(page.inner.min.x + 27.5, page.inner.min.y + 5.0);
        onward::draw(book, &mut page, &rows, at);
        book.add(page);
    }
}

/// The plug-in supply of a use: the one whose reason names it.
fn source_of(book: &Book, kind: SupplyUse) -> Option<PartId> {
    let (_, _, what) = title(kind);
    let circuit = &book.design.circuit;
    circuit
        .parts()
        .find(|(_, p)| {
            p.kind == PartKind::PlugInSupply
                && p.pins.iter().filter_map(|pin| pin.net).any(|n| circuit[n].name.starts_with(what))
        })
        .map(|(id, _)| id)
}

struct Sheet<'b, 'd> {
    book: &'b mut Book<'d>,
    page: &'b mut Page,
    /// Of the upper line.
    y: f64,
    left: f64,
    members: Vec<BarId>,
}

/// How far below the upper line the lower one runs.
const DROP: f64 = 25.0;

impl Sheet<'_, '_> {
    fn pin(&self, part: PartId, name: &str) -> Option<PinRef> {
        self.book.design.circuit.pin_of(part, name)
    }

    /// The part of a kind that hangs on the net of a pin.
    fn next(&self, pin: PinRef, wanted: impl Fn(PartKind) -> bool) -> Option<PartId> {
        let circuit = &self.book.design.circuit;
        let net = circuit.pin(pin).net?;
        circuit[net].pins.iter().map(|p| p.part).find(|p| *p != pin.part && wanted(circuit[*p].kind))
    }

    /// The wire between two pins along the points given.
    fn wire(&mut self, a: PinRef, b: PinRef, points: Vec<Point>, label: Label) {
        if let Some((id, _)) = self.book.wire_between(End::Pin(a), End::Pin(b)) {
            self.book.draw_wire(&mut self.page.scene, id, points, Some(label));
        }
    }

    fn mark(&mut self, pin: PinRef, at: Point) {
        self.book.draw_pin(&mut self.page.scene, pin, at);
    }

    /// 1 and 2 at the ends of a fuse or resistor.
    fn numbers(&mut self, ends: &crate::draw::symbols::Ends) {
        for (at, dx, name) in [(ends.a, 1.4, "1"), (ends.b, -1.4, "2")] {
            self.page.scene.text(point(at.x + dx, at.y + 3.0), lettering::SMALL, Anchor::Middle, name);
        }
    }

    fn name(&mut self, part: PartId, at: Point, anchor: Anchor) {
        let p = &self.book.design.circuit[part];
        let (name, value) = (p.designation.clone(), p.value.clone());
        self.page.scene.bold(at, lettering::HEADING, anchor, name);
        let room = if anchor == Anchor::Start { (self.page.inner.max.x - at.x).min(32.0) } else { 32.0 };
        for (i, line) in text::wrap(&value, lettering::BODY, false, room).into_iter().enumerate() {
            let y = at.y + 4.2 + 4.0 * i as f64;
            self.page.scene.text(point(at.x, y), lettering::BODY, anchor, line);
        }
        self.book.place(Thing::Part(part), self.page, at);
    }

    /// Supply, fuse, and what follows.
    fn chain(&mut self, source: PartId, use_plan: &UsePlan) {
        let (y, left) = (self.y, self.left);
        let names: &[&str] = match use_plan.supply.kind {
            SupplyKind::Ac => &["~1", "~2"],
            SupplyKind::Dc => &["+", "−"],
            SupplyKind::SplitDc => &["+", "0", "−"],
        };
        let edge = left + 22.5;
        let lowest = y + 7.5 * (names.len() - 1) as f64;
        if names.len() == 2 {
            let output = match use_plan.supply.kind {
                SupplyKind::Ac => plug_in_supply::Output::Alternating,
                _ => plug_in_supply::Output::Direct,
            };
            plug_in_supply::plug_in_supply(&mut self.page.scene, point(edge, y), output);
        } else {
            let outline = Rect::new(left + 2.5, y - 5.0, 17.5, lowest - y + 10.0);
            self.page.scene.rect(outline, Some(super::pen::thin()), None, Role::Symbol);
        }
        let mut pins = Vec::new();
        for (i, name) in names.iter().enumerate() {
            let at = point(edge, y + 7.5 * i as f64);
            if names.len() > 2 {
                let stub = point(edge - 2.5, at.y);
                self.page.scene.line(stub, at, super::pen::thin(), Role::Symbol);
                self.page.scene.text(point(edge - 3.4, at.y + 0.9), lettering::SMALL, Anchor::End, *name);
            }
            if let Some(pin) = self.pin(source, name) {
                self.mark(pin, at);
                pins.push((pin, at));
            }
        }
        self.name(source, point(left + 2.5, y - 16.0), Anchor::Start);
        let Some((live, live_at)) = pins.first().copied() else { return };
        let Some(fuse_out) = self.fuse(live, live_at) else { return };
        match use_plan.kind {
            SupplyUse::Solenoids => self.solenoids(use_plan, fuse_out, pins[1]),
            SupplyUse::Servos if self.controller().is_some() => {
                self.draw_controller(fuse_out, pins[1]);
            }
            _ => {
                self.bus_or_strip(fuse_out.0, fuse_out.1);
                for (pin, at) in pins.into_iter().skip(1) {
                    let fused = self.next(pin, |k| k == PartKind::Fuse);
                    match fused {
                        Some(_) => {
                            if let Some((out, out_at)) = self.fuse(pin, at) {
                                self.bus_or_strip(out, out_at);
                            }
                        }
                        None => self.bus_or_strip(pin, at),
                    }
                }
            }
        }
    }

    /// The fuse on a pole; returns its outgoing pin.
    fn fuse(&mut self, from: PinRef, at: Point) -> Option<(PinRef, Point)> {
        let part = self.next(from, |k| k == PartKind::Fuse)?;
        let start = point(at.x + 22.5, at.y);
        let ends = fuse::fuse(&mut self.page.scene, start, Axis::Horizontal);
        let (a, b) = (self.pin(part, "1")?, self.pin(part, "2")?);
        self.mark(a, ends.a);
        self.mark(b, ends.b);
        self.numbers(&ends);
        self.wire(from, a, vec![at, ends.a], Label { x: at.x + 1.5, y: at.y, width: 20.0 });
        let name_y = if at.y > self.y { at.y + 8.0 } else { at.y - 9.0 };
        self.name(part, point(start.x, name_y), Anchor::Start);
        Some((b, ends.b))
    }

    /// The rest of a pole without a discharge unit: its bus on the panel, its terminals.
    fn bus_or_strip(&mut self, pin: PinRef, at: Point) {
        let far = point(self.left + 150.0, at.y);
        if let Some(bus) = self.next(pin, |k| k == PartKind::Bus) {
            let bus_pin = PinRef { part: bus, pin: 0 };
            let label = Label { x: far.x - 40.0, y: at.y, width: 38.0 };
            self.wire(pin, bus_pin, vec![at, far], label);
            self.mark(bus_pin, far);
            self.bus_words(bus, far);
        } else {
            self.strip_beside(End::Pin(pin), at, far);
        }
    }

    /// Sheet and zone of the first control that hangs on this supply.
    fn first_control(&self) -> String {
        let first = self.book.design.plan.bars.iter().find(|b| self.members.contains(&b.bar));
        let part = first.and_then(|t| {
            self.book
                .design
                .circuit
                .find(|k| matches!(k, PartKind::Control { control, .. } if control == t.control))
        });
        let button = || self.book.design.circuit.find(|k| matches!(k, PartKind::RouteButton { .. }));
        part.or_else(button).map_or(String::new(), |p| self.book.reference(Thing::Part(p)).to_owned())
    }

    fn bus_words(&mut self, bus: PartId, at: Point) {
        let p = &self.book.design.circuit[bus];
        let words = format!("{}  {}, to the controls {}", p.designation, p.value, self.first_control());
        let stub = Rect::new(at.x, at.y - 1.25, 2.5, 2.5);
        self.page.scene.rect(stub, Some(super::pen::thin()), None, Role::Decoration);
        self.page.scene.text(point(at.x + 4.0, at.y + 1.25), lettering::BODY, Anchor::Start, words);
        self.book.place(Thing::Part(bus), self.page, at);
    }

    /// A wire from an end to the panel strip's terminal.
    fn strip_beside(&mut self, from: End, at: Point, far: Point) {
        let Some((id, t)) = self.book.terminal_of(from) else { return };
        let label = Label { x: far.x - 40.0, y: at.y, width: 38.0 };
        self.book.draw_wire(&mut self.page.scene, id, vec![at, far], Some(label));
        let name = self.book.design.wiring.terminal_name(t);
        let net = self.book.net_name(self.book.design.wiring.terminal(t).net).to_owned();
        terminal::terminal(&mut self.page.scene, far, name.clone(), net.clone());
        let words = format!("{name}  {net}, to the boards");
        self.page.scene.text(point(far.x + 4.0, far.y + 1.25), lettering::BODY, Anchor::Start, words);
        self.book.place(Thing::Terminal(t), self.page, far);
    }

    /// Rectifier, limiter, bleed, capacitor; or nothing of it where coils are fired directly.
    fn solenoids(&mut self, use_plan: &UsePlan, live: (PinRef, Point), other: (PinRef, Point)) {
        let bank = self.book.design.sizing.bank().is_some();
        if !bank {
            self.bus_or_strip(live.0, live.1);
            self.bus_or_strip(other.0, other.1);
            return;
        }
        let (y, left) = (self.y, self.left);
        let low = y + DROP;
        let ac = use_plan.supply.kind == SupplyKind::Ac;
        let (plus, minus) = if ac {
            let Some(part) = self.next(live.0, |k| k == PartKind::Rectifier) else { return };
            let b = bridge_rectifier::bridge_rectifier(&mut self.page.scene, point(left + 80.0, y));
            let pin = |n: &str| self.book.design.circuit.pin_of(part, n);
            let (Some(ac1), Some(ac2), Some(p), Some(m)) = (pin("~1"), pin("~2"), pin("+"), pin("−"))
            else {
                return;
            };
            for (pin, at) in [(ac1, b.ac1), (ac2, b.ac2), (p, b.plus), (m, b.minus)] {
                self.mark(pin, at);
            }
            let label = Label { x: live.1.x + 1.5, y, width: 20.0 };
            self.wire(live.0, ac1, vec![live.1, b.ac1], label);
            let turn = live.1.x - 5.0;
            let points = vec![other.1, point(turn, other.1.y), point(turn, b.ac2.y), b.ac2];
            let label = Label { x: other.1.x + 1.5, y: other.1.y, width: 25.0 };
            self.wire(other.0, ac2, points, label);
            self.name(part, point(left + 80.0, y - 14.0), Anchor::Start);
            ((p, b.plus), (m, b.minus))
        } else {
            (live, other)
        };
        self.bank(plus, minus, y, low);
    }

    fn bank(&mut self, plus: (PinRef, Point), minus: (PinRef, Point), y: f64, low: f64) {
        let left = self.left;
        let circuit = &self.book.design.circuit;
        let resistors: Vec<PartId> =
            circuit.parts().filter(|(_, p)| p.kind == PartKind::Resistor).map(|(id, _)| id).collect();
        let is_panel_capacitor = |k: PartKind| k == PartKind::Capacitor;
        let Some(limiter) = self.next(plus.0, |k| k == PartKind::Resistor) else { return };
        let Some(bleed) = resistors.iter().copied().find(|r| *r != limiter) else { return };
        let Some(after) = self.pin(limiter, "2") else { return };
        let Some(bank) = self.next(after, is_panel_capacitor) else { return };

        let ends = resistor::resistor(&mut self.page.scene, point(left + 125.0, y), Axis::Horizontal);
        let Some(before) = self.pin(limiter, "1") else { return };
        self.mark(before, ends.a);
        self.mark(after, ends.b);
        self.numbers(&ends);
        self.wire(plus.0, before, vec![plus.1, ends.a], Label { x: plus.1.x + 2.0, y, width: 22.0 });
        self.name(limiter, point(left + 125.0, y - 9.0), Anchor::Start);

        // Bleed and capacitor stand between the lines, their leads long enough to meet both.
        let mut upper = (after, ends.b);
        let mut lower = minus;
        for (part, x, pins) in [(bleed, left + 160.0, ("1", "2")), (bank, left + 192.5, ("+", "−"))] {
            let (Some(top), Some(bottom)) = (self.pin(part, pins.0), self.pin(part, pins.1)) else { return };
            let top_at = point(x, y);
            let body = if part == bank {
                let at = point(x, y + 7.5);
                capacitor::capacitor(&mut self.page.scene, at, Axis::Vertical)
            } else {
                resistor::resistor(&mut self.page.scene, point(x, y + 5.0), Axis::Vertical)
            };
            let bottom_at = point(x, low);
            let pen = super::pen::thin();
            self.page.scene.line(top_at, body.a, pen, Role::Symbol);
            self.page.scene.line(body.b, bottom_at, pen, Role::Symbol);
            self.mark(top, top_at);
            self.mark(bottom, bottom_at);
            let label = Label { x: upper.1.x + 2.0, y, width: 19.0 };
            self.wire(upper.0, top, vec![upper.1, top_at], label);
            let label_x = if lower.0 == minus.0 { x - 24.0 } else { lower.1.x + 2.0 };
            let mut points = vec![lower.1];
            if lower.0 == minus.0 && (lower.1.y - low).abs() > 0.01 {
                let turn = point(lower.1.x + 5.0, lower.1.y);
                points.extend([turn, point(turn.x, low)]);
            }
            points.push(bottom_at);
            self.wire(lower.0, bottom, points, Label { x: label_x, y: low, width: 20.0 });
            for (pin, at) in [(top, top_at), (bottom, bottom_at)] {
                if let Some(net) = self.book.design.circuit.pin(pin).net {
                    self.book.draw_dot(&mut self.page.scene, net, at);
                }
            }
            self.name(part, point(x + 3.5, y + 9.0), Anchor::Start);
            upper = (top, top_at);
            lower = (bottom, bottom_at);
        }
        let far = left + 217.5;
        let net = self.book.design.circuit.pin(upper.0).net;
        let bus = self.next(upper.0, |k| k == PartKind::Bus).filter(|b| {
            let part = &self.book.design.circuit[*b];
            part.place == Place::Panel && part.pins.first().map(|p| p.net) == Some(net)
        });
        if let Some(bus) = bus {
            let bus_pin = PinRef { part: bus, pin: 0 };
            let at = point(far, y);
            self.wire(upper.0, bus_pin, vec![upper.1, at], Label { x: upper.1.x + 2.0, y, width: 19.0 });
            self.mark(bus_pin, at);
            self.bus_label_below(bus, at);
        }
        let is_return = self.book.design.circuit.pin(lower.0).net.map(|n| self.book.design.circuit[n].kind);
        if is_return == Some(NetKind::Return) {
            self.strip_below(End::Pin(lower.0), lower.1, point(far, low));
        }
    }

    /// Under a name at the right end of a line, as wide as the page allows.
    fn words_below(&mut self, at: Point, words: &str) {
        let room = self.page.inner.max.x - at.x - 4.0;
        for (i, line) in text::wrap(words, lettering::BODY, false, room).into_iter().enumerate() {
            let y = at.y + 5.4 + 4.0 * i as f64;
            self.page.scene.text(point(at.x + 4.0, y), lettering::BODY, Anchor::Start, line);
        }
    }

    fn bus_label_below(&mut self, bus: PartId, at: Point) {
        let stub = Rect::new(at.x, at.y - 1.25, 2.5, 2.5);
        self.page.scene.rect(stub, Some(super::pen::thin()), None, Role::Decoration);
        let name = self.book.design.circuit[bus].designation.clone();
        self.page.scene.bold(point(at.x + 4.0, at.y + 1.25), lettering::BODY, Anchor::Start, name);
        self.words_below(at, &format!("bus, to the controls {}", self.first_control()));
        self.book.place(Thing::Part(bus), self.page, at);
    }

    fn strip_below(&mut self, from: End, at: Point, far: Point) {
        let Some((id, t)) = self.book.terminal_of(from) else { return };
        let label = Label { x: at.x + 2.0, y: at.y, width: 19.0 };
        self.book.draw_wire(&mut self.page.scene, id, vec![at, far], Some(label));
        let name = self.book.design.wiring.terminal_name(t);
        let net = self.book.net_name(self.book.design.wiring.terminal(t).net).to_owned();
        terminal::terminal(&mut self.page.scene, far, name.clone(), net);
        self.page.scene.bold(point(far.x + 4.0, far.y + 1.25), lettering::BODY, Anchor::Start, name);
        self.words_below(far, "common return");
        self.book.place(Thing::Terminal(t), self.page, far);
    }

    /// The first servo controller of the boards.
    fn controller(&self) -> Option<PartId> {
        self.book.design.circuit.find(|k| matches!(k, PartKind::ServoController { .. }))
    }

    /// Both poles all the way to the first controller and its bulk capacitor: panel bus, panel
    /// strip, cable, board strip. Further controllers follow in the list below.
    fn draw_controller(&mut self, plus: (PinRef, Point), minus: (PinRef, Point)) {
        let Some(controller) = self.controller() else { return };
        let left = self.left;
        let (y, low) = (self.y, self.y + DROP + 12.5);
        let Some(capacitor) = self.pin(controller, "+").and_then(|p| self.next_on_board(p)) else { return };
        let at = point(left + 222.5, 0.0);
        let mut outer = Vec::new();
        for ((pin, start), row, name) in [(plus, y, "+"), (minus, low, "−")] {
            let (Some(own), Some(bulk)) = (self.pin(controller, name), self.pin(capacitor, name)) else {
                return;
            };
            let inward = if name == "+" { 7.5 } else { -7.5 };
            let joined = self.pole(pin, start, (own, point(at.x, row)), (bulk, row + inward));
            outer.push((point(at.x, row), name));
            if let Some(place) = joined {
                self.mark(bulk, place);
            }
        }
        // The capacitor stands between the inner rows, the controller is one box across both.
        let x = left + 197.5;
        let body =
            capacitor::capacitor(&mut self.page.scene, point(x, (y + low) / 2.0 - 3.75), Axis::Vertical);
        let pen = super::pen::thin();
        self.page.scene.line(point(x, y + 7.5), body.a, pen, Role::Symbol);
        self.page.scene.line(body.b, point(x, low - 7.5), pen, Role::Symbol);
        self.name(capacitor, point(x - 4.0, (y + low) / 2.0 - 1.0), Anchor::End);
        let outline = Rect::new(at.x, y - 3.75, 12.5, low - y + 7.5);
        self.page.scene.rect(outline, Some(pen), None, Role::Symbol);
        for (pin, name) in outer {
            self.page.scene.text(point(pin.x + 1.0, pin.y + 0.9), lettering::SMALL, Anchor::Start, name);
        }
        self.name(controller, point(at.x, y - 18.5), Anchor::Start);
    }

    fn next_on_board(&self, pin: PinRef) -> Option<PartId> {
        let circuit = &self.book.design.circuit;
        let net = circuit.pin(pin).net?;
        let here = circuit[pin.part].place;
        circuit[net]
            .pins
            .iter()
            .map(|p| p.part)
            .find(|p| circuit[*p].kind == PartKind::Capacitor && circuit[*p].place == here)
    }

    /// One pole: to its bus on the panel if there is one, to XP, along the cable to XB, to the
    /// controller; a jumper and a wire to the capacitor. Returns the capacitor's pin.
    fn pole(
        &mut self,
        pin: PinRef,
        start: Point,
        (own, own_at): (PinRef, Point),
        (bulk, bulk_y): (PinRef, f64),
    ) -> Option<Point> {
        let left = self.left;
        let row = own_at.y;
        let mut from = (End::Pin(pin), start);
        if let Some(bus) = self.next(pin, |k| k == PartKind::Bus) {
            let bus_pin = PinRef { part: bus, pin: 0 };
            let at = point(left + 92.5, row);
            let turn = point(start.x + 7.5, start.y);
            let mut points = vec![start];
            if (start.y - row).abs() > 0.01 {
                points.extend([turn, point(turn.x, row)]);
            }
            points.push(at);
            let label = Label { x: at.x - 25.0, y: row, width: 23.0 };
            self.wire(pin, bus_pin, points, label);
            self.mark(bus_pin, at);
            let stub = Rect::new(at.x - 1.25, row - 1.25, 2.5, 2.5);
            self.page.scene.rect(stub, Some(super::pen::thin()), None, Role::Decoration);
            let name = self.book.design.circuit[bus].designation.clone();
            let words = format!("{name}, to the controls {}", self.first_control());
            self.page.scene.text(point(at.x, row + 4.4), lettering::SMALL, Anchor::Middle, words);
            self.book.place(Thing::Part(bus), self.page, at);
            from = (End::Pin(bus_pin), at);
        }
        let (feed, panel) = self.book.terminal_of(from.0)?;
        let panel_at = point(left + 122.5, row);
        let mut points = vec![from.1];
        if (from.1.y - row).abs() > 0.01 {
            let turn = from.1.x + 7.5;
            points.extend([point(turn, from.1.y), point(turn, row)]);
        }
        points.push(panel_at);
        let label = Label { x: panel_at.x - 22.0, y: row, width: 19.5 };
        self.book.draw_wire(&mut self.page.scene, feed, points, Some(label));
        let (tail, entry) = self.book.terminal_of(End::Pin(own))?;
        let entry_at = point(left + 165.0, row);
        let (cable, _) = self.book.wire_between(End::Terminal(panel), End::Terminal(entry))?;
        let label = Label { x: panel_at.x + 3.0, y: row, width: 37.0 };
        self.book.draw_wire(&mut self.page.scene, cable, vec![panel_at, entry_at], Some(label));
        let label = Label { x: entry_at.x + 3.0, y: row, width: 26.0 };
        self.book.draw_wire(&mut self.page.scene, tail, vec![entry_at, own_at], Some(label));
        self.mark(own, own_at);
        for (t, at) in [(panel, panel_at), (entry, entry_at)] {
            self.strip_terminal(t, at);
        }
        let (wire, second) = self.book.terminal_of(End::Pin(bulk))?;
        let second_at = point(left + 165.0, bulk_y);
        let bulk_at = point(left + 197.5, bulk_y);
        let net = self.book.design.wiring.terminal(second).net;
        self.book.draw_jumper(&mut self.page.scene, net, vec![entry_at, second_at]);
        let label = Label { x: second_at.x + 3.0, y: bulk_y, width: 26.0 };
        self.book.draw_wire(&mut self.page.scene, wire, vec![second_at, bulk_at], Some(label));
        self.strip_terminal(second, second_at);
        Some(bulk_at)
    }

    /// A terminal with its number in it and its strip beside.
    fn strip_terminal(&mut self, t: crate::hardware::TerminalRef, at: Point) {
        self.book.draw_terminal(&mut self.page.scene, at, t);
        let strip = self.book.design.wiring.strips[t.strip.0].designation.clone();
        self.page.scene.text(point(at.x - 1.0, at.y - 2.6), lettering::SMALL, Anchor::End, strip);
        self.book.place(Thing::Terminal(t), self.page, at);
    }
}
