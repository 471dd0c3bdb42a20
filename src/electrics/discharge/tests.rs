use super::*;
use proptest::prelude::*;

fn discharge(volts: f64, ohms: f64, henries: f64, farads: f64) -> Discharge {
    Discharge::new(Volts::new(volts), Ohms::new(ohms), Henries::new(henries), Farads::new(farads)).unwrap()
}

fn assert_near(actual: f64, expected: f64, relative: f64) {
    assert!((actual / expected - 1.0).abs() <= relative, "{actual} is not near {expected}");
}

#[test]
fn published_and_computed_vectors() {
    // volts, ohms, henries, farads; damping; peak in amperes at seconds.
    for (circuit, damping, amps, seconds) in [
        // Nilsson & Riedel, Electric Circuits, natural response of a series circuit (from memory).
        ((100.0, 560.0, 0.1, 0.1e-6), Damping::Under, 0.068_70, 134.1e-6),
        // A latching solenoid of 6 Ω, 90 mH (itecnotes.com, actuating a solenoid); results by RK4.
        ((20.0, 6.0, 0.09, 2200e-6), Damping::Under, 1.7596, 17.248e-3),
        ((12.0, 6.0, 0.09, 4700e-6), Damping::Under, 1.272, 23.04e-3),
        // Banks; results by RK4.
        ((24.0, 8.0, 0.005, 2200e-6), Damping::Over, 2.7355, 2.2016e-3),
        ((24.0, 4.5, 0.01, 4700e-6), Damping::Over, 4.4273, 5.8345e-3),
        ((22.6, 5.0, 0.008, 4700e-6), Damping::Over, 3.9217, 4.7536e-3),
        ((25.0, 4.0, 0.005, 0.01), Damping::Over, 5.7433, 4.5436e-3),
    ] {
        let (volts, ohms, henries, farads) = circuit;
        let discharge = discharge(volts, ohms, henries, farads);
        assert_eq!(discharge.damping(), damping);
        let (at, peak) = discharge.peak();
        assert_near(peak.amps(), amps, 5e-4);
        assert_near(at.seconds(), seconds, 5e-4);
    }
}

#[test]
fn nilsson_riedel_waveforms() {
    // Electric Circuits, natural response: i = 0.1042·e^(-2800t)·sin 9600t,
    // v = e^(-2800t)·(100·cos 9600t + 29.17·sin 9600t) (from memory).
    let discharge = discharge(100.0, 560.0, 0.1, 0.1e-6);
    for t in [20e-6f64, 134e-6, 400e-6, 1e-3] {
        let (fade, angle) = ((-2800.0 * t).exp(), 9600.0 * t);
        let current = discharge.current_at(Seconds::new(t)).amps();
        assert!((current - fade * angle.sin() / 9.6).abs() < 1e-9);
        let voltage = discharge.voltage_at(Seconds::new(t)).volts();
        assert!((voltage - fade * (100.0 * angle.cos() + 175.0 / 6.0 * angle.sin())).abs() < 1e-6);
    }
}

#[test]
fn posed_problems() {
    // hwmadeeasy.com: L 2 H, R 4 Ω, C 0.5 F, q(0) 1 C (2 V): critical, |i| = t·e^(-t).
    let critical = discharge(2.0, 4.0, 2.0, 0.5);
    assert_eq!(critical.damping(), Damping::Critical);
    // The same with R 6 Ω, C 0.25 F (4 V): |i| = 2·e^(-t) - 2·e^(-2t).
    let over = discharge(4.0, 6.0, 2.0, 0.25);
    for t in [0.0f64, 0.1, 1.0, 3.0] {
        let current = |discharge: Discharge| discharge.current_at(Seconds::new(t)).amps();
        assert!((current(critical) - t * (-t).exp()).abs() < 1e-12);
        assert!((current(over) - 2.0 * (-t).exp() + 2.0 * (-2.0 * t).exp()).abs() < 1e-12);
    }
}

#[test]
fn critical_peak() {
    // Textbook: 2·V0/(R·e) at 2L/R.
    let resistance = 2.0 * (0.01f64 / 4700e-6).sqrt();
    let discharge = discharge(24.0, resistance, 0.01, 4700e-6);
    assert_eq!(discharge.damping(), Damping::Critical);
    let (at, peak) = discharge.peak();
    assert_near(peak.amps(), 2.0 * 24.0 / resistance * (-1f64).exp(), 1e-8);
    assert_near(at.seconds(), 2.0 * 0.01 / resistance, 1e-7);
    assert_near(peak.amps(), 6.0529, 1e-4);
    assert_near(at.seconds(), 6.8557e-3, 1e-4);
}

#[test]
fn continuous_across_critical_damping() {
    let critical = 2.0 * (0.01f64 / 4700e-6).sqrt();
    let value = |factor: f64| {
        let discharge = discharge(24.0, critical * factor, 0.01, 4700e-6);
        let (at, peak) = discharge.peak();
        let later = Seconds::new(0.02);
        [at.seconds(), peak.amps(), discharge.current_at(later).amps(), discharge.voltage_at(later).volts()]
    };
    let middle = value(1.0);
    for offset in [1e-6, 1e-8, 1e-10, 1e-12, 1e-14, 1e-15] {
        for factor in [1.0 - offset, 1.0 + offset] {
            for (near, exact) in value(factor).into_iter().zip(middle) {
                // The peak's time comes from a difference of order √offset, so rounding shows in it first.
                assert_near(near, exact, 4.0 * offset + 1e-7);
            }
        }
    }
}

