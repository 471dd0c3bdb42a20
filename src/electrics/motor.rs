//! Slow-motion motors that stall against their stop: the ways to reverse one, and what voltage is
//! left for it behind what stands in series.
//!
//! A stalled motor turns nothing and makes no voltage of its own; it is the resistance of its winding.

use std::f64::consts::{PI, SQRT_2};

use crate::electrics::rectifier::{DIODE_DROP, sine_peak};
use crate::units::{Amps, Ohms, Volts};

/// Forward drop of the indicator diode in series with a motor, one of two antiparallel ones
/// (red, yellow or green: 1.8 to 2.1 V; from memory).
pub const INDICATOR_DROP: Volts = Volts::new(2.0);

/// A resistor seen in series with 12 V motors to slow them (470 Ω, 12 V; seen in the trade).
pub const SLOWING_RESISTOR: Ohms = Ohms::new(470.0);

/// The ways to turn a motor round with a switch (common practice).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reversal {
    /// A double-pole switch swaps both wires on one DC supply.
    DoublePole,
    /// A single-pole switch chooses the positive or the negative half of a split supply.
    SplitSupply,
    /// A single-pole switch chooses one of two opposed diodes on one AC winding.
    HalfWave,
}

impl Reversal {
    pub const ALL: [Reversal; 3] = [Reversal::DoublePole, Reversal::SplitSupply, Reversal::HalfWave];

    /// Changeover poles of the switch.
    pub fn switch_poles(self) -> usize {
        match self {
            Reversal::DoublePole => 2,
            Reversal::SplitSupply | Reversal::HalfWave => 1,
        }
    }

    /// Wires from the switch that a motor, or those thrown with it, has for itself.
    pub fn own_wires(self) -> usize {
        self.switch_poles()
    }

    /// Returns that all motors share.
    pub fn shared_returns(self) -> usize {
        match self {
            Reversal::DoublePole => 0,
            Reversal::SplitSupply | Reversal::HalfWave => 1,
        }
    }

    /// The mean voltage for what follows the switch and a drop in series: of a DC supply (of one half,
    /// if split) U − d, of a half wave [`mean_above`] the diode and the drop. `supply` is rms for AC.
    pub fn mean_voltage(self, supply: Volts, drop: Volts) -> Volts {
        match self {
            Reversal::DoublePole | Reversal::SplitSupply => (supply - drop).max(Volts::new(0.0)),
            Reversal::HalfWave => mean_above(sine_peak(supply), DIODE_DROP + drop),
        }
    }

    /// The current (mean, in a half wave) through a stalled motor behind a drop and a resistor.
    pub fn stalled_current(self, supply: Volts, series: Series, motor: Ohms) -> Amps {
        self.mean_voltage(supply, series.drop) / (series.resistance + motor)
    }

    /// The voltage (mean, in a half wave) that is left at the stalled motor.
    pub fn motor_voltage(self, supply: Volts, series: Series, motor: Ohms) -> Volts {
        self.stalled_current(supply, series, motor) * motor
    }
}

/// What stands in series with a motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// Of diodes.
    pub drop: Volts,
    /// Of a resistor and the wires.
    pub resistance: Ohms,
}

impl Series {
    pub const NOTHING: Series = Series { drop: Volts::new(0.0), resistance: Ohms::new(0.0) };
}

/// The winding of a stalled motor: R = U/I (Ohm's law).
pub fn stalled_resistance(rated: Volts, stall: Amps) -> Ohms {
    rated / stall
}

/// The mean over a whole cycle of what one half wave of a sine has above a drop d:
/// (1/2π)·∫ max(0, Vp·sin θ − d) dθ = (Vp/π)·(√(1−k²) − k·acos k), k = d/Vp. Without drop Vp/π
/// (textbook). Zero if the peak does not exceed the drop.
pub fn mean_above(peak: Volts, drop: Volts) -> Volts {
    let k = drop / peak;
    if !(0.0..1.0).contains(&k) {
        return Volts::new(0.0);
    }
    peak * (((1.0 - k * k).sqrt() - k * k.acos()) / PI)
}

/// Rms of a half-wave current through a resistance, as a multiple of its mean: (Vp/2)/(Vp/π) = π/2
/// (textbook). The winding must bear it while all motors lie the same way.
pub const HALF_WAVE_FORM_FACTOR: f64 = PI / 2.0;

