//! The track and accessory circuits are joined somewhere.
//!
//! Bad: a frog fed from the lines of its solenoid, or a common return screwed to the track bus.
//!
//! Good: the two sides meet nowhere but at the blades, in the mechanics.

use crate::check::{Rule, View};
use crate::circuit::{NetId, PinRef};
use crate::diag::Diagnostic;
use crate::proof::sides::{self, Way};

pub const RULE: Rule = Rule {
    code: "sides-joined",
    title: "The accessory supply and the track are joined.",
    why: "A fault on one side then reaches the other: pulses from the discharge unit into boosters and \
          decoders in the engines, or the track's current through thin panel wires.",
    mend: "Take off the wire that the finding names; frogs are fed from the track's buses alone.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let Some(way) = sides::joined(view.circuit) else { return Vec::new() };
    let mut words = view.circuit[way.nets[0]].name.clone();
    for (net, (entry, exit)) in way.nets[1..].iter().zip(&way.through) {
        let (entry, exit) = (view.circuit.pin_name(*entry), view.circuit.pin_name(*exit));
        words += &format!(" – {entry} – {exit} – {}", view.circuit[*net].name);
    }
    let supply = view.circuit.pin_name(way.supply);
    let message = format!("the track and the accessory supply are joined: {words} – {supply}");
    let mut diagnostic = Diagnostic::error(RULE.code, message);
    let parts = way.through.iter().map(|(entry, _)| entry.part).chain([way.supply.part]);
    for part in parts {
        if let Some(span) = view.part_span(part) {
            diagnostic = diagnostic.label(span, "on the way");
        }
    }
    let odd = first_of_the_other_side(view, &way);
    let (wires, pin) = (view.wires_at(odd), view.circuit.pin_name(odd));
    vec![
        diagnostic.help(format!("take {wires} off {pin}, or find where else on this way the two sides meet")),
    ]
}

/// The pin on the way where a part of the one side is joined to a net of the other.
fn first_of_the_other_side(view: &View, way: &Way) -> PinRef {
    let accessory = |net: &NetId| !view.circuit.is_track_side(*net);
    let Some(at) = way.nets.iter().skip(1).position(accessory) else { return way.supply };
    let (entry, exit) = way.through[at];
    // A frog's contact belongs to the track, everything else to the accessory side.
    let contact =
        view.circuit.pin(exit).is_contact() && view.circuit.contacts.iter().any(|c| c.part == exit.part);
    if contact { exit } else { entry }
}
