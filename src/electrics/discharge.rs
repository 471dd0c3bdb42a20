//! A charged bank discharging through a coil: the series RLC circuit in closed form.
//!
//! R is everything in the loop (coil, leads, the capacitor's own resistance), L the coil's inductance,
//! C the bank, charged to V0; the current starts from zero. With α = R/2L and ω0 = 1/√(LC) (any textbook
//! on circuits; vectors from Nilsson & Riedel below):
//!
//! - R < 2√(L/C), under-damped: i = V0/(ωd·L)·e^(-αt)·sin ωd·t, ωd = √(ω0² - α²)
//! - R = 2√(L/C), critical: i = (V0/L)·t·e^(-αt)
//! - R > 2√(L/C), over-damped: i = V0/(2βL)·(e^(s1·t) - e^(s2·t)), β = √(α² - ω0²), s = -α ± β
//!
//! The code writes them with x = 4L/(R²C), which is 0 without inductance and 1 at critical damping, so
//! that nothing cancels near critical damping and nothing overflows as L goes to 0.

use std::f64::consts::PI;

use crate::electrics::supply::stored_energy;
use crate::units::{Amps, Farads, Henries, JouleIntegral, Joules, Ohms, Seconds, Volts};

/// Whether the current swings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Damping {
    /// It swings through zero.
    Under,
    /// On the border, within a millionth of a per cent.
    Critical,
    /// It dies away without a swing.
    Over,
}

/// One discharge of a bank through a series resistance and inductance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Discharge {
    voltage: Volts,
    resistance: Ohms,
    inductance: Henries,
    capacitance: Farads,
}

impl Discharge {
    /// `None` unless all are finite, resistance and capacitance positive, and voltage and inductance not
    /// negative.
    pub fn new(
        voltage: Volts,
        resistance: Ohms,
        inductance: Henries,
        capacitance: Farads,
    ) -> Option<Discharge> {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        let sound = positive(resistance.ohms())
            && positive(capacitance.farads())
            && (inductance.henries() == 0.0 || positive(inductance.henries()))
            && (voltage.volts() == 0.0 || positive(voltage.volts()));
        sound.then_some(Discharge { voltage, resistance, inductance, capacitance })
    }

    /// The whole loop's resistance.
    pub fn resistance(&self) -> Ohms {
        self.resistance
    }

    /// x = 4L/(R²C), the inverse square of the damping ratio.
    fn swing(&self) -> f64 {
        let r = self.resistance.ohms();
        4.0 * self.inductance.henries() / r / r / self.capacitance.farads()
    }

    /// α = R/2L, per second; infinite without inductance.
    fn alpha(&self) -> f64 {
        self.resistance.ohms() / 2.0 / self.inductance.henries()
    }

    /// Which of the three forms the current takes.
    pub fn damping(&self) -> Damping {
        match self.swing() {
            x if (x - 1.0).abs() < 1e-8 => Damping::Critical,
            x if x > 1.0 => Damping::Under,
            _ => Damping::Over,
        }
    }

    /// The current at a time after the contact closes.
    pub fn current_at(&self, time: Seconds) -> Amps {
        let t = time.seconds();
        let shape = match self.form() {
            Form::NoInductance => (-t / self.time_constant()).exp(),
            Form::Under { r, alpha } => 2.0 / r * (-alpha * t).exp() * (alpha * r * t).sin(),
            Form::Critical { alpha } => 2.0 * alpha * t * (-alpha * t).exp(),
            Form::Over { s, slow, two_beta } => (slow * t).exp() * -(-two_beta * t).exp_m1() / s,
        };
        self.voltage / self.resistance * shape
    }

    /// The voltage left on the bank at a time after the contact closes.
    pub fn voltage_at(&self, time: Seconds) -> Volts {
        let t = time.seconds();
        let share = match self.form() {
            Form::NoInductance => (-t / self.time_constant()).exp(),
            Form::Under { r, alpha } => {
                let angle = alpha * r * t;
                (-alpha * t).exp() * (angle.cos() + angle.sin() / r)
            }
            Form::Critical { alpha } => (-alpha * t).exp() * (1.0 + alpha * t),
            Form::Over { slow, two_beta, .. } => {
                (slow * t).exp() * (1.0 + slow * (-two_beta * t).exp_m1() / two_beta)
            }
        };
        self.voltage * share
    }

