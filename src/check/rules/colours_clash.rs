//! Two sorts of wire have one colour, by the builder's own choice.
//!
//! Bad: `digital-a = "BN"` while the second conductor is brown as well: nobody can tell the two
//! feeds apart under the board.
//!
//! Good: colours that differ wherever wires of both sorts come to the same place. That NEM 605
//! itself uses red and brown twice is no matter: those wires are told apart by where they go.

use crate::check::{Rule, View};
use crate::circuit::Place;
use crate::diag::Diagnostic;
use crate::hardware::{End, Palette, colour_words, nem_605};
use crate::parse::{TrainControl, WireFunction, Word};
use std::collections::{BTreeMap, BTreeSet};

pub const RULE: Rule = Rule {
    code: "colours-clash",
    title: "Wires for different purposes have the same colour.",
    why: "Where both come to one board they cannot be told apart, and a wire on the wrong terminal may short the \
          feeds of the track or a supply. For the two feeds of the track it is an error.",
    mend: "Give one of the two another colour under [colours], or leave it out for that of NEM 605.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let palette = Palette::of(view.document);
    let rails = match *view.document.layout.control {
        TrainControl::Dcc => (WireFunction::DigitalA, WireFunction::DigitalB),
        TrainControl::Dc => (WireFunction::TractionPositive, WireFunction::TractionNegative),
    };
    let places: Vec<_> = places(view).into_iter().collect();
    let mut found = Vec::new();
    for (i, (one, at_one)) in places.iter().enumerate() {
        for (other, at_other) in &places[i + 1..] {
            let colour = palette.colour(*one);
            let as_recommended = [one, other].iter().all(|f| palette.colour(**f) == nem_605(**f));
            if colour != palette.colour(*other) || as_recommended || at_one.is_disjoint(at_other) {
                continue;
            }
            let both = format!("`{}` and `{}`", one.word(), other.word());
            let colour = colour_words(colour);
            let diagnostic = if (*one, *other) == rails {
                let message = format!("{both}, the two feeds of the track, are both {colour}");
                Diagnostic::error(RULE.code, message)
            } else {
                let message = format!("{both} are both {colour}, and their wires come to the same places");
                Diagnostic::warning(RULE.code, message)
            };
            let own = view.document.colours.iter().filter(|(f, _)| f == one || f == other);
            let diagnostic =
                own.fold(diagnostic, |d, (f, c)| d.label(c.span, format!("set for `{}`", f.word())));
            let defaults = [one, other].map(|f| format!("{} for `{}`", colour_words(nem_605(*f)), f.word()));
            found.push(diagnostic.help(format!("NEM 605 recommends {}", defaults.join(" and "))));
        }
    }
    found
}

/// Where wires of each sort end.
fn places(view: &View) -> BTreeMap<WireFunction, BTreeSet<Place>> {
    let dcc = *view.document.layout.control == TrainControl::Dcc;
    let mut places: BTreeMap<WireFunction, BTreeSet<Place>> = BTreeMap::new();
    for wire in &view.wiring.wires {
        let function = view.circuit[wire.net].kind.function(dcc);
        for end in [wire.from, wire.to] {
            let place = match end {
                End::Pin(pin) => view.circuit[pin.part].place,
                End::Terminal(at) => view.wiring.strips[at.strip.0].place,
            };
            places.entry(function).or_default().insert(place);
        }
    }
    places
}
