//! A net that joins fewer than two pins, or on which pins and net disagree.
//!
//! Bad: a net "S1 normal" with the switch on it and no drive.
//!
//! Good: every net joins two pins or more, and each of them knows it.

use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "net-with-one-pin",
    title: "A net does not join at least two pins.",
    why: "A wire with one end does nothing: something is missing from the circuit.",
    mend: "This is a mistake of the program, not of the layout; please report it with the layout file.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (id, net) in view.circuit.nets() {
        let stray = net.pins.iter().find(|p| view.circuit.pin(**p).net != Some(id));
        let message = match (net.pins.len(), stray) {
            (0, _) => format!("the net {} joins nothing", net.name),
            (1, _) => format!("the net {} has {} alone on it", net.name, view.circuit.pin_name(net.pins[0])),
            (_, Some(pin)) => {
                format!("{} is listed on {}, but not joined to it", view.circuit.pin_name(*pin), net.name)
            }
            (_, None) => continue,
        };
        let diagnostic = Diagnostic::error(RULE.code, message)
            .help("this is a mistake of the program, not of the layout; please report it");
        found.push(match net.pins.first().and_then(|p| view.part_span(p.part)) {
            Some(span) => diagnostic.label(span, "belongs to this"),
            None => diagnostic,
        });
    }
    found
}
