//! One band: the wires of one tie bar from its control to its drive, and what follows the bar.

use super::super::pen::Label;
use super::super::{Book, Thing};
use super::columns::Columns;
use super::storeys::{self, Storey, Subject};
use super::{control, drive, outside};
use crate::circuit::{Contact, DriveSymbol, NetId, PartId, PartKind, PinRef};
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::text::{self, lettering};
use crate::drives::{BarPlan, Decider, Pairing};
use crate::geom::{Point, point};
use crate::hardware::{End, TerminalRef, WireId};

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

/// Heights within a band, from its top.
struct Heights {
    /// Where the first storey begins: a servo leaves no room beside it for a contact.
    storeys: f64,
    /// Where the drive's outline ends.
    drive: f64,
    /// The first row of a relay's coils.
    relay: f64,
    all: f64,
}

/// The outline of a drive reaches down over its contacts; where a relay stands below it, over those
/// of its own turnout only.
fn heights(book: &Book, plan: &BarPlan, storeys: &[Storey]) -> Heights {
    let all = &book.design.plan;
    let feeds = all.feeds_frogs(plan.bar);
    let relay = all.wants_relay(plan.bar);
    let servo = matches!(plan.pairing, Pairing::ServoToggle | Pairing::ServoDecoder);
    let offset = if servo && feeds { 20.0 } else { 0.0 };
    let mut drive: f64 = 36.0;
    let mut top = offset;
    for (i, storey) in storeys.iter().enumerate() {
        for (contact, rows) in &storey.contacts {
            if is_in_drive(book, plan, contact) && (i == 0 || !relay) {
                drive = drive.max(top + rows.hinge.max(rows.common) + 6.0);
            }
        }
        top += storey.height;
    }
    let relay_row = match plan.pairing {
        Pairing::ServoToggle => 30.0,
        _ => 40.0_f64.max(((drive + 4.0) / crate::draw::M).floor() * crate::draw::M),
    };
    let least = match plan.pairing {
        Pairing::ServoToggle => {
            // The toggle's second pole is there if any turnout that it throws has a relay.
            let pole = all.bars.iter().any(|b| b.control == plan.control && all.wants_relay(b.bar));
            if pole || feeds { 52.5 } else { 37.5 }
        }
        Pairing::ServoDecoder if feeds => 52.5,
        Pairing::SolenoidDischarge | Pairing::SolenoidDirect | Pairing::SolenoidDecoder if relay => {
            relay_row + 22.5
        }
        _ if relay => relay_row + 12.5,
        _ => 37.5,
    };
    // The wires of a single turnout end well above the end of its storey.
    let low = |s: &Storey| s.contacts.iter().all(|(_, r)| r.hinge.max(r.common) <= 25.0);
    let spare = if offset > 0.0 && storeys.len() == 1 && storeys.iter().all(low) { 5.0 } else { 0.0 };
    let all = least.max(top - spare).max(drive + 1.5);
    Heights { storeys: offset, drive, relay: relay_row, all }
}

fn is_in_drive(book: &Book, plan: &BarPlan, contact: &Contact) -> bool {
    match book.design.circuit[contact.part].kind {
        PartKind::Drive { bar, pattern } => bar == plan.bar && pattern != DriveSymbol::Servo,
        _ => false,
    }
}

fn own_storeys(book: &Book, plan: &BarPlan) -> Vec<Storey> {
    let turnout = book.design.document[plan.bar].turnout;
    storeys::of(book, Decider::Bar(plan.bar), Some(turnout))
}

pub(super) fn height(book: &Book, plan: &BarPlan) -> f64 {
    heights(book, plan, &own_storeys(book, plan)).all
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
    let storeys = own_storeys(book, plan);
    let heights = heights(book, plan, &storeys);
    let from = if with_control {
        control::draw(book, page, work, plan, drive_part, top)
    } else {
        control::continued(book, page, work, plan, top);
        Vec::new()
    };
    for (pin, at) in drive::draw(book, page, work, plan, drive_part, (top, heights.drive, heights.relay)) {
        line(book, page, work, pin, at, &from);
    }
    right_half(book, page, work, plan, &storeys, (top, &heights));
}

/// Contacts with their outlines, then the storeys.
fn right_half(
    book: &mut Book,
    page: &mut Page,
    work: &mut Work,
    plan: &BarPlan,
    storeys: &[Storey],
    (band, heights): (f64, &Heights),
) {
    let bar = &book.design.document[plan.bar];
    let (own, index, bar_name) = (bar.turnout, bar.index, bar.name.clone());
    let mut top = band + heights.storeys;
    // Outlines of contacts that stand beside the drive: part, from, to.
    let mut frames: Vec<(PartId, f64, f64)> = Vec::new();
    for storey in storeys {
        let mut pins = Vec::new();
        for (contact, rows) in &storey.contacts {
            let (hinge, common) = (top + rows.hinge, top + rows.common);
            pins.push(drive::contact(book, page, &work.cols, contact, hinge, common));
            let (low, high) = (hinge.max(common), hinge.min(common));
            if is_in_drive(book, plan, contact) && low + 6.0 <= band + heights.drive + 0.01 {
                continue;
            }
            let from = if common < hinge { high - 3.2 } else { high - 6.25 };
            match frames.last_mut() {
                Some(last) if last.0 == contact.part => last.2 = low + 6.5,
                _ => frames.push((contact.part, from, low + 6.5)),
            }
        }
        let caption = match storey.subject {
            Subject::Turnout(t) if t == own => (bar_name.clone(), Some(index)),
            Subject::Turnout(t) => (book.design.document[t].name.value.clone(), None),
            Subject::Zone(_) => (String::new(), None),
        };
        storeys::draw(book, page, work, storey, (top, &pins), caption, true);
        top += storey.height;
    }
    for (part, from, to) in frames {
        drive::frame(book, page, &work.cols, part, from, to);
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
                panel_side(book, page, panel, id, panel_at, from);
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

/// Left of a panel terminal: the wire from the control, or a word on where the net comes from.
fn panel_side(
    book: &mut Book,
    page: &mut Page,
    panel: TerminalRef,
    cable: WireId,
    at: Point,
    from: &[(PinRef, Point)],
) {
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

/// A name that fits into a width, at the smallest lettering.
pub(super) fn small(page: &mut Page, at: Point, anchor: Anchor, width: f64, words: &str) {
    let words = text::fit(words, lettering::SMALL, false, width).into_owned();
    page.scene.text(at, lettering::SMALL, anchor, words);
}
