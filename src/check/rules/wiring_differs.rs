//! The wires do not carry out the circuit.
//!
//! Bad: the wire list lacks the wire from a terminal to a motor, or has one that joins two nets.
//!
//! Good: wires and jumpers of each net join exactly its pins.

use crate::check::words::{is, list};
use crate::check::{Rule, View};
use crate::circuit::{NetId, PinRef};
use crate::diag::Diagnostic;
use crate::hardware::{End, StripId, TerminalRef};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeMap, BTreeSet};

pub const RULE: Rule = Rule {
    code: "wiring-differs",
    title: "The wire list and the circuit do not agree.",
    why: "Built by the list, the layout would not be what the circuit sheets show.",
    mend: "Put the missing wire in, or take off the one that joins two nets. If you changed no wiring by hand, \
           this is a mistake of the program.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let ends = Ends::of(view);
    let mut sets = UnionFind::<usize>::new(ends.nets.len());
    let mut found = Vec::new();
    for wire in &view.wiring.wires {
        let (from, to) = (ends.index(wire.from), ends.index(wire.to));
        let place = |end: End| view.wiring.end_name(view.circuit, end);
        if let (Some(from), Some(to)) = (from, to) {
            sets.union(from, to);
            found.extend(wire_between(view, &ends, wire.net, [from, to], || {
                format!("wire {} from {} to {}", wire.number, place(wire.from), place(wire.to))
            }));
        }
    }
    for jumper in &view.wiring.jumpers {
        let [from, to] = [jumper.from, jumper.to].map(End::Terminal);
        if let (Some(a), Some(b)) = (ends.index(from), ends.index(to)) {
            sets.union(a, b);
            let name = |end| view.wiring.end_name(view.circuit, end);
            found.extend(wire_between(view, &ends, jumper.net, [a, b], || {
                format!("the jumper from {} to {}", name(from), name(to))
            }));
        }
    }
    for (net, spec) in view.circuit.nets() {
        found.extend(parts_of_net(view, &ends, &sets, net, &spec.pins));
    }
    found
}

/// A wire that lies on another net than one of its ends.
fn wire_between(
    view: &View,
    ends: &Ends,
    own: NetId,
    at: [usize; 2],
    what: impl Fn() -> String,
) -> Option<Diagnostic> {
    let nets: BTreeSet<Option<NetId>> = at.iter().map(|e| ends.nets[*e]).chain([Some(own)]).collect();
    if nets.len() == 1 {
        return None;
    }
    let names = list(nets.iter().map(|n| n.map_or("nothing", |n| view.circuit[n].name.as_str())));
    let message = format!("{} joins {names}", what());
    Some(Diagnostic::error(RULE.code, message).help("take it off: its two ends belong to different nets"))
}

/// A net whose pins its wires leave in several pieces.
fn parts_of_net(
    view: &View,
    ends: &Ends,
    sets: &UnionFind<usize>,
    net: NetId,
    pins: &[PinRef],
) -> Option<Diagnostic> {
    let mut pieces: BTreeMap<usize, Vec<PinRef>> = BTreeMap::new();
    for pin in pins {
        pieces.entry(sets.find(ends.index(End::Pin(*pin))?)).or_default().push(*pin);
    }
    if pieces.len() < 2 {
        return None;
    }
    // The largest piece is the net, the others were left out.
    let largest = pieces.iter().max_by_key(|(set, p)| (p.len(), std::cmp::Reverse(**set))).map(|(s, _)| *s);
    let left: Vec<PinRef> =
        pieces.iter().filter(|(s, _)| Some(**s) != largest).flat_map(|(_, p)| p.iter().copied()).collect();
    let names = list(left.iter().map(|p| view.circuit.pin_name(*p)));
    let message = format!("{names} {} not wired to the rest of {}", is(left.len()), view.circuit[net].name);
    let diagnostic = Diagnostic::error(RULE.code, message).help("put the missing wire in");
    Some(match left.first().and_then(|p| view.part_span(p.part)) {
        Some(span) => diagnostic.label(span, "belongs to this"),
        None => diagnostic,
    })
}

/// Every pin and every terminal, with the net it is on.
struct Ends {
    places: BTreeMap<End, usize>,
    nets: Vec<Option<NetId>>,
}

impl Ends {
    fn of(view: &View) -> Ends {
        let mut ends = Ends { places: BTreeMap::new(), nets: Vec::new() };
        for (part, spec) in view.circuit.parts() {
            for (pin, at) in spec.pins.iter().enumerate() {
                ends.add(End::Pin(PinRef { part, pin }), at.net);
            }
        }
        for (s, strip) in view.wiring.strips.iter().enumerate() {
            for (index, terminal) in strip.terminals.iter().enumerate() {
                let at = TerminalRef { strip: StripId(s), index };
                ends.add(End::Terminal(at), Some(terminal.net));
            }
        }
        ends
    }

    fn add(&mut self, end: End, net: Option<NetId>) {
        self.places.insert(end, self.nets.len());
        self.nets.push(net);
    }

    fn index(&self, end: End) -> Option<usize> {
        self.places.get(&end).copied()
    }
}
