//! One band: the wires of one turnout from its control to its frog.

use super::super::pen::Label;
use super::super::{Book, Thing};
use super::columns::Columns;
use super::{bus_feed, contact_of, control, drive, picture};
use crate::circuit::{Contact, NetId, PartId, PartKind, PinRef};
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::text::{self, lettering};
use crate::drives::{BarPlan, Pairing};
use crate::geom::{Point, point};
use crate::hardware::{End, TerminalRef, WireId};
use crate::parse::{TurnoutId, TurnoutKind};
use crate::track::Position;

/// A vertical bus and the heights at which wires tap it.
pub(super) struct Taps {
    pub pin: PinRef,
    pub x: f64,
    pub sign: String,
    pub at: Vec<f64>,
}

/// A terminal of the board strip on this sheet.
pub(super) struct Row {
    pub net: NetId,
    pub terminal: TerminalRef,
    pub y: f64,
    /// Whether a wire comes in from the left.
    pub incoming: bool,
}

/// What the bands of a sheet leave to be drawn together.
pub(super) struct Work {
    pub cols: Columns,
    pub rows: Vec<Row>,
    pub taps: Vec<Taps>,
    /// Where bands begin.
    pub tops: Vec<f64>,
}

impl Work {
    pub fn new(cols: Columns) -> Work {
        Work { cols, rows: Vec::new(), taps: Vec::new(), tops: Vec::new() }
    }

    pub fn tap(&mut self, pin: PinRef, x: f64, sign: &str, y: f64) {
        match self.taps.iter_mut().find(|t| t.pin == pin) {
            Some(taps) => taps.at.push(y),
            None => self.taps.push(Taps { pin, x, sign: sign.to_owned(), at: vec![y] }),
        }
    }
}

/// Height of a band. A servo leaves no room beside it for the frog's contact, nor does a drive for
/// a relay's coils.
pub(super) fn height(book: &Book, plan: &BarPlan) -> f64 {
    match plan.pairing {
        Pairing::ServoToggle => {
            // The toggle's second pole is there if any turnout that it throws has a relay.
            let all = &book.design.plan;
            let relay = all.bars.iter().any(|b| b.control == plan.control && all.wants_relay(b.bar));
            if relay || all.feeds_frogs(plan.bar) { 52.5 } else { 37.5 }
        }
        Pairing::ServoDecoder if book.design.plan.feeds_frogs(plan.bar) => 52.5,
        Pairing::SolenoidDischarge | Pairing::SolenoidDirect | Pairing::SolenoidDecoder
            if book.design.plan.wants_relay(plan.bar) =>
        {
            62.5
        }
        _ if book.design.plan.wants_relay(plan.bar) => 52.5,
        _ => 37.5,
    }
}

/// How far down the frog's contact and the track picture begin.
fn contact_offset(book: &Book, plan: &BarPlan) -> f64 {
    match plan.pairing {
        Pairing::ServoToggle | Pairing::ServoDecoder if book.design.plan.feeds_frogs(plan.bar) => 20.0,
        _ => 0.0,
    }
}

pub(super) fn draw(
    book: &mut Book,
    page: &mut Page,
    work: &mut Work,
    plan: &BarPlan,
    top: f64,
    with_control: bool,
) {
    let drive_part =
        book.design.circuit.find(|k| matches!(k, PartKind::Drive { bar, .. } if bar == plan.bar));
    let Some(drive_part) = drive_part else { return };
    let from = if with_control {
        control::draw(book, page, work, plan, drive_part, top)
    } else {
        control::continued(book, page, work, plan, top);
        Vec::new()
    };
    for (pin, at) in drive::draw(book, page, work, plan, drive_part, top) {
        line(book, page, work, pin, at, &from);
    }
    let offset = contact_offset(book, plan);
    let turnout = book.design.document[plan.bar].turnout;
    if let Some(contact) = contact_of(book, plan.bar).cloned() {
        frog_feed(book, page, work, plan, &contact, drive_part, top + offset);
    } else {
        picture::draw(book, page, &work.cols, turnout, top + offset, None);
    }
}

