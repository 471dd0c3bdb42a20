//! Wording that the tables share: places, colours, what a wire is for.

use crate::Design;
use crate::circuit::{NetId, NetKind, PartKind, PinRef, Place};
use crate::drives::{Feeds, fed};
use crate::hardware::{End, TerminalRef, Wire};
use crate::parse::{BarId, Document, TrainControl};

/// "panel", "board 1 quarry"
pub fn place_words(document: &Document, place: Place) -> String {
    match place {
        Place::Panel => "panel".to_owned(),
        Place::Board(board) => format!("board {} {}", board.0 + 1, *document[board].name),
    }
}

/// What a wire ends on, as [`crate::hardware::Wiring::end_words`] has it.
pub(super) fn end_words(design: &Design, end: End) -> String {
    design.wiring.end_words(&design.circuit, end)
}

/// "T1", "T1 and T2", "T1, T2 and T3"
fn and_list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// What a wire is for.
pub(super) fn wire_purpose(design: &Design, wire: &Wire) -> String {
    let pins = [wire.from, wire.to].into_iter().filter_map(|end| match end {
        End::Pin(pin) => Some(pin),
        End::Terminal(_) => None,
    });
    let mut pins: Vec<PinRef> = pins.collect();
    if matches!(design.circuit[wire.net].kind, NetKind::Track(_)) {
        // Between a frog contact's terminal and the bus: the contact is one wire further on.
        for end in [wire.from, wire.to] {
            if let End::Terminal(terminal) = end {
                pins.extend(pins_beyond(design, terminal));
            }
        }
    }
    purpose(design, wire.net, &pins)
}

/// What a terminal is for.
pub(super) fn terminal_purpose(design: &Design, at: TerminalRef) -> String {
    purpose(design, design.wiring.terminal(at).net, &pins_beyond(design, at))
}

/// Pins at the other ends of a terminal's wires.
fn pins_beyond(design: &Design, at: TerminalRef) -> Vec<PinRef> {
    let ends = design.wiring.at_terminal(at).flat_map(|w| [w.from, w.to]);
    ends.filter_map(|end| match end {
        End::Pin(pin) => Some(pin),
        End::Terminal(_) => None,
    })
    .collect()
}

/// What a conductor of a net is for, with the turnouts that `pins` belong to, or all of the net's
/// if they belong to none.
fn purpose(design: &Design, net: NetId, pins: &[PinRef]) -> String {
    let circuit = &design.circuit;
    let near = turnouts(design, pins);
    let of = |what: &str, turnouts: &[String]| match and_list(turnouts) {
        names if names.is_empty() => what.to_owned(),
        names => format!("{what} of {names}"),
    };
    let all = || {
        let pins = &circuit[net].pins;
        let candidates = [near.clone(), turnouts(design, pins), thrown(design, pins)];
        candidates.into_iter().find(|names| !names.is_empty()).unwrap_or_default()
    };
    match circuit[net].kind {
        NetKind::AcSupply => "AC supply".to_owned(),
        NetKind::SupplyPositive => "supply, positive".to_owned(),
        NetKind::CommonPositive => "positive for the controls".to_owned(),
        NetKind::CommonNegative => "negative for the controls".to_owned(),
        NetKind::Return => of("common return", &near),
        NetKind::Command(position) => format!("{} to {}", and_list(&all()), position.word()),
        NetKind::Route(route) => format!("route {}", *design.document[route].name),
        NetKind::MotorLine => of("motor line", &all()),
        NetKind::Input => of("servo input", &all()),
        NetKind::Signal => of("servo pulses", &all()),
        NetKind::ServoPositive => of("servo supply, positive", &near),
        NetKind::ServoReturn => of("servo supply, 0 V", &near),
        NetKind::Data(feed) => format!("accessory data {}", feed.letter().to_lowercase()),
        NetKind::Frog(changeover) => {
            let words = fed(&design.document, &design.rails, &design.plan.changeover(changeover).feeds);
            // "T2 left frog and T2 centre frog"
            words.strip_prefix("the ").unwrap_or(&words).replace(" and the ", " and ")
        }
        NetKind::Cab(number, feed) => {
            let source = match *design.document.layout.control {
                TrainControl::Dcc => "booster".to_owned(),
                TrainControl::Dc => format!("cab {}", number + 1),
            };
            format!("{source}, feed {}", feed.letter())
        }
        NetKind::Track(pole) => {
            let feed = design.rails.pole_words(pole);
            let rail = pins.iter().any(|p| matches!(circuit[p.part].kind, PartKind::Rail { .. }));
            match (rail, and_list(&served(design, pins))) {
                (true, _) => format!("dropper, feed {feed}"),
                (false, names) if names.is_empty() => format!("track feed {feed}"),
                (false, names) => format!("feed {feed} for {names}"),
            }
        }
    }
}

/// What the contacts that the pins belong to feed: "the frog of T1", "the reversing section loop".
fn served(design: &Design, pins: &[PinRef]) -> Vec<String> {
    let mut found = Vec::new();
    for contact in &design.circuit.contacts {
        let own = [contact.common, contact.normal, contact.reverse];
        if !pins.iter().any(|p| p.part == contact.part && own.contains(&p.pin)) {
            continue;
        }
        let words = match &design.plan.changeover(contact.changeover).feeds {
            Feeds::Zone(pole) => format!("the reversing section {}", design.rails[pole.zone].name),
            frogs => fed(&design.document, &design.rails, frogs),
        };
        if !found.contains(&words) {
            found.push(words);
        }
    }
    found
}

/// Names of the turnouts, or their tie bars, whose drive, relay or microswitch has one of the pins.
fn turnouts(design: &Design, pins: &[PinRef]) -> Vec<String> {
    let mut found: Vec<BarId> = pins
        .iter()
        .filter_map(|p| match design.circuit[p.part].kind {
            PartKind::Drive { bar, .. } | PartKind::Microswitch { bar } | PartKind::Relay { bar, .. } => {
                Some(bar)
            }
            _ => None,
        })
        .collect();
    found.sort_unstable();
    found.dedup();
    found.iter().map(|bar| design.document[*bar].name.clone()).collect()
}

/// Names of the turnouts that the controls among the pins throw.
fn thrown(design: &Design, pins: &[PinRef]) -> Vec<String> {
    let controls = pins.iter().filter_map(|p| match design.circuit[p.part].kind {
        PartKind::Control { control, .. } | PartKind::Decoder { control } => Some(control),
        _ => None,
    });
    let throws = controls.flat_map(|c| design.document[c].throws.iter());
    throws.map(|t| design.document[t.value].name.clone()).collect()
}
