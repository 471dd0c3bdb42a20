//! Rails as conductors between their droppers.

use crate::units::{Length, Ohms, OhmsPerMetre};

/// Nickel silver, code 100: 1.45 milliohms per inch, 57 mΩ/m, as measured by an amateur
/// (new.w8ji.com/?p=298). The one figure there is; others from memory are no better.
pub const NICKEL_SILVER_CODE_100: OhmsPerMetre = OhmsPerMetre::new(1.45e-3 / 0.0254);

/// Nickel silver of small sections, code 55 to 80: 90 mΩ/m (a judgement, no source).
pub const NICKEL_SILVER_SMALL: OhmsPerMetre = OhmsPerMetre::new(0.090);

/// A clean rail joiner or solder joint (common practice, no source).
pub const JOINT: Ohms = Ohms::new(0.01);

/// An allowance by gauge: up to 12 mm small sections are usual, above it code 100 (a judgement).
pub fn nickel_silver(gauge: Length) -> OhmsPerMetre {
    if gauge.mm() <= 12.0 { NICKEL_SILVER_SMALL } else { NICKEL_SILVER_CODE_100 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::conductor::resistance_at_20;
    use crate::units::WireSize;

    const FOOT: f64 = 0.3048;

    #[test]
    fn as_published_beside_copper() {
        // new.w8ji.com/?p=298: 10 ft of AWG 16 copper is slightly below 2.5 ft of nickel
        // silver; 39.6 against 43.5 milliohms with its figure for copper of 0.33 milliohm per inch.
        let silver = NICKEL_SILVER_CODE_100 * Length::new(2.5 * FOOT);
        assert!((silver.ohms() - 0.0435).abs() < 1e-5, "{silver}");
        let copper = resistance_at_20(WireSize::Awg(16)) * Length::new(10.0 * FOOT);
        assert!(copper < silver);
        assert!((copper.ohms() / 0.0396 - 1.0).abs() < 0.05, "{copper}");
    }

    #[test]
    fn resistivity_is_that_of_nickel_silver() {
        // Nickel silver has 0.28 to 0.35 Ω·mm²/m (from memory). 57 mΩ/m then takes 4.9 to 6.1 mm², a bit
        // more than the section of rail 2.5 mm high; so the figure errs, if at all, to the light side.
        for (resistivity, area) in [(0.28, 4.9), (0.35, 6.13)] {
            assert!((resistivity / NICKEL_SILVER_CODE_100.ohms_per_metre() - area).abs() < 0.02);
        }
        assert!(NICKEL_SILVER_SMALL > NICKEL_SILVER_CODE_100);
    }
}
