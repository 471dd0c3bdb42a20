//! A turnout, control or route is named as the book names other parts.
//!
//! Bad: a turnout named `M1`: the motors are M1, M2 …, and the label M1 is on a turnout.
//!
//! Good: T1, S1, or any name that is not a class letter of other parts and a number.

use crate::check::{Rule, View};
use crate::circuit::PartKind;
use crate::diag::Diagnostic;
use crate::source::At;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    code: "name-like-a-part",
    title: "A turnout, control or route is named as the book names parts of another sort.",
    why: "The book gives every part a letter for its class and a number. On a label or in a list, a turnout \
          named M1 is taken for a motor.",
    mend: "Name turnouts and controls otherwise: T and S are kept for them.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let letters = letters(view);
    let turnouts = view.document.turnouts.iter().map(|t| ("turnout", "T", &t.name));
    let controls = view.document.controls.iter().map(|c| ("control", "S", &c.name));
    let routes = view.document.routes.iter().map(|r| ("route", "route ", &r.name));
    let tell = |(what, better, name): (&str, &str, &At<String>)| {
        let (head, number) = split(name);
        let of = letters.get(head)?;
        // Letters alone are the name of a part only where the book has that very part.
        if number.is_empty() != of.numberless {
            return None;
        }
        let message = format!("{what} `{}` is named like {}", name.value, of.what);
        let number = if number.is_empty() { "1" } else { number };
        Some(
            Diagnostic::warning(RULE.code, message)
                .label(name.span, format!("the book has {}", of.example))
                .help(format!(
                    "give it another name, such as {better}{number}, here and wherever it is named"
                )),
        )
    };
    turnouts.chain(controls).chain(routes).filter_map(tell).collect()
}

/// What the book calls by some letters.
struct Named {
    /// "a motor"
    what: &'static str,
    /// The first one: "M1".
    example: String,
    /// Whether it is the only one and bears no number.
    numberless: bool,
}

/// The letters before the numbers of all parts and strips.
fn letters<'a>(view: &View<'a>) -> BTreeMap<&'a str, Named> {
    let parts = view.circuit.parts().filter_map(|(_, p)| Some((p.designation.as_str(), what(p.kind)?)));
    let strips = view.wiring.strips.iter().map(|s| (s.designation.as_str(), "a terminal strip"));
    let mut letters = BTreeMap::new();
    for (designation, what) in parts.chain(strips) {
        let (head, number) = split(designation);
        let named = || Named { what, example: designation.to_owned(), numberless: number.is_empty() };
        letters.entry(head).or_insert_with(named);
    }
    letters
}

/// `None` for what bears the builder's own names, and for switches, which are named as controls are.
fn what(kind: PartKind) -> Option<&'static str> {
    Some(match kind {
        PartKind::PlugInSupply | PartKind::TrackSupply => "a supply",
        PartKind::Fuse => "a fuse",
        PartKind::Rectifier => "a rectifier",
        PartKind::Resistor => "a resistor",
        PartKind::Capacitor => "a capacitor",
        PartKind::Drive { .. } => "a motor",
        PartKind::Microswitch { .. } => "a microswitch",
        PartKind::Relay { .. } => "a relay",
        PartKind::ServoController { .. } => "a servo controller",
        PartKind::ReverserModule { .. } => "a reverser module",
        PartKind::DistrictCutout { .. } => "a cut-out",
        PartKind::Bus => "a bus",
        PartKind::Diode { .. } => "a diode",
        PartKind::Link { .. } => "a wire link",
        PartKind::Control { .. }
        | PartKind::Decoder { .. }
        | PartKind::PolaritySwitch { .. }
        | PartKind::SectionSwitch { .. }
        | PartKind::Probe
        | PartKind::RouteButton { .. }
        | PartKind::Rail { .. } => return None,
    })
}

/// "M12" is "M" and "12".
fn split(name: &str) -> (&str, &str) {
    let head = name.trim_end_matches(|c: char| c.is_ascii_digit());
    (head, &name[head.len()..])
}
