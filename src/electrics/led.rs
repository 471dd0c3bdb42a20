//! The resistor in series with light-emitting diodes.

use crate::electrics::preferred::Series;
use crate::units::{Amps, Ohms, Volts, Watts};

/// A series resistor and what it does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LedResistor {
    /// The preferred value, rounded up so that the current is not exceeded.
    pub resistance: Ohms,
    /// The current it really lets through.
    pub current: Amps,
    /// The power it turns to heat.
    pub power: Watts,
}

/// The resistor of E12 for `count` diodes in series; see [`series_resistor_of`].
pub fn series_resistor(supply: Volts, forward: Volts, count: u32, current: Amps) -> Option<LedResistor> {
    series_resistor_of(Series::E12, supply, forward, count, current)
}

/// The resistor for `count` diodes in series: R = (U - n·Uf)/I, then P = I²·R (textbook).
///
/// `None` if the supply does not exceed the diodes' forward voltages, or the current is not positive.
pub fn series_resistor_of(
    series: Series,
    supply: Volts,
    forward: Volts,
    count: u32,
    current: Amps,
) -> Option<LedResistor> {
    let over = supply - forward * f64::from(count);
    if over.volts() <= 0.0 || current.amps() <= 0.0 {
        return None;
    }
    let resistance = series.at_least(over / current)?;
    let current = over / resistance;
    Some(LedResistor { resistance, current, power: over * current })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn usual_supplies() {
        // Computed from the formula, E12 by IEC 60063: supply, forward voltage, resistor at 10 mA.
        for (supply, forward, ohms) in [
            (5.0, 2.0, 330.0),
            (12.0, 2.0, 1000.0),
            (12.0, 3.2, 1000.0),
            (16.0, 2.0, 1500.0),
            (21.2, 2.0, 2200.0),
            (24.0, 2.0, 2200.0),
        ] {
            let led = series_resistor(Volts::new(supply), Volts::new(forward), 1, Amps::new(0.01)).unwrap();
            assert_eq!(led.resistance, Ohms::new(ohms), "{supply} V");
            assert!(led.current.amps() <= 0.01 + 1e-12);
        }
    }

    #[test]
    fn power_and_refusal() {
        let led = series_resistor(Volts::new(12.0), Volts::new(2.0), 1, Amps::new(0.01)).unwrap();
        assert!((led.power.watts() - 0.1).abs() < 1e-12);
        assert_eq!(series_resistor(Volts::new(5.0), Volts::new(2.0), 3, Amps::new(0.01)), None);
        assert_eq!(series_resistor(Volts::new(5.0), Volts::new(2.0), 1, Amps::new(0.0)), None);
    }
}
