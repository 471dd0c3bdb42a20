//! Against closed forms and named worked examples.

use super::*;
use crate::electrics::discharge::Discharge;
use crate::units::{Farads, Henries, Ohms, Seconds, Volts};

fn assert_near(actual: f64, expected: f64, relative: f64, what: &str) {
    let error = (actual - expected).abs();
    assert!(
        error <= relative * expected.abs(),
        "{what}: {actual}, not {expected} ({})",
        error / expected.abs()
    );
}

const FINE: Accuracy = Accuracy { relative: 1e-9, longest_step: 0.02 };

#[test]
fn series_discharges_agree_with_the_closed_form() {
    for (volts, ohms, henries, farads) in [
        (100.0, 560.0, 0.1, 0.1e-6),
        (24.0, 8.0, 5e-3, 2200e-6),
        (24.0, 4.5, 10e-3, 4700e-6),
        (25.0, 4.0, 5e-3, 10_000e-6),
        (24.0, 2.917, 10e-3, 4700e-6),
        (20.0, 6.0, 90e-3, 2200e-6),
    ] {
        let closed =
            Discharge::new(Volts::new(volts), Ohms::new(ohms), Henries::new(henries), Farads::new(farads))
                .unwrap();
        let mut network = Network::new();
        let plus = network.node("plus");
        network.capacitor("C1", plus, GROUND, Farads::new(farads), Ohms::new(0.1 * ohms), Volts::new(volts));
        let coil = network.coil("M1", plus, GROUND, Ohms::new(0.9 * ohms), Henries::new(henries));
        let until = closed.peak().0 * 40.0 + Seconds::new(20.0 * ohms * farads);
        let transient = network.simulate_to(until, FINE).unwrap();
        let (at, peak) = transient.peak_current(coil);
        assert_near(peak.amps(), closed.peak().1.amps(), 1e-6, "peak");
        assert_near(at.seconds(), closed.peak().0.seconds(), 1e-5, "time of peak");
        assert_near(
            transient.joule_integral(coil).amps_squared_seconds(),
            closed.joule_integral().amps_squared_seconds(),
            1e-6,
            "Joule integral W/R",
        );
        for k in 1..20 {
            let t = closed.peak().0 * (0.3 * f64::from(k));
            let (ours, theirs) = (transient.current_at(coil, t).amps(), closed.current_at(t).amps());
            assert!(
                (ours - theirs).abs() < 1e-6 * peak.amps(),
                "at {t}: {ours}, not {theirs}; {} steps",
                transient.steps()
            );
        }
    }
}
