//! Diodes, rectifiers and switches under current.

use std::f64::consts::PI;

use super::*;
use crate::electrics::charging::RectifiedCharge;

#[test]
fn an_under_damped_discharge_stops_at_the_diode() {
    // Textbook: behind a diode the current stops at π/ωd and leaves −V0·e^(−απ/ωd) on the capacitor.
    let (volts, ohms, henries, farads) = (24.0, 2.0, 20e-3, 1000e-6);
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    let bank = network.capacitor("C1", a, GROUND, Farads::new(farads), Ohms::new(0.2), Volts::new(volts));
    let diode = network.diode("V1", a, b, Volts::new(0.0), Ohms::new(0.1));
    let coil = network.coil("M1", b, GROUND, Ohms::new(ohms - 0.3), Henries::new(henries));
    let alpha = ohms / (2.0 * henries);
    let omega = (1.0 / (henries * farads) - alpha * alpha).sqrt();
    let transient = network.simulate_to(Seconds::new(0.1), FINE).unwrap();
    let left = -volts * (-alpha * PI / omega).exp();
    assert_near(transient.charge_at(bank, Seconds::new(0.05)).volts(), left, 1e-6, "left on the bank");
    let conducting = transient.time_above(coil, Amps::new(1e-5));
    assert_near(conducting.seconds(), PI / omega, 1e-4, "time of conduction");
    for n in 0..2000 {
        let t = Seconds::new(PI / omega * 1.0001 + 1e-5 * f64::from(n));
        assert_within(transient.current_at(diode, t).amps(), 0.0, 1e-6, "blocked");
    }
    assert_within(imbalance(&network, &transient), 0.0, 1e-6, "energy");
}

/// Source, switch, coil, and a diode across the coil.
fn freewheel(forward: f64, slope: f64, with_diode: bool) -> (Network, ElementId, Option<ElementId>) {
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    network.source("V1", a, GROUND, Wave::Dc(Volts::new(12.0)), Ohms::new(0.5));
    let changes = vec![Seconds::new(0.03)];
    network.add("S1", a, b, Element::Switch { closed: Ohms::new(0.1), starts_closed: true, changes });
    let coil = network.coil("M1", b, GROUND, Ohms::new(5.4), Henries::new(0.02));
    let diode = with_diode.then(|| network.diode("V2", GROUND, b, Volts::new(forward), Ohms::new(slope)));
    (network, coil, diode)
}

#[test]
fn a_freewheel_diode_takes_over_the_current() {
    // i rises to V/R with L/R, then decays towards −V_F/R with L/R of coil and diode (textbook).
    let (forward, slope) = (0.7, 0.1);
    let (network, coil, diode) = freewheel(forward, slope, true);
    let transient = network.simulate_to(Seconds::new(0.06), FINE).unwrap();
    let rise = |t: f64| 2.0 * (1.0 - (-t * 6.0 / 0.02).exp());
    let start = rise(0.03);
    let fall = |t: f64| (start + forward / 5.5) * (-t * 5.5 / 0.02).exp() - forward / 5.5;
    let ends = 0.02 / 5.5 * ((start + forward / 5.5) / (forward / 5.5)).ln();
    for n in 1..100 {
        let t = 0.0006 * f64::from(n);
        let expected = if t <= 0.03 { rise(t) } else { fall((t - 0.03).min(ends)) };
        assert_within(transient.current_at(coil, Seconds::new(t)).amps(), expected, 2e-6, "coil");
        if t > 0.03 {
            assert_within(
                transient.current_at(diode.unwrap(), Seconds::new(t)).amps(),
                expected,
                2e-6,
                "diode",
            );
        }
    }
    assert_near(
        transient.charge_through(diode.unwrap()).coulombs(),
        {
            // ∫ of the fall
            0.02 / 5.5 * start - forward / 5.5 * ends
        },
        1e-5,
        "charge through the diode",
    );
    assert_within(imbalance(&network, &transient), 0.0, 1e-6, "energy");
}

