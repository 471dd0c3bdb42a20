//! A fuse lets more pass than the wires behind it may carry.
//!
//! Bad: a fuse of 5 A, and behind it leads of 0.14 mm² to the servos. A bruised lead glows, and the
//! fuse holds.
//!
//! Good: the fuse's rating is no higher than what the thinnest wire behind it may carry.
//!
//! Only wires between which and the fuse nothing limits the current count: not those behind a
//! resistor, a coil or an electronic output.

use crate::check::words::wires;
use crate::check::{Rule, View};
use crate::circuit::{NetId, Part, PartId, PartKind};
use crate::diag::Diagnostic;
use crate::drives::sizing::{Branch, Protection};
use crate::electrics::conductor;
use crate::proof::sides;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    code: "fuse-above-wire",
    title: "A fuse is rated higher than the wires behind it.",
    why: "A short at the far end of a thin wire heats the wire, not the fuse.",
    mend: "Use a smaller fuse if the load allows, or thicker wire; or a fuse of its own for the thin wires.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (id, part) in view.circuit.parts().filter(|(_, p)| p.kind == PartKind::Fuse) {
        let Some(branch) = branch(view, id) else { continue };
        let Protection::Fuse { rating, .. } = branch.protection else { continue };
        let behind = behind(view, id);
        let owned = branch.belongs_to.and_then(|kind| view.plan.use_of(kind)?.supply.owned);
        let mut thin: BTreeMap<_, Vec<String>> = BTreeMap::new();
        for wire in view.wiring.wires.iter().filter(|w| behind[w.net.0]) {
            if conductor::ampacity(wire.size) < rating {
                thin.entry((wire.class, wire.size.label())).or_default().push(wire.number.to_string());
            }
        }
        for ((class, size), numbers) in thin {
            let diagnostic = Diagnostic::warning(
                RULE.code,
                format!(
                    "{} ({}) does not protect {} ({}, {size})",
                    part.designation,
                    part.value,
                    wires(&numbers),
                    class.word()
                ),
            )
            .help("use thicker wire there, or give these wires a smaller fuse of their own");
            found.push(match owned {
                Some(id) => diagnostic.label(view.document[id].span, "this supply lies before the fuse"),
                None => diagnostic,
            });
        }
    }
    found
}

/// The branch that a fuse protects: that of the supply before it. The circuit has one supply for each
/// branch that drives make, in the same order.
fn branch<'a>(view: &View<'a>, fuse: PartId) -> Option<&'a Branch> {
    let circuit = view.circuit;
    let before = circuit.pin_of(fuse, "1").and_then(|p| circuit.pin(p).net)?;
    let mut supplies = circuit.parts().filter(|(_, p)| p.kind == PartKind::PlugInSupply);
    let nth = supplies.position(|(_, p)| p.pins.iter().any(|pin| pin.net == Some(before)))?;
    view.sizing.branches.iter().filter(|b| b.belongs_to.is_some()).nth(nth)
}

/// Nets that a fuse feeds without anything that limits the current, and the way back to its supply.
fn behind(view: &View, fuse: PartId) -> Vec<bool> {
    let circuit = view.circuit;
    let mut behind = vec![false; circuit.nets.len()];
    let net = |pin: &str| circuit.pin_of(fuse, pin).and_then(|p| circuit.pin(p).net);
    let mut queue: Vec<NetId> = net("2").into_iter().collect();
    let fused = |n: NetId| {
        circuit[n].pins.iter().any(|p| circuit[p.part].kind == PartKind::Fuse && circuit.pin(*p).name == "1")
    };
    for (_, supply) in circuit.parts().filter(|(_, p)| p.kind == PartKind::PlugInSupply) {
        let poles = || supply.pins.iter().filter_map(|p| p.net);
        if poles().any(|n| Some(n) == net("1")) {
            queue.extend(poles().filter(|n| !fused(*n)));
        }
    }
    while let Some(here) = queue.pop() {
        if std::mem::replace(&mut behind[here.0], true) {
            continue;
        }
        for pin in &circuit[here].pins {
            let part = &circuit[pin.part];
            let next = (0..part.pins.len()).filter(|other| passes(part, pin.pin, *other));
            queue.extend(next.filter_map(|other| part.pins[other].net));
        }
    }
    behind
}

/// Whether the full current of a short passes between two pins inside a part.
fn passes(part: &Part, a: usize, b: usize) -> bool {
    match part.kind {
        PartKind::Rectifier
        | PartKind::Bus
        | PartKind::RouteButton { .. }
        | PartKind::Diode { .. }
        | PartKind::Link { .. } => true,
        PartKind::Control { .. } => {
            let group = sides::group(part, a);
            group.is_some() && group == sides::group(part, b)
        }
        // A servo's + and 0 V are wired straight through.
        PartKind::ServoController { .. } => {
            let sign = |pin: usize| part.pins[pin].name.chars().next().filter(|c| matches!(c, '+' | '−'));
            sign(a).is_some() && sign(a) == sign(b)
        }
        _ => false,
    }
}
