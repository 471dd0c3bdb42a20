//! A wire carries more for good than wire of its size may.
//!
//! Bad: a track bus of 0.25 mm² behind a booster that cuts off at 5 A.
//!
//! Good: 1.0 mm² (6 A in a bundle).

use crate::check::currents;
use crate::check::words::wires;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::drives::WireClass;
use crate::electrics::conductor;
use crate::units::{Amps, WireSize};

pub const RULE: Rule = Rule {
    code: "wire-overloaded",
    title: "A wire carries more current than its size may.",
    why: "It grows warm among others under the board, where nobody sees it. For the track that is the current \
          at which the supply cuts off: a short through an engine may draw just less, for as long as it lasts.",
    mend: "Use wire of the size that the finding asks for.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let uses = currents::uses(view);
    let mut found: Vec<(WireClass, WireSize, Amps, Vec<String>)> = Vec::new();
    for wire in &view.wiring.wires {
        let current = if view.circuit.is_track_side(wire.net) {
            Some(view.document.track_power.trip)
        } else {
            currents::lasting(view, uses[wire.net.0], wire)
        };
        let Some(current) = current.filter(|c| *c > conductor::ampacity(wire.size)) else { continue };
        let number = wire.number.to_string();
        let same = |f: &&mut (WireClass, WireSize, Amps, Vec<String>)| {
            (f.0, f.1, f.2) == (wire.class, wire.size, current)
        };
        match found.iter_mut().find(same) {
            Some((_, _, _, numbers)) => numbers.push(number),
            None => found.push((wire.class, wire.size, current, vec![number])),
        }
    }
    found.into_iter().map(|(class, size, current, numbers)| report(class, size, current, &numbers)).collect()
}

fn report(class: WireClass, size: WireSize, current: Amps, numbers: &[String]) -> Diagnostic {
    let enough = conductor::usual_sizes().into_iter().find(|s| conductor::ampacity(*s) >= current);
    let help = match enough {
        Some(enough) => format!("use {} or more", enough.label()),
        None => "spread the current over several wires".to_owned(),
    };
    Diagnostic::error(
        RULE.code,
        format!(
            "{} ({}, {}): {current} where {} is the most",
            wires(numbers),
            class.word(),
            size.label(),
            conductor::ampacity(size)
        ),
    )
    .help(help)
}
