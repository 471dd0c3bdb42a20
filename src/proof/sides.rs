//! Whether the track and accessory circuits are joined anywhere.
//!
//! Nets are nodes; a part joins those of its pins that conduct to one another inside it. A relay's
//! coil does not conduct to its contact, a drive's coil not to its own, a decoder's data input not
//! to the rest, a booster's rails not to its accessory output; a plug-in supply keeps its outputs
//! apart from everything.

use crate::circuit::{Circuit, NetId, Part, PartId, PartKind, PinRef};
use crate::parse::ControlKind;
use std::collections::VecDeque;

/// A way from the track supply's or a rail's net to that of a plug-in supply.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The nets on the way, the track's first.
    pub nets: Vec<NetId>,
    /// Between each two of them, the pins of the part that joins them.
    pub through: Vec<(PinRef, PinRef)>,
    /// The pin of the plug-in supply at its end.
    pub supply: PinRef,
}

/// Every net that the track supply or a rail can be felt on, with how it is reached.
pub struct Reach {
    from: Vec<Option<(NetId, PinRef, PinRef)>>,
    reached: Vec<bool>,
}

impl Reach {
    pub fn has(&self, net: NetId) -> bool {
        self.reached[net.0]
    }
}

/// The shortest way between the two circuits, if there is one.
pub fn joined(circuit: &Circuit) -> Option<Way> {
    let reach = of_track(circuit);
    let supply = circuit.parts().filter(|(_, p)| p.kind == PartKind::PlugInSupply);
    let supply = supply.flat_map(|(part, p)| (0..p.pins.len()).map(move |pin| PinRef { part, pin }));
    let ways = supply.filter_map(|pin| {
        let net = circuit.pin(pin).net.filter(|n| reach.has(*n))?;
        Some(reach.way(net, pin))
    });
    ways.min_by_key(|w| w.nets.len())
}

/// Follows everything that conducts from the poles of the track supply and the rails.
pub fn of_track(circuit: &Circuit) -> Reach {
    let mut reach = Reach { from: vec![None; circuit.nets.len()], reached: vec![false; circuit.nets.len()] };
    let mut queue: VecDeque<NetId> = VecDeque::new();
    for (part, spec) in circuit.parts() {
        for pin in 0..spec.pins.len() {
            let net = circuit.pin(PinRef { part, pin }).net;
            if let (true, Some(net)) = (is_track_pole(spec, pin), net)
                && !std::mem::replace(&mut reach.reached[net.0], true)
            {
                queue.push_back(net);
            }
        }
    }
    let studs = studs(circuit);
    while let Some(net) = queue.pop_front() {
        for pin in &circuit[net].pins {
            for other in conducts_to(circuit, *pin, &studs) {
                let Some(next) = circuit.pin(other).net else { continue };
                if !std::mem::replace(&mut reach.reached[next.0], true) {
                    reach.from[next.0] = Some((net, *pin, other));
                    queue.push_back(next);
                }
            }
        }
    }
    reach
}

impl Reach {
    fn way(&self, end: NetId, supply: PinRef) -> Way {
        let mut way = Way { nets: vec![end], through: Vec::new(), supply };
        let mut here = end;
        while let Some((before, entry, exit)) = self.from[here.0] {
            way.nets.push(before);
            way.through.push((entry, exit));
            here = before;
        }
        way.nets.reverse();
        way.through.reverse();
        way
    }
}

fn is_track_pole(part: &Part, pin: usize) -> bool {
    match part.kind {
        PartKind::TrackSupply => matches!(part.pins[pin].name, "A" | "B"),
        PartKind::Rail { .. } => true,
        _ => false,
    }
}

/// The pins of probes and of the studs they touch.
fn studs(circuit: &Circuit) -> Vec<PinRef> {
    let touches = |p: &Part| {
        matches!(p.kind, PartKind::Probe | PartKind::Control { kind: ControlKind::StudsAndProbe, .. })
    };
    let parts = circuit.parts().filter(|(_, p)| touches(p));
    parts.flat_map(|(part, p)| (0..p.pins.len()).map(move |pin| PinRef { part, pin })).collect()
}

fn conducts_to(circuit: &Circuit, pin: PinRef, studs: &[PinRef]) -> Vec<PinRef> {
    let part = &circuit[pin.part];
    let is_probe = part.kind == PartKind::Probe;
    if is_probe || matches!(part.kind, PartKind::Control { kind: ControlKind::StudsAndProbe, .. }) {
        // The probe touches one stud at a time: a stud leads to the probe, never to another stud.
        let probe = |p: &&PinRef| circuit[p.part].kind == PartKind::Probe;
        return studs.iter().filter(|p| probe(p) != is_probe).copied().collect();
    }
    let own = group(part, pin.pin);
    let same = |other: &usize| *other != pin.pin && own.is_some() && group(part, *other) == own;
    (0..part.pins.len()).filter(same).map(|other| PinRef { part: pin.part, pin: other }).collect()
}

/// Pins of the same group conduct to one another; `None`: to no other pin.
pub(crate) fn group(part: &Part, pin: usize) -> Option<u8> {
    let name = part.pins[pin].name;
    let contact = part.pins[pin].is_contact();
    match part.kind {
        PartKind::PlugInSupply | PartKind::TrackSupply | PartKind::Probe => None,
        PartKind::Fuse
        | PartKind::Rectifier
        | PartKind::Resistor
        | PartKind::Capacitor
        | PartKind::ServoController { .. }
        | PartKind::Bus
        | PartKind::RouteButton { .. }
        | PartKind::Diode { .. }
        | PartKind::Link { .. }
        | PartKind::Rail { .. }
        | PartKind::PolaritySwitch { .. }
        | PartKind::ReverserModule { .. }
        | PartKind::DistrictCutout { .. }
        | PartKind::SectionSwitch { .. }
        | PartKind::Microswitch { .. } => Some(0),
        PartKind::Drive { .. } | PartKind::Relay { .. } => Some(u8::from(contact)),
        PartKind::Decoder { .. } => Some(u8::from(matches!(name, "a" | "b"))),
        PartKind::Control { kind: ControlKind::PushButtons, .. } => Some(u8::from(name.starts_with('R'))),
        PartKind::Control { kind: ControlKind::StudsAndProbe, .. } => None,
        // One pole is "C", "N", "R"; of two, each name begins with its number.
        PartKind::Control { .. } => Some(u8::from(name.starts_with('2'))),
    }
}

/// Parts with a pin that takes power, and that pin: coils, inputs of controllers and decoders.
pub fn takes_power(circuit: &Circuit) -> impl Iterator<Item = (PartId, PinRef)> + '_ {
    circuit.parts().flat_map(|(part, spec)| {
        (0..spec.pins.len())
            .filter(move |pin| match spec.kind {
                PartKind::Drive { .. } | PartKind::Relay { .. } => !spec.pins[*pin].is_contact(),
                PartKind::ServoController { .. } => matches!(spec.pins[*pin].name, "+" | "−"),
                PartKind::Decoder { .. } => matches!(spec.pins[*pin].name, "P1" | "P2"),
                _ => false,
            })
            .map(move |pin| (part, PinRef { part, pin }))
    })
}