/// From a pin of the board back to where its wire comes from: board strip, panel strip, control.
fn line(book: &mut Book, page: &mut Page, work: &mut Work, pin: PinRef, at: Point, from: &[(PinRef, Point)]) {
    let wiring = &book.design.wiring;
    let Some((tail, terminal)) = book.terminal_of(End::Pin(pin)) else { return };
    let net = wiring.wires[tail.0].net;
    let (xb, xp) = (work.cols.board_strip, work.cols.panel_strip);
    let strip_at = point(xb, at.y);
    let label = Label { x: xb + 2.6, y: at.y, width: at.x - xb - 3.0 };
    book.draw_wire(&mut page.scene, tail, vec![strip_at, at], Some(label));
    let incoming = outside(book, terminal, tail);
    if let Some((id, far)) = incoming {
        let channels = 19.5;
        match far {
            End::Terminal(panel) => {
                let panel_at = point(xp, at.y);
                let label = Label { x: xp + 2.6, y: at.y, width: xb - xp - channels - 0.6 };
                book.draw_wire(&mut page.scene, id, vec![panel_at, strip_at], Some(label));
                panel_side(book, page, work, panel, id, panel_at, from);
                book.draw_terminal(&mut page.scene, panel_at, panel);
                book.place(Thing::Terminal(panel), page, panel_at);
            }
            End::Pin(source) => match from.iter().find(|(p, _)| *p == source) {
                Some((_, start)) => {
                    let label = Label { x: start.x + 2.0, y: at.y, width: xb - start.x - channels };
                    book.draw_wire(&mut page.scene, id, vec![*start, strip_at], Some(label));
                }
                None => {
                    let words = format!("from {}", book.design.circuit.pin_name(source));
                    let start = point(xp, at.y);
                    page.scene.text(point(xp - 1.0, at.y + 0.9), lettering::SMALL, Anchor::End, words);
                    book.draw_pin(&mut page.scene, source, start);
                    let label = Label { x: xp + 2.6, y: at.y, width: xb - xp - channels - 0.6 };
                    book.draw_wire(&mut page.scene, id, vec![start, strip_at], Some(label));
                }
            },
        }
    }
    book.draw_terminal(&mut page.scene, strip_at, terminal);
    book.place(Thing::Terminal(terminal), page, strip_at);
    work.rows.push(Row { net, terminal, y: at.y, incoming: incoming.is_some() });
}

/// The other wire of a terminal and where it goes.
fn outside(book: &Book, terminal: TerminalRef, inside: WireId) -> Option<(WireId, End)> {
    let end = End::Terminal(terminal);
    book.design.wiring.wires.iter().enumerate().find_map(|(i, w)| {
        if WireId(i) == inside {
            None
        } else if w.from == end {
            Some((WireId(i), w.to))
        } else if w.to == end {
            Some((WireId(i), w.from))
        } else {
            None
        }
    })
}

/// Left of a panel terminal: the wire from the control, or a word on where the net comes from.
fn panel_side(
    book: &mut Book,
    page: &mut Page,
    work: &mut Work,
    panel: TerminalRef,
    cable: WireId,
    at: Point,
    from: &[(PinRef, Point)],
) {
    let _ = &work.cols;
    let words = match outside(book, panel, cable) {
        Some((id, End::Pin(source))) => match from.iter().find(|(p, _)| *p == source) {
            Some((_, start)) => {
                let label = Label { x: start.x + 1.5, y: at.y, width: at.x - start.x - 3.5 };
                book.draw_wire(&mut page.scene, id, vec![*start, at], Some(label));
                return;
            }
            None => {
                let place = book.reference(Thing::Part(source.part));
                format!("to {} {place}", book.design.circuit.pin_name(source))
            }
        },
        Some((_, End::Terminal(t))) => format!("to {}", book.design.wiring.terminal_name(t)),
        None => {
            let before = book.design.wiring.jumpers_at(panel).next();
            let other = before.map(|j| if j.from == panel { j.to } else { j.from });
            match other {
                Some(t) => {
                    let place = book.reference(Thing::Terminal(t));
                    format!("jumper to {} {place}", book.design.wiring.terminal_name(t))
                }
                None => return,
            }
        }
    };
    page.scene.text(point(at.x - 2.2, at.y + 0.9), lettering::SMALL, Anchor::End, words.trim_end());
}

