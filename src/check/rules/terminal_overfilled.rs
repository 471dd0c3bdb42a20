//! Too many wires under one clamp.
//!
//! Bad: three wires in a terminal that has a clamp on each of its two sides, or three ends at one
//! screw of a switch.
//!
//! Good: one wire on each side of a terminal, jumpers in the row made for them, and no more than two
//! ends at the pin of a part.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::circuit::{PartKind, PinRef};
use crate::diag::Diagnostic;
use crate::hardware::{StripId, TerminalRef};

/// One conductor on each side of a terminal (common practice, no source).
const AT_TERMINAL: usize = 2;
/// Two ends at a screw or solder tag (common practice, no source).
const AT_PIN: usize = 2;

pub const RULE: Rule = Rule {
    code: "terminal-overfilled",
    title: "More wires meet at a clamp than it holds.",
    why: "The third wire under a screw works loose, and nobody can take one off without the others.",
    mend: "Spread the wires over more terminals and join these by jumpers.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (s, strip) in view.wiring.strips.iter().enumerate() {
        for index in 0..strip.terminals.len() {
            let at = TerminalRef { strip: StripId(s), index };
            let wires: Vec<String> = view.wiring.at_terminal(at).map(|w| w.number.to_string()).collect();
            if wires.len() > AT_TERMINAL {
                found.push(report(&view.wiring.terminal_name(at), &wires));
            }
        }
    }
    for (part, spec) in view.circuit.parts() {
        // Wires tap a bus anywhere along it, and rails are soldered to.
        if matches!(spec.kind, PartKind::Bus | PartKind::Rail { .. }) {
            continue;
        }
        for pin in (0..spec.pins.len()).map(|pin| PinRef { part, pin }) {
            let wires: Vec<String> = view.wiring.at_pin(pin).map(|w| w.number.to_string()).collect();
            if wires.len() > AT_PIN {
                let diagnostic = report(&view.circuit.pin_name(pin), &wires);
                found.push(match view.part_span(part) {
                    Some(span) => diagnostic.label(span, "too many wires meet here"),
                    None => diagnostic,
                });
            }
        }
    }
    found
}

fn report(place: &str, wires: &[String]) -> Diagnostic {
    Diagnostic::warning(RULE.code, format!("{} wires meet at {place}: {}", wires.len(), list(wires)))
        .help("lead some of them to a terminal beside it, joined by a jumper")
}
