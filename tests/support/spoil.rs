//! Mistakes in a finished circuit, one at a time.

use underboard::Design;
use underboard::circuit::{NetId, NetKind, PartId, PartKind, PinRef};
use underboard::drives::Decider;
use underboard::parse::TurnoutKind;
use underboard::proof::{Fault, RailProof};
use underboard::track::{Connection, Pole, Position};

#[derive(Clone, Debug, PartialEq)]
pub enum Mistake {
    /// Two of the wires of a contact change places: 0 is the common, 1 normal, 2 reverse.
    Swapped { contact: usize, wires: (usize, usize) },
    /// A rail joiner of metal instead of an insulated one.
    JointLeftOut(usize),
    /// A dropper goes to the other conductor of its section.
    DropperReversed(PinRef),
}

/// Everything that can be done wrong in these three ways.
pub fn all(d: &Design) -> Vec<Mistake> {
    let mut found = Vec::new();
    for contact in 0..d.circuit.contacts.len() {
        found.extend([(0, 1), (0, 2), (1, 2)].map(|wires| Mistake::Swapped { contact, wires }));
    }
    found.extend((0..d.rails.joints.len()).map(Mistake::JointLeftOut));
    for (part, spec) in d.circuit.parts() {
        let pins = spec.pins.iter().enumerate().filter(|(_, p)| p.name == "dropper");
        found.extend(pins.map(|(pin, _)| Mistake::DropperReversed(PinRef { part, pin })));
    }
    found
}

fn net(d: &mut Design, part: PartId, pin: usize) -> &mut Option<NetId> {
    &mut d.circuit.parts[part.0].pins[pin].net
}

/// Makes a mistake.
pub fn spoil(d: &mut Design, mistake: &Mistake) {
    match mistake {
        Mistake::Swapped { contact, wires } => {
            let c = d.circuit.contacts[*contact].clone();
            let pins = [c.common, c.normal, c.reverse];
            let (a, b) = (pins[wires.0], pins[wires.1]);
            let (one, two) = (*net(d, c.part, a), *net(d, c.part, b));
            *net(d, c.part, a) = two;
            *net(d, c.part, b) = one;
        }
        Mistake::JointLeftOut(joint) => {
            let graph = &mut d.rails.graph;
            let edge = graph.edge_indices().find(|e| graph[*e] == Connection::Insulated(*joint));
            graph[edge.expect("every joint is an edge")] = Connection::Joined;
        }
        Mistake::DropperReversed(pin) => {
            let now = d.circuit.pin(*pin).net.expect("a dropper has a wire");
            let NetKind::Track(pole) = d.circuit[now].kind else { panic!("a dropper goes to the track") };
            let other = NetKind::Track(Pole { feed: pole.feed.other(), ..pole });
            let other = d.circuit.nets.iter().position(|n| n.kind == other).expect("feeds come in pairs");
            *net(d, pin.part, pin.pin) = Some(NetId(other));
        }
    }
}

/// The mistake in words.
pub fn words(d: &Design, mistake: &Mistake) -> String {
    match mistake {
        Mistake::Swapped { contact, wires } => {
            let c = &d.circuit.contacts[*contact];
            let pins = [c.common, c.normal, c.reverse];
            let name = |i: usize| d.circuit.pin_name(PinRef { part: c.part, pin: pins[i] });
            format!("{} and {} swapped", name(wires.0), name(wires.1))
        }
        Mistake::JointLeftOut(joint) => {
            let j = &d.rails.joints[*joint];
            format!("no joint between {} and {}", d.rails[j.inside].name, d.rails[j.outside].name)
        }
        Mistake::DropperReversed(pin) => format!("dropper of {} reversed", d.circuit[pin.part].designation),
    }
}

/// Whether the two inputs of a reverser module have changed places.
pub fn inputs_of_a_module(d: &Design, mistake: &Mistake) -> bool {
    let Mistake::Swapped { contact, wires: (1, 2) } = mistake else { return false };
    matches!(d.circuit[d.circuit.contacts[*contact].part].kind, PartKind::ReverserModule { .. })
}

/// Whether the proof holds but for shorts that need both outer roads of a three-way set at once.
pub fn holds(d: &Design, proof: &RailProof) -> bool {
    proof.faults.iter().all(|fault| match fault {
        // The rail of a road that is not set may be dead or on another feed: no train is on it.
        Fault::Dead { reached, .. } | Fault::WrongFeed { reached, .. } => !reached,
        Fault::Short { when, .. } => when.cases.iter().all(|case| {
            let reverse: Vec<_> = when
                .deciders
                .iter()
                .zip(case)
                .filter(|(_, p)| **p == Position::Reverse)
                .filter_map(|(decider, _)| match decider {
                    Decider::Bar(bar) => Some(d.document[*bar].turnout),
                    Decider::Selector(_) => None,
                })
                .collect();
            d.document.turnouts.iter().enumerate().any(|(t, spec)| {
                *spec.kind == TurnoutKind::ThreeWay && reverse.iter().filter(|r| r.0 == t).count() == 2
            })
        }),
        _ => false,
    })
}
