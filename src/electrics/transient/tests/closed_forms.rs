//! Worked examples of series RLC circuits and of charging through a resistor.

use super::*;
use crate::electrics::discharge::Discharge;

/// A series circuit: capacitor, coil with all the resistance, and a source that steps up at the start.
struct Series {
    volts: f64,
    amps: f64,
    step: f64,
    ohms: f64,
    henries: f64,
    farads: f64,
}

impl Series {
    /// Current (out of the capacitor's first end) and charge voltage must be as the functions say, to one
    /// in a million of their peaks.
    #[track_caller]
    fn follows(&self, until: f64, current: impl Fn(f64) -> f64, voltage: impl Fn(f64) -> f64, what: &str) {
        let mut network = Network::new();
        let [a, b] = ["a", "b"].map(|name| network.node(name));
        let capacitor =
            network.capacitor("C1", a, b, Farads::new(self.farads), Ohms::new(0.0), Volts::new(self.volts));
        network.source("V1", GROUND, b, Wave::Dc(Volts::new(self.step)), Ohms::new(0.0));
        let coil = network.coil("L1", a, GROUND, Ohms::new(self.ohms), Henries::new(self.henries));
        network.carry(coil, Amps::new(self.amps));
        let transient = network.simulate_to(Seconds::new(until), FINE).unwrap();
        let largest_current = transient.peak_current(coil).1.amps();
        let largest_voltage = transient.peak_charge(capacitor).1.volts();
        for n in 0..=200 {
            let t = until * f64::from(n) / 200.0;
            let at = Seconds::new(t);
            assert_within(transient.current_at(coil, at).amps(), current(t), 1e-6 * largest_current, what);
            let charge = transient.charge_at(capacitor, at).volts();
            assert_within(charge, voltage(t), 1e-6 * largest_voltage, what);
        }
    }
}

#[test]
fn nilsson_and_riedel_natural_response() {
    // Nilsson & Riedel, Electric Circuits, example 8.11 (numbers from memory, recomputed).
    let (alpha, omega) = (2800.0_f64, 9600.0_f64);
    Series { volts: 100.0, amps: 0.0, step: 0.0, ohms: 560.0, henries: 0.1, farads: 1e-7 }.follows(
        2e-3,
        |t| 100.0 / 960.0 * (-alpha * t).exp() * (omega * t).sin(),
        |t| (-alpha * t).exp() * (100.0 * (omega * t).cos() + 100.0 * 7.0 / 24.0 * (omega * t).sin()),
        "example 8.11",
    );
}

#[test]
fn nilsson_and_riedel_step_response() {
    // Example 8.12: 48 V on 280 Ω, 100 mH, 0.4 µF: v = 48 − e^(−1400t)·(48·cos 4800t + 14·sin 4800t) V.
    let decay = |t: f64| (-1400.0 * t).exp();
    Series { volts: 0.0, amps: 0.0, step: 48.0, ohms: 280.0, henries: 0.1, farads: 0.4e-6 }.follows(
        4e-3,
        |t| -0.1 * decay(t) * (4800.0 * t).sin(),
        |t| 48.0 - decay(t) * (48.0 * (4800.0 * t).cos() + 14.0 * (4800.0 * t).sin()),
        "example 8.12",
    );
}

#[test]
fn alexander_and_sadiku() {
    // Fundamentals of Electric Circuits, example 8.3: roots −0.1010 and −9.899 (from memory); 1 V chosen.
    let beta = 24.0_f64.sqrt();
    let (slow, fast) = (-5.0 + beta, -5.0 - beta);
    assert_near(slow, -0.1010, 1e-3, "slow root");
    assert_near(fast, -9.899, 1e-3, "fast root");
    let factor = 1.0 / (2.0 * beta * 4.0);
    Series { volts: 1.0, amps: 0.0, step: 0.0, ohms: 40.0, henries: 4.0, farads: 0.25 }.follows(
        30.0,
        |t| factor * ((slow * t).exp() - (fast * t).exp()),
        |t| (slow * (fast * t).exp() - fast * (slow * t).exp()) / (slow - fast),
        "example 8.3",
    );
    // Example 8.4: 6 V and 1 A at the start: i = e^(−9t)·(cos 4.359t + 0.6882·sin 4.359t) A.
    let omega = 19.0_f64.sqrt();
    let current = |t: f64| (-9.0 * t).exp() * ((omega * t).cos() + 3.0 / omega * (omega * t).sin());
    let slope = |t: f64| {
        (-9.0 * t).exp() * (-6.0 * (omega * t).cos() - (9.0 * 3.0 / omega + omega) * (omega * t).sin())
    };
    assert_near(3.0 / omega, 0.6882, 1e-4, "the book's factor");
    Series { volts: 6.0, amps: 1.0, step: 0.0, ohms: 9.0, henries: 0.5, farads: 0.02 }.follows(
        0.8,
        current,
        |t| 9.0 * current(t) + 0.5 * slope(t),
        "example 8.4",
    );
}

