//! Charging a bank through its limiting resistor, emptying it, and what a stuck contact does.

use std::f64::consts::PI;

use crate::electrics::rectifier::{Rectifier, sine_peak};
use crate::units::{Amps, Farads, Ohms, Seconds, Volts, Watts};

/// Time to charge from empty to a fraction of a smooth supply voltage: t = -RC·ln(1 - fraction)
/// (textbook). Zero for a fraction of nothing or less, infinite for the whole or more.
pub fn time_to(fraction: f64, resistance: Ohms, capacitance: Farads) -> Seconds {
    if fraction >= 1.0 {
        return Seconds::new(f64::INFINITY);
    }
    resistance * capacitance * -(-fraction.max(0.0)).ln_1p()
}

/// Time for a resistor to empty a capacitor from one voltage to a lower one: t = RC·ln(V0/V1)
/// (textbook). Zero if it is not lower, infinite for a target of zero.
pub fn bleed_time(resistance: Ohms, capacitance: Farads, from: Volts, to: Volts) -> Seconds {
    if from <= to {
        return Seconds::new(0.0);
    }
    resistance * capacitance * (from / to.max(Volts::new(0.0))).ln()
}

/// The steady current while a contact holds a coil to the supply through the limiter:
/// I = V/(R_limiter + R_coil), V after the diodes (Ohm's law).
pub fn stuck_contact_current(voltage: Volts, limiter: Ohms, coil: Ohms) -> Amps {
    (voltage / (limiter + coil)).max(Amps::new(0.0))
}

/// The power in a resistor, P = I²·R: the limiter's while a contact is stuck.
///
/// Behind an unsmoothed rectifier the current must be an rms value; the winding's rms voltage without
/// the diode drops gives one on the safe side.
pub fn power(current: Amps, resistance: Ohms) -> Watts {
    current * resistance * current
}

/// A bank charged from a winding through a bridge rectifier, without a smoothing capacitor, and a
/// limiting resistor.
///
/// With v on the bank, the resistor drives (Vp·|sin ωt| - d - v)/R while that is positive, d being the
/// two diode drops. When RC is long against half a cycle, v hardly moves within one, and the mean over
/// half a cycle may stand for the pulses:
///
/// dv/dt = (Vp/RC)·g(k),  k = (v + d)/Vp,  g(k) = (1/π)∫₀^π max(0, sin θ - k) dθ
///       = (2/π)·(√(1-k²) - k·acos k)
///
/// so t = RC·∫ dk/g(k) between the k of start and target. The real bank climbs in steps of half a
/// cycle around this; with RC of ten half cycles and more the error stays below 0.6 half cycles against
/// fine-step integration (`tests/electrics_reference.rs`). Own derivation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RectifiedCharge {
    /// The winding's voltage, rms.
    pub supply: Volts,
    pub resistance: Ohms,
    pub capacitance: Farads,
}

impl RectifiedCharge {
    /// The voltage the bank would reach after ever so long: the peak less two diode drops.
    pub fn final_voltage(&self) -> Volts {
        Rectifier::Bridge.peak_output(self.supply)
    }

    /// Time to charge from one voltage to another. Zero if it is there already, infinite from the
    /// final voltage on.
    pub fn time(&self, from: Volts, to: Volts) -> Seconds {
        if to <= from {
            return Seconds::new(0.0);
        }
        if to >= self.final_voltage() {
            return Seconds::new(f64::INFINITY);
        }
        let k = |voltage: Volts| (voltage + Rectifier::Bridge.drop()) / sine_peak(self.supply);
        self.resistance * self.capacitance * integral_of_inverse_mean(k(from), k(to))
    }

    /// Time to charge from empty to a fraction of [`final_voltage`](Self::final_voltage).
    pub fn time_to(&self, fraction: f64) -> Seconds {
        self.time(Volts::new(0.0), self.final_voltage() * fraction)
    }

    /// The mean charging current with the bank at `voltage`: (Vp/R)·g(k).
    pub fn mean_current(&self, voltage: Volts) -> Amps {
        let peak = sine_peak(self.supply);
        let k = ((voltage + Rectifier::Bridge.drop()) / peak).clamp(-1.0, 1.0);
        peak / self.resistance * (2.0 / PI * ((1.0 - k * k).sqrt() - k * k.acos()))
    }
}

/// ∫ dk/g(k) from `from` to `to`, both in [0, 1).
///
/// 1/g has a pole of order 3/2 at k = 1. With k = cos φ and φ = e^(-w) it becomes
/// ∫ (π/2)·φ·sin φ/(sin φ - φ·cos φ) dw, smooth enough for Simpson's rule with few steps.
fn integral_of_inverse_mean(from: f64, to: f64) -> f64 {
    const STEPS: u32 = 400; // even; relative error below 1e-9
    let (start, end) = (-from.acos().ln(), -to.acos().ln());
    let step = (end - start) / f64::from(STEPS);
    let weighted = |n: u32| {
        let weight = match n {
            0 | STEPS => 1.0,
            n if n % 2 == 1 => 4.0,
            _ => 2.0,
        };
        weight * inverse_mean_over_log(-(start + step * f64::from(n)))
    };
    step / 3.0 * (0..=STEPS).map(weighted).sum::<f64>()
}