/// The winding, rms, whose half wave has a mean: U ≈ π·(mean + d/2)/√2, the drop's share to first order.
pub fn winding_for_half_wave(mean: Volts) -> Volts {
    (mean + DIODE_DROP / 2.0) * (PI / SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::rectifier::Rectifier;

    const MOTOR: Ohms = Ohms::new(600.0);

    #[test]
    fn resistor_in_series() {
        // Computed by hand, no outside authority: 12 V through 470 Ω and a motor of 600 Ω:
        // 11.2 mA, 6.7 V on the motor.
        let series = Series { drop: Volts::new(0.0), resistance: SLOWING_RESISTOR };
        let current = Reversal::DoublePole.stalled_current(Volts::new(12.0), series, MOTOR);
        assert!((current.amps() - 0.0112).abs() < 5e-5, "{current}");
        let left = Reversal::DoublePole.motor_voltage(Volts::new(12.0), series, MOTOR);
        assert!((left.volts() - 6.7).abs() < 0.05, "{left}");
    }

    #[test]
    fn clock_motor_behind_1200_ohms() {
        // mail-archive.com s-scale msg02110: 1200 Ω at 12 to 14 V leaves 5.5 V on the motor. That is
        // 5.4 to 7.1 mA; the motor it implies must be the same at both ends within the spread quoted.
        let implied =
            |supply: f64| Volts::new(5.5) / ((Volts::new(supply) - Volts::new(5.5)) / Ohms::new(1200.0));
        for supply in [12.0, 13.0, 14.0] {
            let series = Series { drop: Volts::new(0.0), resistance: Ohms::new(1200.0) };
            let left = Reversal::SplitSupply.motor_voltage(Volts::new(supply), series, implied(13.0));
            assert!((left.volts() - 5.5).abs() < 0.5, "{left}");
        }
    }

    #[test]
    fn stalled_armature() {
        // northriverrailway.net: about 650 Ω, which is 18.5 mA at 12 V.
        let resistance = stalled_resistance(Volts::new(12.0), Amps::new(0.0185));
        assert!((resistance.ohms() - 650.0).abs() < 2.0, "{resistance}");
    }

    #[test]
    fn half_wave_by_a_forum() {
        // cs.trains.com/mrr/f/744/p/143622: a winding of 15 V AC, half wave, about 7.6 V
        // at the motors. At exactly 15 V the ideal mean is 6.75 V; small transformers give 10 to 25 %
        // more at light load, and the published voltage lies in that range.
        assert!((mean_above(sine_peak(Volts::new(15.0)), Volts::new(0.0)).volts() - 6.75).abs() < 0.005);
        let at = |rms: f64| Reversal::HalfWave.mean_voltage(Volts::new(rms), Volts::new(0.0)).volts();
        assert!(at(15.0 * 1.10) < 7.6 && 7.6 < at(15.0 * 1.25), "{} {}", at(16.5), at(18.75));
    }

    #[test]
    fn half_wave_by_a_plain_sum() {
        // The definition summed by the midpoint rule, and the textbook's mean without a diode.
        let (peak, drop) = (Volts::new(22.627), Volts::new(2.7));
        let steps = 100_000;
        let sum: f64 = (0..steps)
            .map(|n| PI * 2.0 * (f64::from(n) + 0.5) / f64::from(steps))
            .map(|angle| (peak.volts() * angle.sin() - drop.volts()).max(0.0))
            .sum();
        assert!((mean_above(peak, drop).volts() - sum / f64::from(steps)).abs() < 1e-6);
        let ideal = Rectifier::HalfWave.mean_output(Volts::new(16.0)).unwrap();
        assert!((mean_above(sine_peak(Volts::new(16.0)), Volts::new(0.0)) - ideal).volts().abs() < 1e-12);
        assert_eq!(mean_above(Volts::new(2.0), Volts::new(2.7)), Volts::new(0.0));
    }

    #[test]
    fn winding_and_its_half_wave_agree() {
        for mean in [5.0, 7.6, 12.0] {
            let back =
                Reversal::HalfWave.mean_voltage(winding_for_half_wave(Volts::new(mean)), Volts::new(0.0));
            assert!((back.volts() - mean).abs() < 0.02, "{back}");
        }
    }

    #[test]
    fn an_indicator_takes_its_share() {
        // By hand: (12 − 2)/(470 + 600) = 9.35 mA, 5.61 V on the motor.
        let series = Series { drop: INDICATOR_DROP, resistance: SLOWING_RESISTOR };
        let left = Reversal::DoublePole.motor_voltage(Volts::new(12.0), series, MOTOR);
        assert!((left.volts() - 5.607).abs() < 1e-3, "{left}");
    }
}