#[test]
fn without_inductance() {
    // Textbook: i = (V0/R)·e^(-t/RC).
    let bare = discharge(24.0, 4.0, 0.0, 4700e-6);
    assert_eq!(bare.damping(), Damping::Over);
    assert_eq!(bare.peak(), (Seconds::new(0.0), Amps::new(6.0)));
    assert_near(bare.time_above(Amps::new(3.0)).seconds(), 4.0 * 4700e-6 * 2f64.ln(), 1e-12);
    for henries in [1e-9, 1e-15, 1e-100, 1e-300, 5e-324] {
        let nearly = discharge(24.0, 4.0, henries, 4700e-6);
        for t in [1e-3, 0.02, 0.1] {
            let at = Seconds::new(t);
            assert_near(nearly.current_at(at).amps(), bare.current_at(at).amps(), 1e-6);
            assert_near(nearly.voltage_at(at).volts(), bare.voltage_at(at).volts(), 1e-6);
        }
        assert!(nearly.peak().0.seconds() >= 0.0);
        assert_near(nearly.peak().1.amps(), 6.0, 1e-6);
    }
}

#[test]
fn energy() {
    // ∫i²dt = W/R for every damping; 4700 µF at 24 V is 1.3536 J.
    let discharge = discharge(24.0, 4.5, 0.01, 4700e-6);
    assert_near(discharge.energy_in(Ohms::new(4.5)).joules(), 1.3536, 1e-12);
    assert_near(discharge.joule_integral().amps_squared_seconds(), 0.3008, 1e-12);
    assert_eq!(discharge.energy_in_first_swing(Ohms::new(4.0)), discharge.energy_in(Ohms::new(4.0)));
}

#[test]
fn a_diode_keeps_back_the_energy_of_later_swings() {
    // The bank is left at -V0·e^(-απ/ωd) (textbook).
    let discharge = discharge(20.0, 6.0, 0.09, 2200e-6);
    let zero = discharge.first_zero().unwrap();
    let left = discharge.voltage_at(zero).volts();
    let (alpha, omega) = (6.0 / 0.18, (1.0 / (0.09 * 2200e-6) - (6.0f64 / 0.18).powi(2)).sqrt());
    assert_near(left, -20.0 * (-alpha * PI / omega).exp(), 1e-9);
    let first = discharge.energy_in_first_swing(Ohms::new(6.0)).joules();
    assert_near(first, 0.5 * 2200e-6 * (400.0 - left * left), 1e-9);
}

#[test]
fn refuses_what_is_no_circuit() {
    let new = |v, r, l, c| Discharge::new(Volts::new(v), Ohms::new(r), Henries::new(l), Farads::new(c));
    assert_eq!(new(24.0, 0.0, 0.01, 1e-3), None);
    assert_eq!(new(24.0, 4.0, -0.01, 1e-3), None);
    assert_eq!(new(24.0, 4.0, 0.01, 0.0), None);
    assert_eq!(new(f64::NAN, 4.0, 0.01, 1e-3), None);
    assert_eq!(new(24.0, f64::INFINITY, 0.01, 1e-3), None);
}

#[test]
fn time_above_for_a_threshold_not_reached() {
    let discharge = discharge(24.0, 8.0, 0.005, 2200e-6);
    assert_eq!(discharge.time_above(Amps::new(2.8)), Seconds::new(0.0));
    assert_eq!(discharge.time_above(Amps::new(0.0)), Seconds::new(0.0));
}

prop_compose! {
    fn any_discharge()(
        volts in 1.0..60.0f64, ohms in 0.5..50.0f64, henries in 1e-5..0.2f64, farads in 1e-4..0.03f64
    ) -> Discharge {
        discharge(volts, ohms, henries, farads)
    }
}

proptest! {
    #[test]
    fn the_peak_is_the_maximum(discharge in any_discharge(), share in 0.0..20.0f64) {
        let (at, peak) = discharge.peak();
        prop_assert!(discharge.current_at(at * share) <= peak * (1.0 + 1e-12));
    }

    #[test]
    fn more_capacitance_never_lowers_the_energy(
        volts in 0.0..60.0f64, ohms in 0.1..50.0f64, farads in 1e-4..0.03f64, more in 1.0..10.0f64
    ) {
        let energy = |farads| discharge(volts, ohms, 0.01, farads).energy_in(Ohms::new(ohms * 0.7));
        prop_assert!(energy(farads * more) >= energy(farads));
    }

    #[test]
    fn the_voltages_round_the_loop_add_up(discharge in any_discharge(), share in 0.1..5.0f64) {
        // v = R·i + L·di/dt, and i = -C·dv/dt, by central differences.
        let t = discharge.peak().0 * share;
        let h = discharge.peak().0 * 1e-5;
        let slope = |f: &dyn Fn(Seconds) -> f64| (f(t + h) - f(t - h)) / (2.0 * h.seconds());
        let current = discharge.current_at(t).amps();
        let di = slope(&|t| discharge.current_at(t).amps());
        let dv = slope(&|t| discharge.voltage_at(t).volts());
        let round = discharge.resistance.ohms() * current + discharge.inductance.henries() * di;
        prop_assert!((discharge.voltage_at(t).volts() - round).abs() < 1e-4 * discharge.voltage.volts());
        let peak = discharge.peak().1.amps();
        prop_assert!((current + discharge.capacitance.farads() * dv).abs() < 1e-4 * peak);
    }

    #[test]
    fn time_above_lies_where_it_says(discharge in any_discharge(), share in 0.05..0.99f64) {
        let (at, peak) = discharge.peak();
        let long = discharge.time_above(peak * share);
        let less = discharge.time_above(peak * (share * 1.001));
        prop_assert!(long > Seconds::new(0.0) && less < long);
        // The swing above the threshold contains the peak, so it cannot all lie on one side of it.
        prop_assert!(discharge.current_at(at + long) <= peak * share * (1.0 + 1e-9));
    }
}
