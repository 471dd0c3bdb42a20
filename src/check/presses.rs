//! What the button of a route fires, found by walking the circuit: a wire link conducts both ways,
//! a diode from A to K only, and every other contact is open.

use super::View;
use crate::circuit::{DriveSymbol, NetId, PartId, PartKind, PinRef};
use crate::parse::{BarId, RouteId};
use crate::track::Position;
use std::collections::BTreeMap;

/// A coil, by the tie bar and the position it throws that to.
pub(super) type Coil = (BarId, Position);

/// What happens while one button is pressed.
pub(super) struct Press {
    pub route: RouteId,
    /// What the route is to fire.
    pub wanted: Vec<Coil>,
    /// Coils with voltage, each with the links that it came by.
    pub fired: BTreeMap<Coil, Vec<PartId>>,
}

/// One for each route that is wired.
pub(super) fn presses(view: &View) -> Vec<Press> {
    let press = |plan: &crate::drives::RoutePlan| {
        let route = plan.route;
        let button = view.circuit.find(|k| k == PartKind::RouteButton { route })?;
        Some(Press { route, wanted: plan.bars.clone(), fired: fired(view, button) })
    };
    view.plan.routes.iter().filter_map(press).collect()
}

impl Press {
    /// "T1 reverse, T2 normal"
    pub fn words(&self, view: &View) -> String {
        let words = |(bar, p): &Coil| format!("{} {}", view.document[*bar].name, p.word());
        self.wanted.iter().map(words).collect::<Vec<_>>().join(", ")
    }
}

fn fired(view: &View, button: PartId) -> BTreeMap<Coil, Vec<PartId>> {
    let circuit = view.circuit;
    let ways = ways(view, button);
    let mut fired = BTreeMap::new();
    for (part, spec) in circuit.parts() {
        let PartKind::Drive { bar, pattern: DriveSymbol::TwinCoil } = spec.kind else { continue };
        for (position, pin) in Position::ALL.into_iter().zip(["N", "R"]) {
            let net = circuit.pin_of(part, pin).and_then(|p| circuit.pin(p).net);
            if let Some(way) = net.and_then(|n| ways.get(&n)) {
                fired.insert((bar, position), way.clone());
            }
        }
    }
    fired
}

/// The nets with voltage, each with the links that lead there from the button.
fn ways(view: &View, button: PartId) -> BTreeMap<NetId, Vec<PartId>> {
    let circuit = view.circuit;
    let start = circuit.pin_of(button, "2").and_then(|p| circuit.pin(p).net);
    let mut ways: BTreeMap<NetId, Vec<PartId>> = start.map(|n| (n, Vec::new())).into_iter().collect();
    let mut next: Vec<NetId> = start.into_iter().collect();
    while let Some(here) = next.pop() {
        for pin in &circuit[here].pins {
            let Some(there) = beyond(view, *pin).filter(|n| !ways.contains_key(n)) else { continue };
            let mut way = ways[&here].clone();
            way.push(pin.part);
            ways.insert(there, way);
            next.push(there);
        }
    }
    ways
}

/// The net that current enters which comes in by a pin of a link.
fn beyond(view: &View, pin: PinRef) -> Option<NetId> {
    let part = &view.circuit[pin.part];
    let passes = match part.kind {
        PartKind::Link { .. } => true,
        PartKind::Diode { .. } => part.pins[pin.pin].name == "A",
        _ => false,
    };
    let other = part.pins.iter().enumerate().find(|(i, _)| *i != pin.pin)?.1;
    if passes { other.net } else { None }
}
