//! Voltage lost in wires, and whether a short is noticed.

use crate::units::{Amps, Length, Ohms, OhmsPerMetre, Volts};

/// The drop over one conductor of `length`: U = I·r·l.
pub fn conductor_drop(current: Amps, resistance: OhmsPerMetre, length: Length) -> Volts {
    current * (resistance * length)
}

/// The drop over a run there and back: U = 2·I·r·l, `run` being one way.
pub fn run_drop(current: Amps, resistance: OhmsPerMetre, run: Length) -> Volts {
    conductor_drop(current, resistance, run * 2.0)
}

/// The longest run, one way, that drops no more than `allowed`: l = U/(2·I·r).
pub fn longest_run(allowed: Volts, current: Amps, resistance: OhmsPerMetre) -> Length {
    allowed / current / (resistance * 2.0)
}

/// A stretch of a track feed; its second conductor is of the same kind and length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leg {
    /// Of one conductor.
    pub resistance: OhmsPerMetre,
    /// One way.
    pub length: Length,
}

/// The loop from the supply to the far end of the legs and back: R = 2·Σ r·l.
pub fn loop_resistance(legs: &[Leg]) -> Ohms {
    legs.iter().map(|leg| leg.resistance * leg.length * 2.0).sum()
}

/// The current of a dead short at the end of a loop: I = U/R. Infinite for a loop without resistance.
pub fn fault_current(voltage: Volts, loop_resistance: Ohms) -> Amps {
    voltage / loop_resistance
}

/// Whether a coin across the rails trips the booster: U/R ≥ k·I_trip.
///
/// `margin` k is at least 1; club practice is 1.5 to 2 (common practice, no source).
pub fn coin_trips(voltage: Volts, loop_resistance: Ohms, trip: Amps, margin: f64) -> bool {
    fault_current(voltage, loop_resistance) >= trip * margin
}

/// The largest loop resistance at which a coin still trips the booster: R = U/(k·I_trip).
pub fn coin_loop_limit(voltage: Volts, trip: Amps, margin: f64) -> Ohms {
    voltage / (trip * margin)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::conductor::resistance_at_20;
    use crate::units::WireSize;

    const FOOT: f64 = 0.3048;

    fn awg(gauge: i8) -> OhmsPerMetre {
        resistance_at_20(WireSize::Awg(gauge))
    }

    fn assert_near(actual: f64, expected: f64, relative: f64) {
        assert!((actual / expected - 1.0).abs() <= relative, "{actual} is not near {expected}");
    }

    #[test]
    fn bus_of_45_feet() {
        // forum.trains.com t/110261: 5 A, AWG 12, 45 ft one way gives 0.7155 V, so 5 % of 14.25 V fails.
        let drop = run_drop(Amps::new(5.0), awg(12), Length::new(45.0 * FOOT));
        assert_near(drop.volts(), 0.7147, 2e-4);
        assert_near(drop.volts(), 0.7155, 2e-3);
        assert!(drop > Volts::new(14.25) * 0.05);
    }

    #[test]
    fn hundred_feet_of_awg_14() {
        // A help-centre article on voltage drop: 100 ft one way, 5 A, 14 V loses 18 %.
        let drop = run_drop(Amps::new(5.0), awg(14), Length::new(100.0 * FOOT));
        assert_near(drop / Volts::new(14.0), 0.18, 5e-3);
    }

    #[test]
    fn drop_of_a_metre_at_5_amps() {
        // home.roadrunner.com/~mrwithdcc "Resistance Values": its copper is 4 % worse than IEC 60028's.
        for (gauge, volts) in [(10, 0.0171), (12, 0.0272), (14, 0.0432), (16, 0.0688), (18, 0.1093)] {
            assert_near(conductor_drop(Amps::new(5.0), awg(gauge), Length::new(1.0)).volts(), volts, 0.05);
        }
    }

    #[test]
    fn servo_on_a_long_lead() {
        // A hobby-electronics thread: 6 V, 2.5 A, 15 ft: 4 V (4.07 V exactly) on AWG 24, 5.24 V on AWG 20.
        let left = |gauge| 6.0 - run_drop(Amps::new(2.5), awg(gauge), Length::new(15.0 * FOOT)).volts();
        assert_near(left(24), 4.07, 2e-3);
        assert_near(left(20), 5.24, 2e-3);
    }

    #[test]
    fn hundred_feet_of_cable() {
        // forum.allaboutcircuits.com thread 20701: 200 ft of wire; 5 V at 1 A, and 36 V at 3 A.
        let wire = Length::new(200.0 * FOOT);
        let left = |volts, amps, gauge| volts - conductor_drop(Amps::new(amps), awg(gauge), wire).volts();
        assert_near(left(5.0, 1.0, 16), 4.2, 2e-3);
        assert_near(left(5.0, 1.0, 14), 4.5, 2e-3);
        assert_near(left(36.0, 3.0, 14), 34.49, 2e-3);
        assert_near(left(36.0, 3.0, 12), 35.05, 2e-3);
    }

    #[test]
    fn longest_runs_for_a_drop_of_0_7_volts() {
        // Computed from L = 0.7/(2·I·r), rounded to a decimetre.
        let run = |size, amps| longest_run(Volts::new(0.7), Amps::new(amps), resistance_at_20(size)).metres();
        for (size, at_3, at_5, at_8) in [
            (WireSize::Awg(12), 22.4, 13.4, 8.4),
            (WireSize::Awg(14), 14.1, 8.4, 5.3),
            (WireSize::Awg(16), 8.9, 5.3, 3.3),
            (WireSize::Awg(18), 5.6, 3.3, 2.1),
            (WireSize::mm2(2.5), 14.6, 8.8, 5.5),
            (WireSize::mm2(1.5), 8.8, 5.3, 3.3),
            (WireSize::mm2(1.0), 6.0, 3.6, 2.2),
            (WireSize::mm2(0.75), 4.5, 2.7, 1.7),
        ] {
            assert!((run(size, 3.0) - at_3).abs() < 0.06, "{size}");
            assert!((run(size, 5.0) - at_5).abs() < 0.06, "{size}");
            assert!((run(size, 8.0) - at_8).abs() < 0.06, "{size}");
        }
    }

    #[test]
    fn coin_test() {
        // Loop limits at 14 V, computed from U/(k·I).
        for (trip, single, double) in
            [(3.0, 4.67, 2.33), (5.0, 2.80, 1.40), (8.0, 1.75, 0.875), (10.0, 1.40, 0.70)]
        {
            let limit = |margin| coin_loop_limit(Volts::new(14.0), Amps::new(trip), margin);
            assert_near(limit(1.0).ohms(), single, 2e-3);
            assert_near(limit(2.0).ohms(), double, 2e-3);
            assert!(coin_trips(Volts::new(14.0), limit(2.0) * 0.999, Amps::new(trip), 2.0));
            assert!(!coin_trips(Volts::new(14.0), limit(2.0) * 1.001, Amps::new(trip), 2.0));
        }
    }

    #[test]
    fn loop_adds_the_legs_there_and_back() {
        let bus = Leg { resistance: resistance_at_20(WireSize::mm2(1.5)), length: Length::new(6.0) };
        let dropper =
            Leg { resistance: resistance_at_20(WireSize::mm2(0.5)), length: Length::from_mm(300.0) };
        // 2·(6·0.0133 + 0.3·0.039) = 0.183 Ω by hand.
        assert_near(loop_resistance(&[bus, dropper]).ohms(), 0.183, 1e-9);
    }
}
