//! The view that `circuit.json` is.

use super::words::{net_kind, part_kind};
use super::{FORMAT, rounded};
use crate::Design;
use crate::circuit::PinRef;
use crate::drives::Decider;
use crate::hardware::colour_code;
use crate::parse::Word;
use crate::tables::{droppers, joints, place_words};
use crate::track::{Feed, Position};
use serde::Serialize;

#[derive(Serialize)]
pub struct CircuitView {
    format: u32,
    layout: LayoutView,
    parts: Vec<PartView>,
    nets: Vec<NetView>,
    contacts: Vec<ContactView>,
    strips: Vec<StripView>,
    wires: Vec<WireView>,
    jumpers: Vec<JumperView>,
    joints: Vec<JointView>,
    droppers: Vec<DropperView>,
}

#[derive(Serialize)]
struct LayoutView {
    name: String,
    control: &'static str,
    gauge_mm: f64,
    revision: String,
    date: String,
}

#[derive(Serialize)]
struct PartView {
    designation: String,
    kind: &'static str,
    class: &'static str,
    place: String,
    value: String,
    reason: String,
    pins: Vec<PinView>,
}

#[derive(Serialize)]
struct PinView {
    name: &'static str,
    net: Option<String>,
}

#[derive(Serialize)]
struct NetView {
    name: String,
    kind: &'static str,
    pins: Vec<String>,
}

#[derive(Serialize)]
struct ContactView {
    part: String,
    turnout: Option<String>,
    follows: String,
    closed: ClosedView,
}

#[derive(Serialize)]
struct ClosedView {
    normal: [String; 2],
    reverse: [String; 2],
}

#[derive(Serialize)]
struct StripView {
    designation: String,
    place: String,
    title: String,
    terminals: Vec<TerminalView>,
}

#[derive(Serialize)]
struct TerminalView {
    number: usize,
    net: String,
}

#[derive(Serialize)]
struct WireView {
    number: usize,
    net: String,
    from: String,
    to: String,
    colour: &'static str,
    size: String,
    length_mm: f64,
    kind: &'static str,
}

#[derive(Serialize)]
struct JumperView {
    net: String,
    from: String,
    to: String,
}

#[derive(Serialize)]
struct JointView {
    number: String,
    turnout: String,
    end: &'static str,
    side: &'static str,
    rail: String,
    reason: String,
}

#[derive(Serialize)]
struct DropperView {
    number: String,
    rail: String,
    feed: Option<&'static str>,
    board: String,
    wire: Option<usize>,
    reason: String,
}

pub fn view(design: &Design) -> CircuitView {
    let layout = &design.document.layout;
    CircuitView {
        format: FORMAT,
        layout: LayoutView {
            name: layout.name.value.clone(),
            control: layout.control.word(),
            gauge_mm: rounded(layout.gauge.mm()),
            revision: layout.revision.clone(),
            date: layout.date.clone(),
        },
        parts: parts(design),
        nets: nets(design),
        contacts: contacts(design),
        strips: strips(design),
        wires: wires(design),
        jumpers: jumpers(design),
        joints: joints_view(design),
        droppers: droppers_view(design),
    }
}

fn parts(design: &Design) -> Vec<PartView> {
    let circuit = &design.circuit;
    circuit
        .parts()
        .map(|(_, p)| PartView {
            designation: p.designation.clone(),
            kind: part_kind(p.kind),
            class: p.kind.class_letter(),
            place: place_words(&design.document, p.place),
            value: p.value.clone(),
            reason: p.reason.clone(),
            pins: p
                .pins
                .iter()
                .map(|pin| PinView { name: pin.name, net: pin.net.map(|n| circuit[n].name.clone()) })
                .collect(),
        })
        .collect()
}

fn nets(design: &Design) -> Vec<NetView> {
    let circuit = &design.circuit;
    circuit
        .nets()
        .map(|(_, n)| NetView {
            name: n.name.clone(),
            kind: net_kind(n.kind),
            pins: n.pins.iter().map(|p| circuit.pin_name(*p)).collect(),
        })
        .collect()
}

fn contacts(design: &Design) -> Vec<ContactView> {
    let circuit = &design.circuit;
    let name = |p: PinRef| circuit.pin_name(p);
    circuit
        .contacts
        .iter()
        .map(|c| ContactView {
            part: circuit[c.part].designation.clone(),
            turnout: match c.decider {
                Decider::Bar(bar) => Some(design.document.turnout_of(bar).name.value.clone()),
                Decider::Selector(_) => None,
            },
            follows: match c.decider {
                Decider::Bar(bar) => design.document[bar].name.clone(),
                Decider::Selector(selector) => design.plan.selector(selector).name.clone(),
            },
            closed: ClosedView {
                normal: [name(c.common()), name(c.outer(Position::Normal))],
                reverse: [name(c.common()), name(c.outer(Position::Reverse))],
            },
        })
        .collect()
}

fn strips(design: &Design) -> Vec<StripView> {
    let strips = design.wiring.strips.iter();
    strips
        .map(|s| StripView {
            designation: s.designation.clone(),
            place: place_words(&design.document, s.place),
            title: s.title.clone(),
            terminals: s
                .terminals
                .iter()
                .map(|t| TerminalView { number: t.number, net: design.circuit[t.net].name.clone() })
                .collect(),
        })
        .collect()
}

fn wires(design: &Design) -> Vec<WireView> {
    let end = |e| design.wiring.end_name(&design.circuit, e);
    let wires = design.wiring.wires.iter();
    wires
        .map(|w| WireView {
            number: w.number,
            net: design.circuit[w.net].name.clone(),
            from: end(w.from),
            to: end(w.to),
            colour: colour_code(w.colour),
            size: w.size.label(),
            length_mm: w.length.mm().round(),
            kind: w.class.word(),
        })
        .collect()
}

fn jumpers(design: &Design) -> Vec<JumperView> {
    let jumpers = design.wiring.jumpers.iter();
    jumpers
        .map(|j| JumperView {
            net: design.circuit[j.net].name.clone(),
            from: design.wiring.terminal_name(j.from),
            to: design.wiring.terminal_name(j.to),
        })
        .collect()
}

fn joints_view(design: &Design) -> Vec<JointView> {
    joints::rows(design)
        .into_iter()
        .map(|j| JointView {
            number: j.number,
            turnout: j.turnout,
            end: j.end.word(),
            side: j.side,
            rail: j.rail,
            reason: j.reason,
        })
        .collect()
}

fn droppers_view(design: &Design) -> Vec<DropperView> {
    droppers::rows(design)
        .into_iter()
        .map(|d| DropperView {
            number: d.number,
            rail: d.rail,
            feed: d.feed.map(Feed::letter),
            board: d.board,
            wire: d.wire,
            reason: d.reason,
        })
        .collect()
}
