//! The right half of a band, one storey for each turnout or section whose polarity follows the
//! band's bar or switch: contact pins, track strip, buses, frogs and rails.

use super::super::pen::Label;
use super::super::{Book, Thing};
use super::band::Work;
use super::picture::{self, Caption, Shape};
use super::{bus_pole, outside, section_words};
use crate::circuit::{Contact, PartKind, PinRef};
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::draw::symbols::changeover::Pins;
use crate::draw::text::{self, lettering};
use crate::drives::{Decider, Feeds};
use crate::geom::{Point, point};
use crate::hardware::{End, TerminalRef, WireId};
use crate::parse::{TurnoutId, TurnoutKind};
use crate::track::{Position, RailPlace, ZoneId};

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Subject {
    Turnout(TurnoutId),
    /// A reversing section.
    Zone(ZoneId),
}

/// Where the rows of one contact lie, from the top of its storey.
#[derive(Clone)]
pub(super) struct Rows {
    /// Of the contact; its outers lie 2.5 mm above and below.
    pub hinge: f64,
    pub common: f64,
    /// Rows of further frogs on the same common.
    more: Vec<f64>,
}

pub(super) struct Storey {
    pub subject: Subject,
    pub contacts: Vec<(Contact, Rows)>,
    pub height: f64,
    /// Middle of the turnout's own line.
    middle: f64,
}

/// The storeys that follow a decider; a bar's own turnout comes first, fed or not.
pub(super) fn of(book: &Book, decider: Decider, own: Option<TurnoutId>) -> Vec<Storey> {
    let design = book.design;
    let mut found: Vec<(Subject, Vec<Contact>)> =
        own.map(|t| (Subject::Turnout(t), Vec::new())).into_iter().collect();
    for id in design.plan.following(decider) {
        let Some(contact) = design.circuit.contact_of(id) else { continue };
        let changeover = design.plan.changeover(id);
        let subject = match (&changeover.feeds, changeover.turnout(&design.rails)) {
            (_, Some(turnout)) => Subject::Turnout(turnout),
            (Feeds::Zone(pole), None) => Subject::Zone(pole.zone),
            (Feeds::Frogs(_), None) => continue,
        };
        match found.iter_mut().find(|(s, _)| *s == subject) {
            Some((_, contacts)) => contacts.push(contact.clone()),
            None => found.push((subject, vec![contact.clone()])),
        }
    }
    found.into_iter().map(|(subject, contacts)| arrange(book, subject, contacts)).collect()
}

fn arrange(book: &Book, subject: Subject, contacts: Vec<Contact>) -> Storey {
    let turnout = match subject {
        Subject::Turnout(turnout) => turnout,
        Subject::Zone(_) => {
            let height = 25.0 * contacts.len() as f64 + 2.5;
            let rows = |i: usize| 10.0 + 25.0 * i as f64;
            let with = |(i, c)| (c, Rows { hinge: rows(i), common: rows(i) + 10.0, more: Vec::new() });
            let contacts = contacts.into_iter().enumerate().map(with).collect();
            return Storey { subject, contacts, height, middle: 0.0 };
        }
    };
    let kind = *book.design.document[turnout].kind;
    if contacts.len() > 1 {
        // The first comes to its frog from above, the others from below.
        let mut last = 0.0;
        let with = |(i, c): (usize, Contact)| {
            let (hinge, common) =
                if i == 0 { (12.5, 5.0) } else { (17.5 + 15.0 * i as f64, 27.5 + 15.0 * i as f64) };
            let below = if i == 0 { vec![5.0] } else { below(book, turnout, &c, common) };
            last = below.iter().copied().fold(common, f64::max);
            (c, rows(hinge, &below))
        };
        let contacts = contacts.into_iter().enumerate().map(with).collect();
        return Storey { subject, contacts, height: last + 7.5, middle: 22.5 };
    }
    let (hinge, common, middle) = match kind {
        TurnoutKind::Right | TurnoutKind::CurvedRight => (20.0, 7.5, 15.0),
        TurnoutKind::ThreeWay => (20.0, 37.5, 20.0),
        _ if !kind.has_toe() => (20.0, 35.0, 20.0),
        _ => (12.5, 25.0, 17.5),
    };
    let mut height: f64 = 37.5;
    let with = |c: Contact| {
        let below = below(book, turnout, &c, common);
        height = below.iter().copied().fold(common, f64::max).max(30.0) + 7.5;
        (c, rows(hinge, &below))
    };
    let contacts = contacts.into_iter().map(with).collect();
    Storey { subject, contacts, height, middle }
}

fn rows(hinge: f64, common_and_more: &[f64]) -> Rows {
    let (common, more) =
        common_and_more.split_first().map_or((hinge + 7.5, Vec::new()), |(c, m)| (*c, m.to_vec()));
    Rows { hinge, common, more }
}