#[test]
fn trench_and_posed_problems() {
    // Trench, Elementary Differential Equations, section 6.3: 1 C and 2 A at the start; q as printed there.
    let charge = |t: f64| (-100.0 * t).exp() * ((200.0 * t).cos() + 0.51 * (200.0 * t).sin());
    let current = |t: f64| (-100.0 * t).exp() * (2.0 * (200.0 * t).cos() - 251.0 * (200.0 * t).sin());
    Series { volts: 1e4, amps: -2.0, step: 0.0, ohms: 40.0, henries: 0.2, farads: 1e-4 }.follows(
        0.05,
        |t| -current(t),
        |t| charge(t) / 1e-4,
        "Trench 6.3",
    );
    // hwmadeeasy.com: L 2, R 4, 1/C 2 (critical) and L 2, R 6, 1/C 4, both with 1 C at the start.
    Series { volts: 2.0, amps: 0.0, step: 0.0, ohms: 4.0, henries: 2.0, farads: 0.5 }.follows(
        8.0,
        |t| t * (-t).exp(),
        |t| 2.0 * (1.0 + t) * (-t).exp(),
        "critical",
    );
    Series { volts: 4.0, amps: 0.0, step: 0.0, ohms: 6.0, henries: 2.0, farads: 0.25 }.follows(
        8.0,
        |t| 2.0 * ((-t).exp() - (-2.0 * t).exp()),
        |t| 4.0 * (2.0 * (-t).exp() - (-2.0 * t).exp()),
        "over-damped",
    );
}

#[test]
fn wikibooks_step() {
    // en.wikibooks.org, Electronics, RCL time domain: 1 kΩ, 0.5 H, 100 nF, 1 V: α 1000, ωd 4358.9.
    let (alpha, omega) = (1000.0_f64, (2e7_f64 - 1e6).sqrt());
    assert_near(omega, 4358.9, 1e-4, "ωd");
    Series { volts: 0.0, amps: 0.0, step: 1.0, ohms: 1000.0, henries: 0.5, farads: 1e-7 }.follows(
        6e-3,
        |t| -(-alpha * t).exp() * (omega * t).sin() / (omega * 0.5),
        |t| 1.0 - (-alpha * t).exp() * ((omega * t).cos() + alpha / omega * (omega * t).sin()),
        "Wikibooks",
    );
}