#[test]
fn without_a_diode_the_open_switch_takes_the_energy() {
    let (network, coil, _) = freewheel(0.7, 0.1, false);
    let transient = network.simulate_to(Seconds::new(0.06), FINE).unwrap();
    let current = 2.0 * (1.0 - (-0.03_f64 * 300.0).exp());
    let switch = network.elements().find(|(_, p)| p.name == "S1").unwrap().0;
    let closed =
        0.1 * 4.0 * (0.03 - 1.5 / 300.0 + 2.0 / 300.0 * (-9.0_f64).exp() - 0.5 / 300.0 * (-18.0_f64).exp());
    assert_near(
        transient.heat_in(switch).joules() - closed,
        0.5 * 0.02 * current * current,
        1e-4,
        "all that the coil had",
    );
    assert_within(transient.current_at(coil, Seconds::new(0.031)).amps(), 0.0, 1e-6, "cut off");
    assert_within(imbalance(&network, &transient), 0.0, 1e-5, "energy");
    assert!(transient.steps() < 800, "{}", transient.steps());
}

#[test]
fn two_coils_with_diodes_agree_with_plain_integration() {
    // Classical Runge–Kutta in tiny steps on the three equations written out by hand.
    let (c, esr, r, l) = (2200e-6, 0.3, [2.0, 6.0], [30e-3, 8e-3]);
    let (forward, slope) = (0.7, 0.05);
    let mut network = Network::new();
    let a = network.node("a");
    let bank = network.capacitor("C1", a, GROUND, Farads::new(c), Ohms::new(esr), Volts::new(24.0));
    let coils = [0, 1].map(|n| {
        let b = network.node(&format!("b{n}"));
        network.diode(format!("V{n}"), a, b, Volts::new(forward), Ohms::new(slope));
        network.coil(format!("M{n}"), b, GROUND, Ohms::new(r[n]), Henries::new(l[n]))
    });
    let transient = network.simulate(Seconds::new(0.1)).unwrap();

    let rate = |[v, i0, i1]: [f64; 3]| {
        let u = v - esr * (i0 + i1) - forward;
        let rise = |i: f64, n: usize| {
            let rise = (u - (r[n] + slope) * i) / l[n];
            if i <= 0.0 { rise.max(0.0) } else { rise }
        };
        [-(i0 + i1) / c, rise(i0, 0), rise(i1, 1)]
    };
    let (mut y, mut heat, mut peak) = ([24.0, 0.0, 0.0], [0.0; 2], [0.0_f64; 2]);
    let h = 0.1 / 400_000.0;
    for _ in 0..400_000 {
        let add = |y: [f64; 3], k: [f64; 3], h: f64| [0, 1, 2].map(|n| y[n] + h * k[n]);
        let k1 = rate(y);
        let k2 = rate(add(y, k1, h / 2.0));
        let k3 = rate(add(y, k2, h / 2.0));
        let k4 = rate(add(y, k3, h));
        let next = [0, 1, 2].map(|n| y[n] + h / 6.0 * (k1[n] + 2.0 * k2[n] + 2.0 * k3[n] + k4[n]));
        let next = [next[0], next[1].max(0.0), next[2].max(0.0)];
        for n in 0..2 {
            heat[n] += 0.5 * h * r[n] * (y[n + 1].powi(2) + next[n + 1].powi(2));
            peak[n] = peak[n].max(next[n + 1]);
        }
        y = next;
    }
    for n in 0..2 {
        assert_near(transient.peak_current(coils[n]).1.amps(), peak[n], 1e-5, "peak");
        assert_near(transient.heat_in(coils[n]).joules(), heat[n], 1e-5, "heat");
    }
    assert_near(transient.charge_at(bank, Seconds::new(0.1)).volts(), y[0], 1e-4, "left");
}

/// Anodes and cathodes of a bridge from two windings' ends to plus and ground.
fn bridge(network: &mut Network, ends: [Node; 2], plus: Node, minus: Node, forward: f64, slope: f64) {
    for (n, end) in ends.into_iter().enumerate() {
        let (forward, slope) = (Volts::new(forward), Ohms::new(slope));
        network.diode(format!("V{}", 2 * n + 1), end, plus, forward, slope);
        network.diode(format!("V{}", 2 * n + 2), minus, end, forward, slope);
    }
}

#[test]
fn half_wave_means() {
    // Boylestad & Nashelsky (from memory, recomputed): 20 V peak give a mean of 6.36 V with an ideal diode,
    // 6.14 V with 0.7 V by the book's shortcut 0.318·(Vm − V_T), which leaves the lost angle out (2 %).
    for (forward, book, error) in [(0.0, 6.36, 1e-3), (0.7, 6.14, 0.02)] {
        let mut network = Network::new();
        let [a, b] = ["a", "b"].map(|name| network.node(name));
        let wave = Wave::Sine { peak: Volts::new(20.0), period: Seconds::new(0.02) };
        network.source("V1", a, GROUND, wave, Ohms::new(0.0));
        network.diode("V2", a, b, Volts::new(forward), Ohms::new(0.0));
        let load = network.resistor("R1", b, GROUND, Ohms::new(1000.0));
        let transient = network.simulate(Seconds::new(0.1)).unwrap();
        let mean = transient.charge_through(load).coulombs() * 1000.0 / 0.1;
        let lost = (forward / 20.0_f64).asin();
        let exact = (2.0 * 20.0 * lost.cos() - forward * (PI - 2.0 * lost)) / (2.0 * PI);
        assert_near(mean, exact, 2e-5, "mean");
        assert_near(mean, book, error, "mean in the book");
    }
}