/// Rows for the frogs of a contact, in their order, from `first` down: the nearer a frog is to the
/// toe, the higher its row, so that no wire crosses another.
fn below(book: &Book, turnout: TurnoutId, contact: &Contact, first: f64) -> Vec<f64> {
    let changeover = book.design.plan.changeover(contact.changeover);
    let Feeds::Frogs(frogs) = &changeover.feeds else { return vec![first] };
    let shape = Shape::of(book, turnout, (0.0, 40.0), 0.0);
    let x: Vec<f64> = frogs.iter().map(|f| shape.frog(book.design.rails[*f].crossing).x).collect();
    let rank = |i: usize| x.iter().enumerate().filter(|(j, o)| (**o, *j) < (x[i], i)).count();
    (0..x.len()).map(|i| first + 5.0 * rank(i) as f64).collect()
}

/// Draws a storey whose contacts have their pins at these places. `outers`: their outer pins are
/// wired here, by the track strip to the buses.
pub(super) fn draw(
    book: &mut Book,
    page: &mut Page,
    work: &mut Work,
    storey: &Storey,
    (top, pins): (f64, &[Pins]),
    caption: (String, Option<usize>),
    outers: bool,
) {
    let shape = match storey.subject {
        Subject::Turnout(t) => {
            Some((t, Shape::of(book, t, (work.cols.toe, work.cols.heel), top + storey.middle)))
        }
        Subject::Zone(_) => None,
    };
    let mut done: Vec<PinRef> = Vec::new();
    for ((contact, rows), pins) in storey.contacts.iter().zip(pins) {
        for (position, at) in [(Position::Normal, pins.normal), (Position::Reverse, pins.reverse)] {
            let pin = contact.outer(position);
            // The outputs of a module share its inputs.
            if outers && !done.contains(&pin) {
                done.push(pin);
                outer(book, page, work, pin, at);
            }
        }
        commons(book, page, work, contact, (top, rows, pins), shape);
    }
    let Some((turnout, shape)) = shape else {
        if let Subject::Zone(zone) = storey.subject {
            zone_words(book, page, work, zone, top + 27.0);
        }
        return;
    };
    let (name, bar) = caption;
    let above = storey.contacts.len() > 1;
    let frog = (0..4).map(|c| shape.frog(c).x).fold(work.cols.heel, f64::min);
    let kind = *book.design.document[turnout].kind;
    let width = match kind {
        _ if !kind.has_toe() => 38.0,
        TurnoutKind::ThreeWay if above => frog - work.cols.toe + 1.5,
        TurnoutKind::ThreeWay => 20.0,
        _ => 26.0,
    };
    let caption = Caption { name, width, below: above, bar };
    picture::draw(book, page, shape, turnout, &caption);
}

/// From an outer pin by the track strip to its bus.
fn outer(book: &mut Book, page: &mut Page, work: &mut Work, pin: PinRef, at: Point) {
    let xt = work.cols.track_strip;
    let Some((terminal, bus)) = strip_wire(book, page, work, pin, at, at.y) else { return };
    if let Some((id, End::Pin(bus_pin))) = bus
        && let Some(pole) = bus_pole(book, bus_pin)
    {
        let x = work.cols.bus(pole);
        let label = Label { x: xt + 2.6, y: at.y, width: work.cols.first_bus() - xt - 3.5 };
        book.draw_wire(&mut page.scene, id, vec![point(xt, at.y), point(x, at.y)], Some(label));
        let number = if pole.zone.0 == 0 { String::new() } else { format!("{}", pole.zone.0 + 1) };
        work.tap(bus_pin, x, &format!("{}{number}", pole.feed.letter()), at.y);
    }
    book.draw_terminal(&mut page.scene, point(xt, at.y), terminal);
}

/// From a common pin by the track strip to the frogs, or to the conductor of a section.
fn commons(
    book: &mut Book,
    page: &mut Page,
    work: &Work,
    contact: &Contact,
    (top, rows, pins): (f64, &Rows, &Pins),
    shape: Option<(TurnoutId, Shape)>,
) {
    let cols = &work.cols;
    let (xt, y) = (cols.track_strip, top + rows.common);
    let Some((terminal, onward)) = strip_wire(book, page, work, contact.common(), pins.common, y) else {
        return;
    };
    let room = |x: f64| Label { x: xt + 2.6, y: x, width: cols.first_bus() - xt - 4.1 };
    let Some((turnout, shape)) = shape else {
        if let Some((id, End::Pin(bus))) = onward {
            book.draw_wire(&mut page.scene, id, vec![point(xt, y), point(cols.toe, y)], Some(room(y)));
            conductor(book, page, bus, point(cols.toe, y), cols.heel);
        }
        book.draw_terminal(&mut page.scene, point(xt, y), terminal);
        return;
    };
    let all_rows: Vec<f64> = std::iter::once(y).chain(rows.more.iter().map(|m| top + m)).collect();
    let chain = chain(book, terminal, onward);
    for (i, ((terminal, onward), y)) in chain.iter().zip(&all_rows).enumerate() {
        let start = point(xt, *y);
        if i > 0 {
            let net = book.design.wiring.terminal(*terminal).net;
            book.draw_jumper(&mut page.scene, net, vec![point(xt, all_rows[i - 1]), start]);
        }
        match onward {
            Some((id, End::Pin(pin))) => {
                to_frog(book, page, (*id, *pin), start, (turnout, shape), Some(room(*y)))
            }
            Some((id, End::Terminal(far))) => {
                // The frog lies on another board: by that board's strip.
                let there = point(cols.toe, *y);
                book.draw_wire(&mut page.scene, *id, vec![start, there], Some(room(*y)));
                if let Some((last, End::Pin(pin))) = outside(book, *far, *id) {
                    to_frog(book, page, (last, pin), there, (turnout, shape), None);
                }
                let name = book.design.wiring.terminal_name(*far);
                let net = book.net_name(book.design.wiring.terminal(*far).net).to_owned();
                crate::draw::symbols::terminal::terminal(&mut page.scene, there, name.clone(), net);
                page.scene.text(point(there.x, y + 4.0), lettering::SMALL, Anchor::Middle, name);
                book.place(Thing::Terminal(*far), page, there);
            }
            None => {}
        }
        book.place(Thing::Terminal(*terminal), page, start);
        book.draw_terminal(&mut page.scene, start, *terminal);
    }
}

