//! What firing the discharge unit in simulation showed, as a part of `sizing.json`: the margin of every
//! motor, where energy is lost, and what would help.

use super::rounded;
use crate::Design;
use crate::drives::sizing::{Fired, trigger_words};
use crate::firing::{Least, MARGIN, Unit};
use serde::Serialize;

#[derive(Serialize)]
pub struct MarginView {
    bar: String,
    drive: String,
    /// "S1 to normal"
    worst_control: String,
    together: usize,
    energy_j: f64,
    energy_needed_j: f64,
    current_a: f64,
    current_needed_a: f64,
    time_s: f64,
    time_needed_s: f64,
    margin: f64,
    least: &'static str,
    enough: bool,
}

#[derive(Serialize)]
pub struct LossView {
    place: String,
    energy_j: f64,
    share: f64,
}

#[derive(Serialize)]
pub struct RemedyView {
    change: String,
    margin: f64,
}

/// Empty without a discharge unit, as are the others.
pub fn margins(design: &Design) -> Vec<MarginView> {
    let least = design.firing.units.iter().flat_map(Unit::least_of_each_bar);
    least.map(|l| margin(design, l)).collect()
}

fn margin(design: &Design, Least { shot, coil }: Least) -> MarginView {
    MarginView {
        bar: design.document[coil.bar].name.clone(),
        drive: design.circuit.drive_name(coil.bar).to_owned(),
        worst_control: trigger_words(&design.document, shot.trigger),
        together: shot.coils.len(),
        energy_j: rounded(coil.energy.joules()),
        energy_needed_j: rounded(coil.needs.energy.joules()),
        current_a: rounded(coil.peak.amps()),
        current_needed_a: rounded(coil.needs.current.amps()),
        time_s: rounded(coil.above.seconds()),
        time_needed_s: rounded(coil.needs.time.seconds()),
        margin: rounded(coil.margin()),
        least: coil.least(),
        enough: coil.margin() >= MARGIN,
    }
}

/// Of the shot with the lowest margin.
pub fn losses(design: &Design) -> Vec<LossView> {
    let losses = design.firing.units.iter().flat_map(|unit| &unit.worst().losses);
    losses
        .map(|l| LossView {
            place: l.place.clone(),
            energy_j: rounded(l.energy.joules()),
            share: rounded(l.share),
        })
        .collect()
}

pub fn remedies(design: &Design) -> Vec<RemedyView> {
    let remedies = fired(design).into_iter().flat_map(|f| &f.remedies);
    remedies.map(|r| RemedyView { change: r.words.clone(), margin: rounded(r.margin) }).collect()
}

fn fired(design: &Design) -> Option<&Fired> {
    design.sizing.fired()
}