#[test]
fn series_discharges_agree_with_the_closed_form() {
    // The table of banks and the latching solenoid (itecnotes.com); peaks by the closed form.
    for (volts, ohms, henries, farads) in [
        (100.0, 560.0, 0.1, 0.1e-6),
        (24.0, 8.0, 5e-3, 2200e-6),
        (24.0, 4.5, 10e-3, 4700e-6),
        (25.0, 4.0, 5e-3, 10_000e-6),
        (24.0, 2.917, 10e-3, 4700e-6),
        (20.0, 6.0, 90e-3, 2200e-6),
        (12.0, 6.0, 90e-3, 4700e-6),
    ] {
        let closed =
            Discharge::new(Volts::new(volts), Ohms::new(ohms), Henries::new(henries), Farads::new(farads))
                .unwrap();
        let mut network = Network::new();
        let plus = network.node("plus");
        network.capacitor("C1", plus, GROUND, Farads::new(farads), Ohms::new(0.1 * ohms), Volts::new(volts));
        let coil = network.coil("M1", plus, GROUND, Ohms::new(0.9 * ohms), Henries::new(henries));
        let until = closed.peak().0 * 40.0 + Seconds::new(20.0 * ohms * farads);
        for (accuracy, allowed) in [(FINE, 1e-6), (Accuracy::default(), 2e-5)] {
            let transient = network.simulate_to(until, accuracy).unwrap();
            let (at, peak) = transient.peak_current(coil);
            assert_near(peak.amps(), closed.peak().1.amps(), allowed, "peak");
            // The peak is flat: its time is less exact than its height.
            assert_near(at.seconds(), closed.peak().0.seconds(), 20.0 * allowed, "time of peak");
            assert_near(
                transient.joule_integral(coil).amps_squared_seconds(),
                closed.joule_integral().amps_squared_seconds(),
                allowed,
                "Joule integral W/R",
            );
            for k in 1..20 {
                let t = closed.peak().0 * (0.3 * f64::from(k));
                let (ours, theirs) = (transient.current_at(coil, t).amps(), closed.current_at(t).amps());
                assert_within(ours, theirs, allowed * peak.amps(), "current");
            }
            let threshold = closed.peak().1 * 0.5;
            let (ours, theirs) = (transient.time_above(coil, threshold), closed.time_above(threshold));
            assert_near(ours.seconds(), theirs.seconds(), 3.0 * allowed, "time above half the peak");
        }
    }
}

#[test]
fn charging_through_a_resistor() {
    // Textbook: 63.212 % after RC, 90 % after 2.3026, 95 % after 2.9957, 99 % after 4.6052. 2200 µF through
    // 220 Ω to 90 % takes 1.1145 s (angelfire.com/ab6/userper/cap_dis.htm: "about a second").
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    network.source("V1", a, GROUND, Wave::Dc(Volts::new(24.0)), Ohms::new(20.0));
    network.resistor("R1", a, b, Ohms::new(190.0));
    let bank = network.capacitor("C1", b, GROUND, Farads::new(2200e-6), Ohms::new(10.0), Volts::new(0.0));
    let transient = network.simulate_to(Seconds::new(4.0), FINE).unwrap();
    for (share, constants) in
        [(1.0 - (-1.0_f64).exp(), 1.0), (0.9, 10.0_f64.ln()), (0.95, 20.0_f64.ln()), (0.99, 100.0_f64.ln())]
    {
        let time = transient.charged_to(bank, Volts::new(24.0 * share)).unwrap();
        assert_near(time.seconds(), constants * 0.484, 1e-6, "time to charge");
    }
    assert_near(
        transient.charged_to(bank, Volts::new(21.6)).unwrap().seconds(),
        1.1145,
        1e-4,
        "page of the firing bank",
    );
    assert_eq!(transient.charged_to(bank, Volts::new(24.0)), None);
    assert_eq!(transient.charged_to(bank, Volts::new(-1.0)), Some(Seconds::new(0.0)));
}

#[test]
fn direct_current_comes_to_rest_by_kirchhoff() {
    // 24 V and 1 Ω on two coils of 5 and 20 Ω in parallel: 4 Ω, 4.8 A, 19.2 V (Ohm's law).
    let mut network = Network::new();
    let a = network.node("a");
    let source = network.source("V1", a, GROUND, Wave::Dc(Volts::new(24.0)), Ohms::new(1.0));
    let [one, two] = [("M1", 5.0), ("M2", 20.0)]
        .map(|(name, r)| network.coil(name, a, GROUND, Ohms::new(r), Henries::new(0.01)));
    let bank = network.capacitor("C1", a, GROUND, Farads::new(1e-3), Ohms::new(0.1), Volts::new(0.0));
    let steady = network.steady().unwrap();
    assert_near(steady.voltage(a).volts(), 19.2, 1e-9, "voltage");
    assert_near(steady.current(one).amps(), 3.84, 1e-9, "first coil");
    assert_near(steady.current(two).amps(), 0.96, 1e-9, "second coil");
    assert_near(steady.current(source).amps(), -4.8, 1e-9, "source");
    assert_within(steady.current(bank).amps(), 0.0, 1e-9, "bank");
    let transient = network.simulate(Seconds::new(1.0)).unwrap();
    assert_near(transient.voltage_at(a, Seconds::new(1.0)).volts(), 19.2, 1e-6, "after a while");
}