    /// When the current is greatest, and how great: at t = atan(ωd/α)/ωd, 1/α or ln(s2/s1)/(s1 - s2).
    pub fn peak(&self) -> (Seconds, Amps) {
        let time = Seconds::new(match self.form() {
            Form::NoInductance => 0.0,
            Form::Under { r, alpha } => r.atan() / (alpha * r),
            Form::Critical { alpha } => 1.0 / alpha,
            // s2/s1 = (1 + s)/(1 - s), and ln of it is 2·atanh s; 1 - s cancels for small inductance.
            Form::Over { s, two_beta, .. } => {
                let log_ratio =
                    if s < 0.5 { 2.0 * s.atanh() } else { ((1.0 + s) * (1.0 + s) / self.swing()).ln() };
                log_ratio / two_beta
            }
        });
        (time, self.current_at(time))
    }

    /// When an under-damped current first comes back to zero, π/ωd; a diode in the loop ends it there.
    pub fn first_zero(&self) -> Option<Seconds> {
        match self.form() {
            Form::Under { r, alpha } => Some(Seconds::new(PI / (alpha * r))),
            _ => None,
        }
    }

    /// The energy that the whole discharge leaves in `part` of the loop's resistance:
    /// ½·C·V0²·part/R. It holds for every damping, for the same current flows in all the resistance.
    pub fn energy_in(&self, part: Ohms) -> Joules {
        self.stored() * (part / self.resistance)
    }

    /// The energy that reaches `part` until the current first comes back to zero: as
    /// [`energy_in`](Self::energy_in) less what is then left on the bank, reversed.
    pub fn energy_in_first_swing(&self, part: Ohms) -> Joules {
        let left = match self.first_zero() {
            Some(zero) => stored_energy(self.capacitance, self.voltage_at(zero)),
            None => Joules::new(0.0),
        };
        (self.stored() - left) * (part / self.resistance)
    }

    /// ∫ i² dt over the whole discharge, W/R: what a fuse in the loop feels.
    pub fn joule_integral(&self) -> JouleIntegral {
        JouleIntegral::new(self.stored().joules() / self.resistance.ohms())
    }

    /// How long the first swing of the current stays at or above a positive `threshold`; zero if it never
    /// gets there.
    pub fn time_above(&self, threshold: Amps) -> Seconds {
        let (at_peak, peak) = self.peak();
        if threshold.amps() <= 0.0 || peak < threshold {
            return Seconds::new(0.0);
        }
        let rise = self.crossing(threshold, Seconds::new(0.0), at_peak);
        let fall = self.crossing(threshold, self.fallen_below(threshold, at_peak), at_peak);
        fall - rise
    }

    /// A time after the peak, within the first swing, at which the current is below `threshold`.
    fn fallen_below(&self, threshold: Amps, at_peak: Seconds) -> Seconds {
        if let Some(zero) = self.first_zero() {
            return zero;
        }
        let mut step = Seconds::new(self.time_constant());
        while self.current_at(at_peak + step) >= threshold {
            step = step * 2.0;
        }
        at_peak + step
    }

    /// Where the current crosses `threshold` between a time below it and a time at or above it, by
    /// bisection to the last bit.
    fn crossing(&self, threshold: Amps, mut below: Seconds, mut above: Seconds) -> Seconds {
        loop {
            let middle = (below + above) / 2.0;
            if middle == below || middle == above {
                return above;
            }
            if self.current_at(middle) < threshold {
                below = middle;
            } else {
                above = middle;
            }
        }
    }

    fn stored(&self) -> Joules {
        stored_energy(self.capacitance, self.voltage)
    }

    /// RC in seconds.
    fn time_constant(&self) -> f64 {
        (self.resistance * self.capacitance).seconds()
    }

    fn form(&self) -> Form {
        let x = self.swing();
        let alpha = self.alpha();
        if !alpha.is_finite() {
            Form::NoInductance
        } else if x > 1.0 {
            Form::Under { r: (x - 1.0).sqrt(), alpha }
        } else if x == 1.0 {
            Form::Critical { alpha }
        } else {
            let s = (1.0 - x).sqrt();
            Form::Over { s, slow: -2.0 / (self.time_constant() * (1.0 + s)), two_beta: 2.0 * alpha * s }
        }
    }
}

/// The numbers of the current's form; rates are per second.
enum Form {
    NoInductance,
    /// r = ωd/α.
    Under {
        r: f64,
        alpha: f64,
    },
    Critical {
        alpha: f64,
    },
    /// s = β/α; `slow` = s1, written without cancellation.
    Over {
        s: f64,
        slow: f64,
        two_beta: f64,
    },
}

#[cfg(test)]
mod tests;