/// Rows of the contact's pins and of the wire to the frog: below the track for a turnout that
/// branches left, above it for one that branches right.
struct ContactRows {
    hinge: f64,
    common: f64,
}

fn contact_rows(book: &Book, turnout: TurnoutId) -> ContactRows {
    if branches_right(*book.design.document[turnout].kind) {
        ContactRows { hinge: 20.0, common: 7.5 }
    } else {
        ContactRows { hinge: 12.5, common: 25.0 }
    }
}

pub(super) fn branches_right(kind: TurnoutKind) -> bool {
    matches!(kind, TurnoutKind::Right | TurnoutKind::CurvedRight)
}

fn frog_feed(
    book: &mut Book,
    page: &mut Page,
    work: &mut Work,
    plan: &BarPlan,
    contact: &Contact,
    drive_part: PartId,
    top: f64,
) {
    let turnout = book.design.document[plan.bar].turnout;
    let rows = contact_rows(book, turnout);
    let (hinge, common_y) = (top + rows.hinge, top + rows.common);
    let pins = drive::contact(book, page, &work.cols, contact, drive_part, hinge, common_y);
    let xt = work.cols.track_strip;
    for (position, at) in [(Position::Normal, pins.normal), (Position::Reverse, pins.reverse)] {
        let outer = contact.outer(position);
        let Some((terminal, bus)) = strip_wire(book, page, work, outer, at) else { continue };
        if let Some((id, End::Pin(bus_pin))) = bus {
            let Some(feed) = bus_feed(book, bus_pin) else { continue };
            let x = work.cols.track_bus[feed as usize];
            let label = Label { x: xt + 2.6, y: at.y, width: work.cols.track_bus[0] - xt - 3.5 };
            let end = point(x, at.y);
            book.draw_wire(&mut page.scene, id, vec![point(xt, at.y), end], Some(label));
            work.tap(bus_pin, x, feed.letter(), at.y);
        }
        book.draw_terminal(&mut page.scene, point(xt, at.y), terminal);
    }
    let Some((terminal, to_frog)) = strip_wire(book, page, work, contact.common(), pins.common) else {
        return;
    };
    let start = point(xt, common_y);
    let frog_wire = match to_frog {
        Some((id, End::Pin(frog))) => Some((id, frog, start)),
        _ => None,
    };
    // What feeds something else than this turnout's frog leads elsewhere.
    let design = book.design;
    let own = design.plan.changeover(contact.changeover).turnout(&design.rails) == Some(turnout);
    let frog_wire = frog_wire.filter(|_| own);
    picture::draw(book, page, &work.cols, turnout, top, frog_wire);
    book.draw_terminal(&mut page.scene, start, terminal);
}

/// The wire from a contact's pin to the track strip, and the wire that leaves the terminal.
fn strip_wire(
    book: &mut Book,
    page: &mut Page,
    work: &Work,
    pin: PinRef,
    at: Point,
) -> Option<(TerminalRef, Option<(WireId, End)>)> {
    let (id, terminal) = book.terminal_of(End::Pin(pin))?;
    let end = point(work.cols.track_strip, at.y);
    let label = Label { x: at.x + 1.2, y: at.y, width: end.x - at.x - 2.9 };
    book.draw_wire(&mut page.scene, id, vec![at, end], Some(label));
    book.place(Thing::Terminal(terminal), page, end);
    Some((terminal, outside(book, terminal, id)))
}

/// A name that fits into a width, at the smallest lettering.
pub(super) fn small(page: &mut Page, at: Point, anchor: Anchor, width: f64, words: &str) {
    let words = text::fit(words, lettering::SMALL, false, width).into_owned();
    page.scene.text(at, lettering::SMALL, anchor, words);
}
