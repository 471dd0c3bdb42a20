//! Against closed forms, named worked examples, the laws, and itself.

mod closed_forms;
mod diodes;
mod errors;
mod laws;

use super::*;
use crate::units::{Amps, Farads, Henries, Ohms, Seconds, Volts};

/// Closer steps than usual, to compare with closed forms.
const FINE: Accuracy = Accuracy { relative: 1e-9, longest_step: 0.02 };

#[track_caller]
fn assert_near(actual: f64, expected: f64, relative: f64, what: &str) {
    let error = (actual - expected).abs();
    assert!(
        error <= relative * expected.abs(),
        "{what}: {actual}, not {expected} ({:e})",
        error / expected.abs()
    );
}

#[track_caller]
fn assert_within(actual: f64, expected: f64, most: f64, what: &str) {
    assert!((actual - expected).abs() <= most, "{what}: {actual}, not {expected} within {most}");
}

/// What is stored in coils and capacitors at a time.
fn stored(network: &Network, transient: &Transient, time: Seconds) -> f64 {
    let one = |(id, placed): (ElementId, &Placed)| match &placed.element {
        Element::Capacitor { capacitance, .. } => {
            0.5 * capacitance.farads() * transient.charge_at(id, time).volts().powi(2)
        }
        Element::Coil { inductance, .. } => {
            0.5 * inductance.henries() * transient.current_at(id, time).amps().powi(2)
        }
        _ => 0.0,
    };
    network.elements().map(one).sum()
}

/// What was stored before the start, by the elements' own values.
fn stored_before(network: &Network) -> f64 {
    let one = |(_, placed): (ElementId, &Placed)| match &placed.element {
        Element::Capacitor { capacitance, initial, .. } => {
            0.5 * capacitance.farads() * initial.volts().powi(2)
        }
        Element::Coil { inductance, .. } => 0.5 * inductance.henries() * placed.current.amps().powi(2),
        _ => 0.0,
    };
    network.elements().map(one).sum()
}

/// Energy that came from nowhere, as a share of what there was.
fn imbalance(network: &Network, transient: &Transient) -> f64 {
    let before = stored_before(network);
    let given: f64 = network.elements().map(|(id, _)| transient.energy_from(id).joules()).sum();
    let heat: f64 = network.elements().map(|(id, _)| transient.heat_in(id).joules()).sum();
    let after = stored(network, transient, transient.end());
    (heat + after - before - given) / (before + given.abs()).max(1e-12)
}