/// (π/2)·φ·sin φ/(sin φ - φ·cos φ) for the logarithm of φ.
fn inverse_mean_over_log(log_phi: f64) -> f64 {
    let phi = log_phi.exp();
    let square = phi * phi;
    // The difference cancels for small φ; its series does not.
    let difference = if phi < 0.05 {
        phi * square * (1.0 / 3.0 - square / 30.0 + square * square / 840.0)
    } else {
        phi.sin() - phi * phi.cos()
    };
    PI / 2.0 * phi * phi.sin() / difference
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_near(actual: f64, expected: f64, relative: f64) {
        assert!((actual / expected - 1.0).abs() <= relative, "{actual} is not near {expected}");
    }

    #[test]
    fn multiples_of_the_time_constant() {
        // Textbook table: 63.212, 86.466, 95.021, 98.168, 99.326 % after 1 to 5 RC.
        for (n, percent) in [(1.0, 63.212), (2.0, 86.466), (3.0, 95.021), (4.0, 98.168), (5.0, 99.326)] {
            let time = time_to(percent / 100.0, Ohms::new(1.0), Farads::new(1.0)).seconds();
            assert!((time - n).abs() < 1e-3, "{time} for {percent} %");
        }
    }

    #[test]
    fn firing_bank_through_220_ohms() {
        // angelfire.com/ab6/userper/cap_dis.htm: 2200 µF via 220 Ω, "about a second to 90 %".
        let time = time_to(0.9, Ohms::new(220.0), Farads::new(2200e-6));
        assert_near(time.seconds(), 1.1145, 1e-4);
    }

    #[test]
    fn wiper_timer() {
        // OpenStax University Physics 2 §10.5 (from memory): 10 mF to 10 V of 12 V in 10 s takes 558.1 Ω.
        assert_near(time_to(10.0 / 12.0, Ohms::new(558.1), Farads::new(0.01)).seconds(), 10.0, 1e-4);
    }

    #[test]
    fn bleeding() {
        // Textbook formula: 4700 µF from 24 V to 10 % through 2.2 kΩ in 23.8 s, 0.262 W at first.
        let bleeder = Ohms::new(2200.0);
        let time = bleed_time(bleeder, Farads::new(4700e-6), Volts::new(24.0), Volts::new(2.4));
        assert_near(time.seconds(), 23.81, 1e-3);
        assert_near(power(Volts::new(24.0) / bleeder, bleeder).watts(), 0.2618, 1e-3);
        assert_eq!(
            bleed_time(bleeder, Farads::new(1e-3), Volts::new(1.0), Volts::new(2.0)),
            Seconds::new(0.0)
        );
    }

    #[test]
    fn stuck_contact() {
        // graemestrainstuff.webs.com/CDU.htm: 25 V, two diodes, 560 Ω: "not more than 42 mA".
        let current = stuck_contact_current(Volts::new(25.0 - 1.4), Ohms::new(560.0), Ohms::new(0.0));
        assert_near(current.amps(), 0.0421, 2e-3);
        assert!(stuck_contact_current(Volts::new(23.6), Ohms::new(560.0), Ohms::new(4.5)).amps() < 0.042);
    }

    #[test]
    fn rectified_charge_agrees_with_a_plain_sum() {
        // dt = RC·dk/g(k) summed by the midpoint rule, from the definition of g.
        let charge = RectifiedCharge {
            supply: Volts::new(16.0),
            resistance: Ohms::new(100.0),
            capacitance: Farads::new(4700e-6),
        };
        for fraction in [0.5, 0.9, 0.99] {
            let target = charge.final_voltage() * fraction;
            let steps = 200_000;
            let step = target / f64::from(steps);
            let time: f64 = (0..steps)
                .map(|n| charge.mean_current(step * (f64::from(n) + 0.5)))
                .map(|current| charge.capacitance.farads() * step.volts() / current.amps())
                .sum();
            assert_near(charge.time_to(fraction).seconds(), time, 1e-7);
        }
    }

    #[test]
    fn unsmoothed_charge_is_slower_than_smooth() {
        let (resistance, capacitance) = (Ohms::new(220.0), Farads::new(2200e-6));
        let charge = RectifiedCharge { supply: Volts::new(16.0), resistance, capacitance };
        for fraction in [0.1, 0.5, 0.9, 0.99] {
            assert!(charge.time_to(fraction) > time_to(fraction, resistance, capacitance));
        }
        assert_eq!(charge.time_to(0.0), Seconds::new(0.0));
        assert!(charge.time_to(1.0).seconds().is_infinite());
        assert!(charge.time_to(0.999_999).seconds().is_finite());
    }
}
