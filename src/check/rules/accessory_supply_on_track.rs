//! A drive, relay, controller or decoder takes its power from the track.
//!
//! Bad: an accessory decoder powered from the rails. A train that runs into an open turnout shorts
//! the track, the decoder is without power, and the turnout cannot be thrown to free the train.
//!
//! Good: power from the accessory supply, commands from the booster's accessory output.

use crate::check::words::list;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;
use crate::proof::sides;

pub const RULE: Rule = Rule {
    code: "accessory-supply-on-track",
    title: "Something that throws turnouts takes its power from the track.",
    why: "A train that runs against a turnout shorts the track; without track power the turnout that would \
          free it cannot be thrown. Pulses of coils also disturb the trains' signal.",
    mend: "Power it from the accessory supply.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let reach = sides::of_track(view.circuit);
    // Joined sides are reported as that.
    if sides::joined(view.circuit).is_some() {
        return Vec::new();
    }
    let mut found = Vec::new();
    for (part, pins) in by_part(view) {
        let fed: Vec<_> =
            pins.into_iter().filter(|p| view.circuit.pin(*p).net.is_some_and(|n| reach.has(n))).collect();
        if fed.is_empty() {
            continue;
        }
        let names = list(fed.iter().map(|p| view.circuit.pin_name(*p)));
        let message = format!("{} takes power from the track, at {names}", view.circuit[part].designation);
        let diagnostic = Diagnostic::error(RULE.code, message)
            .help("join these pins to the accessory supply instead of the track bus");
        found.push(match view.part_span(part) {
            Some(span) => diagnostic.label(span, "powered from the track"),
            None => diagnostic,
        });
    }
    found
}

fn by_part(view: &View) -> std::collections::BTreeMap<crate::circuit::PartId, Vec<crate::circuit::PinRef>> {
    let mut parts = std::collections::BTreeMap::<_, Vec<_>>::new();
    for (part, pin) in sides::takes_power(view.circuit) {
        parts.entry(part).or_default().push(pin);
    }
    parts
}
