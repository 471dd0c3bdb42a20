//! `circuit.cir`: the worst discharge of each unit as a SPICE deck, with our own figures as comments, so
//! that anybody can run it and compare.

use std::fmt::Write;

use super::spice::{Deck, Measure};
use crate::Design;
use crate::drives::sizing::trigger_words;
use crate::firing::Unit;

/// The deck of the first discharge unit; `None` without one.
pub fn discharge_deck(design: &Design) -> Option<String> {
    let unit = design.firing.units.first()?;
    let worst = unit.worst();
    let title = format!(
        "{}: {} in the weakest corner",
        *design.document.layout.name,
        trigger_words(&design.document, worst.trigger)
    );
    let figures = figures(design, unit);
    let measures: Vec<(String, Measure)> = figures.iter().map(|(name, m, _)| (name.clone(), *m)).collect();
    let deck = Deck {
        title: &title,
        network: &unit.case.network,
        until: unit.case.until,
        step: unit.case.until * 1e-3,
        measures: &measures,
    };
    let text = deck.text();
    // The first line is the title, whatever it is; comments come after it.
    let (first, rest) = text.split_once('\n')?;
    let mut out = format!(
        "{first}\n* The pulse of one control as it is wired, every wire with its length and joints.\n"
    );
    out += "* By the program's own simulation, to be compared with what is measured below:\n";
    for (name, _, value) in &figures {
        let _ = writeln!(out, "*= {name} {value:.6e}");
    }
    Some(out + rest)
}

/// What is measured, with our own value.
fn figures(design: &Design, unit: &Unit) -> Vec<(String, Measure, f64)> {
    let shot = unit.worst();
    let mut figures = Vec::new();
    for (coil, (bar, position, id)) in shot.coils.iter().zip(&unit.case.coils) {
        let number = design.plan.of(*bar).map_or(bar.0, |b| b.number);
        let name = |what: &str| format!("{what}_m{number}_{}", position.word());
        figures.push((name("peak"), Measure::PeakCurrent(*id), coil.peak.amps()));
        figures.push((name("energy"), Measure::Heat(*id), coil.energy.joules()));
        if coil.above.seconds() > 0.0 {
            let above = Measure::TimeAbove(*id, coil.needs.current);
            figures.push((name("above"), above, coil.above.seconds()));
        }
    }
    figures
}