#[test]
fn peak_rectifier() {
    // Sedra & Smith, Microelectronic Circuits (from memory, recomputed): 60 Hz, 100 V peak, 10 kΩ, 83.3 µF:
    // ripple 2 V, conduction 0.2 rad, diode's mean current while it conducts 324 mA, peak 638 mA. The book
    // takes the ripple as small against the peak; its figures are good for some hundredths.
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    let period = 1.0 / 60.0;
    let wave = Wave::Sine { peak: Volts::new(100.0), period: Seconds::new(period) };
    network.source("V1", a, GROUND, wave, Ohms::new(0.0));
    let diode = network.diode("V2", a, b, Volts::new(0.0), Ohms::new(0.01));
    let bank = network.capacitor("C1", b, GROUND, Farads::new(83.333e-6), Ohms::new(0.0), Volts::new(99.0));
    network.resistor("R1", b, GROUND, Ohms::new(10e3));
    let transient = network.simulate(Seconds::new(10.0 * period)).unwrap();
    let samples: Vec<(f64, f64)> = (0..20_000)
        .map(|n| Seconds::new(period * (9.0 + f64::from(n) / 20_000.0)))
        .map(|t| (transient.current_at(diode, t).amps(), transient.charge_at(bank, t).volts()))
        .collect();
    let high = samples.iter().map(|s| s.1).fold(0.0, f64::max);
    let low = samples.iter().map(|s| s.1).fold(f64::INFINITY, f64::min);
    let conducting: Vec<f64> = samples.iter().map(|s| s.0).filter(|i| *i > 1e-4).collect();
    assert_near(high - low, 2.0, 0.05, "ripple");
    assert_near(conducting.len() as f64 / 20_000.0 * 2.0 * PI, 0.2, 0.05, "conduction angle");
    assert_near(conducting.iter().copied().fold(0.0, f64::max), 0.638, 0.05, "peak");
    assert_near(conducting.iter().sum::<f64>() / conducting.len() as f64, 0.324, 0.05, "mean");
}

#[test]
fn a_bank_behind_a_bridge() {
    // 16 V rms leave 21.23 V behind two diodes of 0.7 V (textbook); the time agrees with the averaged form
    // of charging.rs, which claims 0.6 half cycles from ten half cycles of RC on.
    let (resistance, capacitance, half_cycle) = (100.0, 2200e-6, 0.01);
    let mut network = Network::new();
    let [a, b, plus, out] = ["a", "b", "plus", "out"].map(|name| network.node(name));
    let wave = Wave::Sine { peak: Volts::new(16.0 * 2.0_f64.sqrt()), period: Seconds::new(2.0 * half_cycle) };
    network.source("V0", a, b, wave, Ohms::new(0.0));
    bridge(&mut network, [a, b], plus, GROUND, 0.7, 1e-3);
    network.resistor("R1", plus, out, Ohms::new(resistance));
    let bank =
        network.capacitor("C1", out, GROUND, Farads::new(capacitance), Ohms::new(0.0), Volts::new(0.0));
    let transient = network.simulate(Seconds::new(8.0)).unwrap();
    let closed = RectifiedCharge {
        supply: Volts::new(16.0),
        resistance: Ohms::new(resistance),
        capacitance: Farads::new(capacitance),
    };
    assert_near(closed.final_voltage().volts(), 21.23, 1e-3, "by the table");
    for share in [0.632, 0.9, 0.95, 0.99] {
        let time = transient.charged_to(bank, closed.final_voltage() * share).unwrap();
        assert_within(time.seconds(), closed.time_to(share).seconds(), 0.6 * half_cycle, "time to charge");
    }
    assert!(transient.peak_charge(bank).1 < closed.final_voltage() + Volts::new(1e-6));
    assert_within(imbalance(&network, &transient), 0.0, 1e-5, "energy");
    println!("{} steps for 800 half cycles", transient.steps());
}