type Onward = Option<(WireId, End)>;

/// A terminal and those joined to it by jumpers, each with the wire that leaves it.
fn chain(book: &Book, first: TerminalRef, onward: Onward) -> Vec<(TerminalRef, Onward)> {
    let wiring = &book.design.wiring;
    let mut found: Vec<(TerminalRef, Onward)> = vec![(first, onward)];
    let mut next = 0;
    while next < found.len() {
        let here = found[next].0;
        for jumper in wiring.jumpers_at(here) {
            let other = if jumper.from == here { jumper.to } else { jumper.from };
            if found.iter().all(|(t, _)| *t != other) {
                let leaving =
                    wiring.wires.iter().position(|w| [w.from, w.to].contains(&End::Terminal(other)));
                let leaving = leaving.map(|i| {
                    let w = &wiring.wires[i];
                    (WireId(i), if w.from == End::Terminal(other) { w.to } else { w.from })
                });
                found.push((other, leaving));
            }
        }
        next += 1;
    }
    found
}

fn to_frog(
    book: &mut Book,
    page: &mut Page,
    (id, pin): (WireId, PinRef),
    start: Point,
    (turnout, shape): (TurnoutId, Shape),
    label: Option<Label>,
) {
    let PartKind::Rail { rail } = book.design.circuit[pin.part].kind else { return };
    let RailPlace::Frog(of, crossing) = book.design.rails[rail].place else { return };
    if of != turnout {
        return;
    }
    let frog = shape.frog(crossing);
    book.draw_wire(&mut page.scene, id, vec![start, point(frog.x, start.y), frog], label);
    book.draw_pin(&mut page.scene, pin, frog);
}

/// The beginning of a section's conductor, which goes on at the sheets of its feeds.
fn conductor(book: &mut Book, page: &mut Page, bus: PinRef, at: Point, end: f64) {
    let Some(net) = book.design.circuit.pin(bus).net else { return };
    book.draw_net(&mut page.scene, net, vec![at, point(end, at.y)], true);
    for x in [at.x, end] {
        book.draw_pin(&mut page.scene, bus, point(x, at.y));
    }
    let part = &book.design.circuit[bus.part];
    let reference = book.reference(Thing::Part(bus.part));
    let words = format!("{}: {} {reference}", part.designation, part.value);
    let words = text::fit(words.trim_end(), lettering::SMALL, false, end - at.x - 1.5).into_owned();
    page.scene.text(point(at.x + 1.5, at.y - 1.2), lettering::SMALL, Anchor::Start, words);
}

fn zone_words(book: &Book, page: &mut Page, work: &Work, zone: ZoneId, y: f64) {
    let (x, width) = (work.cols.toe - 3.0, work.cols.heel - work.cols.toe + 4.0);
    let name = text::fit(&book.design.rails[zone].name, lettering::HEADING, true, width).into_owned();
    page.scene.bold(point(x, y), lettering::HEADING, Anchor::Start, name);
    let words = section_words(book, zone);
    super::band::small(page, point(x, y + 3.4), Anchor::Start, width, &words);
}

/// The wire from a contact's pin to the track strip on a row, and the wire that leaves the terminal.
fn strip_wire(
    book: &mut Book,
    page: &mut Page,
    work: &Work,
    pin: PinRef,
    at: Point,
    row: f64,
) -> Option<(TerminalRef, Onward)> {
    let (id, terminal) = book.terminal_of(End::Pin(pin))?;
    let end = point(work.cols.track_strip, row);
    let (points, from) = if (at.y - row).abs() < 1e-6 {
        (vec![at, end], at.x)
    } else {
        let turn = at.x + 5.0;
        (vec![at, point(turn, at.y), point(turn, row), end], turn)
    };
    let label = Label { x: from + 1.2, y: row, width: end.x - from - 2.9 };
    book.draw_wire(&mut page.scene, id, points, Some(label));
    book.place(Thing::Terminal(terminal), page, end);
    Some((terminal, outside(book, terminal, id)))
}
