//! Values that parts are made in.

use crate::units::{Farads, Ohms, Volts};

/// A series of preferred numbers of IEC 60063 (from memory; universally known).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Series {
    /// ±20 %
    E6,
    /// ±10 %
    E12,
    /// ±5 %
    E24,
}

impl Series {
    /// One decade, in tenths: 47 stands for 4.7. A list, for rounding 10^(k/n) does not give it.
    const fn decade(self) -> &'static [u8] {
        match self {
            Series::E6 => &[10, 15, 22, 33, 47, 68],
            Series::E12 => &[10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82],
            Series::E24 => &[
                10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82,
                91,
            ],
        }
    }

    /// The smallest value of the series not below `value`; `None` unless `value` is positive and finite.
    pub fn at_least(self, value: Ohms) -> Option<Ohms> {
        self.around(value)?.into_iter().find(|candidate| *candidate >= value * (1.0 - SAME))
    }

    /// The largest value of the series not above `value`; `None` unless `value` is positive and finite.
    pub fn at_most(self, value: Ohms) -> Option<Ohms> {
        self.around(value)?.into_iter().rfind(|candidate| *candidate <= value * (1.0 + SAME))
    }

    /// The value of the series at the smallest ratio from `value`, the larger of two as near; `None`
    /// unless `value` is positive and finite.
    pub fn nearest(self, value: Ohms) -> Option<Ohms> {
        let (below, above) = (self.at_most(value)?, self.at_least(value)?);
        Some(if above / value <= value / below { above } else { below })
    }

    /// The series in the decade of `value` and its two neighbours, ascending. `None` for zero, negative
    /// and infinite values too, whose logarithm is out of range or no number.
    fn around(self, value: Ohms) -> Option<Vec<Ohms>> {
        let exponent = value.ohms().log10().floor();
        // Beyond these decades there are no parts, and the powers of ten would overflow.
        if !(-300.0..300.0).contains(&exponent) {
            return None;
        }
        let decades = exponent as i32 - 1..=exponent as i32 + 1;
        let values =
            decades.flat_map(|decade| self.decade().iter().map(move |tenths| in_decade(*tenths, decade)));
        Some(values.map(Ohms::new).collect())
    }
}

/// Numbers this near are the same: arithmetic noise must not jump to the next part.
const SAME: f64 = 1e-9;

/// `tenths`/10 · 10^`decade`, with a single rounding so that 4.7 kΩ is exactly 4700 Ω.
fn in_decade(tenths: u8, decade: i32) -> f64 {
    let power = decade - 1;
    let scale = 10f64.powi(power.abs());
    if power < 0 { f64::from(tenths) / scale } else { f64::from(tenths) * scale }
}

/// Capacitors stocked for banks: E6 from 100 µF to 22 000 µF (common practice; list from memory).
pub const BANK_CAPACITANCES: [Farads; 15] = [
    Farads::new(100e-6),
    Farads::new(150e-6),
    Farads::new(220e-6),
    Farads::new(330e-6),
    Farads::new(470e-6),
    Farads::new(680e-6),
    Farads::new(1000e-6),
    Farads::new(1500e-6),
    Farads::new(2200e-6),
    Farads::new(3300e-6),
    Farads::new(4700e-6),
    Farads::new(6800e-6),
    Farads::new(10_000e-6),
    Farads::new(15_000e-6),
    Farads::new(22_000e-6),
];

/// Rated voltages of aluminium electrolytics seen in stock (IEC 60384-4 and shelves, from memory).
pub const RATED_VOLTAGES: [Volts; 9] = [
    Volts::new(6.3),
    Volts::new(10.0),
    Volts::new(16.0),
    Volts::new(25.0),
    Volts::new(35.0),
    Volts::new(50.0),
    Volts::new(63.0),
    Volts::new(80.0),
    Volts::new(100.0),
];

/// The smallest stocked capacitor not below `value`; `None` if it takes more than one.
pub fn capacitor_at_least(value: Farads) -> Option<Farads> {
    BANK_CAPACITANCES.into_iter().find(|stocked| *stocked >= value * (1.0 - SAME))
}

/// The lowest stocked rated voltage not below `value`; `None` above 100 V.
pub fn rated_voltage_at_least(value: Volts) -> Option<Volts> {
    RATED_VOLTAGES.into_iter().find(|rated| *rated >= value * (1.0 - SAME))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn resistors_in_any_decade() {
        let ohms = Ohms::new;
        assert_eq!(Series::E12.at_least(ohms(1920.0)), Some(ohms(2200.0)));
        assert_eq!(Series::E12.at_least(ohms(880.0)), Some(ohms(1000.0)));
        assert_eq!(Series::E12.at_most(ohms(880.0)), Some(ohms(820.0)));
        assert_eq!(Series::E6.at_most(ohms(0.0999)), Some(ohms(0.068)));
        assert_eq!(Series::E24.nearest(ohms(300.4)), Some(ohms(300.0)));
        assert_eq!(Series::E24.nearest(ohms(4.9)), Some(ohms(5.1)));
        assert_eq!(Series::E6.at_least(ohms(6.9e6)), Some(ohms(10e6)));
    }

    #[test]
    fn a_preferred_value_is_its_own_neighbour() {
        for series in [Series::E6, Series::E12, Series::E24] {
            for decade in -3..7 {
                for tenths in series.decade() {
                    let value = Ohms::new(in_decade(*tenths, decade));
                    // Noise of arithmetic is forgiven.
                    for noisy in [value, value * (1.0 + 1e-12), value * (1.0 - 1e-12)] {
                        assert_eq!(series.at_least(noisy), Some(value));
                        assert_eq!(series.at_most(noisy), Some(value));
                        assert_eq!(series.nearest(noisy), Some(value));
                    }
                }
            }
        }
    }

    #[test]
    fn no_value_for_nonsense() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Series::E12.at_least(Ohms::new(value)), None, "{value}");
        }
    }

    #[test]
    fn bank_parts() {
        assert_eq!(capacitor_at_least(Farads::new(2300e-6)), Some(Farads::new(3300e-6)));
        assert_eq!(capacitor_at_least(Farads::new(0.0047)), Some(Farads::new(4700e-6)));
        assert_eq!(capacitor_at_least(Farads::new(0.03)), None);
        // 24 V DC with the working voltage at 80 % of the rating takes a 35 V part (common practice).
        assert_eq!(rated_voltage_at_least(Volts::new(24.0 / 0.8)), Some(Volts::new(35.0)));
        assert_eq!(rated_voltage_at_least(Volts::new(101.0)), None);
    }
}
