//! A capacitor bank that fires one coil or several at once.

use std::f64::consts::TAU;

use crate::electrics::discharge::Discharge;
use crate::units::{Farads, Henries, Ohms, Volts};

/// A charged bank and what all its coils share.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bank {
    pub voltage: Volts,
    pub capacitance: Farads,
    /// The capacitor's equivalent series resistance.
    pub esr: Ohms,
    /// The wire that carries all the coils' currents together.
    pub common_return: Ohms,
}

/// A coil and the wire that is its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coil {
    pub resistance: Ohms,
    pub inductance: Henries,
    pub feed: Ohms,
}

impl Bank {
    /// The discharge each of `together` like coils sees when all are fired at once.
    ///
    /// By symmetry all carry the same i, and the shared parts carry N·i. Kirchhoff's voltage law round
    /// one coil's loop, and the bank's balance:
    ///
    /// v = L·di/dt + (R_coil + R_feed)·i + (R_return + ESR)·N·i,  C·dv/dt = -N·i
    ///
    /// which is a single discharge with R = R_coil + R_feed + N·(R_return + ESR) and the capacitance C/N.
    ///
    /// `None` for no coils, or as for [`Discharge::new`].
    pub fn discharge_per_coil(&self, coil: Coil, together: u32) -> Option<Discharge> {
        let n = f64::from(together);
        let resistance = coil.resistance + coil.feed + (self.common_return + self.esr) * n;
        if together == 0 {
            return None;
        }
        Discharge::new(self.voltage, resistance, coil.inductance, self.capacitance / n)
    }
}

/// Equivalent series resistance of an ordinary 105 °C electrolytic: tan δ/(2π·f·C) at f = 120 Hz.
///
/// tan δ by rated voltage 0.16 (16 V) to 0.09 (63 V), plus 0.02 per 1000 µF above 1000 µF: usual
/// catalogue figures, from memory, as are those for 6.3, 10, 80 and 100 V.
pub fn electrolytic_esr(capacitance: Farads, rated: Volts) -> Ohms {
    const LOSS: [(f64, f64); 8] = [
        (100.0, 0.08),
        (63.0, 0.09),
        (50.0, 0.10),
        (35.0, 0.12),
        (25.0, 0.14),
        (16.0, 0.16),
        (10.0, 0.19),
        (0.0, 0.22),
    ];
    let row = LOSS.iter().find(|(from, _)| rated.volts() >= *from);
    let above_1000 = (capacitance.farads() - 1000e-6).max(0.0) / 1000e-6;
    let loss = row.map_or(0.22, |(_, loss)| *loss) + 0.02 * above_1000;
    Ohms::new(loss / (TAU * 120.0 * capacitance.farads()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::conductor::resistance_at_20;
    use crate::units::{Length, Seconds, WireSize};

    #[test]
    fn shared_return_weakens_each_coil() {
        // Computed from I = V/(R + r_feed + N·r_return): 24 V, 4 Ω coils, 5 m feeds and 5 m of return.
        let wire = |count| {
            let size = WireSize::Strands { count, diameter: Length::from_mm(0.2) };
            resistance_at_20(size) * Length::new(5.0)
        };
        for (feed, shared, currents) in [
            (7, 7, [(1, 5.02), (2, 4.64), (3, 4.31), (6, 3.56)]),
            (16, 16, [(1, 5.53), (2, 5.32), (3, 5.12), (6, 4.62)]),
            (16, 32, [(1, 5.64), (2, 5.53), (3, 5.42), (6, 5.12)]),
        ] {
            let bank = Bank {
                voltage: Volts::new(24.0),
                capacitance: Farads::new(4700e-6),
                esr: Ohms::new(0.0),
                common_return: wire(shared),
            };
            let coil = Coil { resistance: Ohms::new(4.0), inductance: Henries::new(0.0), feed: wire(feed) };
            for (together, amps) in currents {
                let discharge = bank.discharge_per_coil(coil, together).unwrap();
                let first = discharge.current_at(Seconds::new(0.0)).amps();
                assert!((first - amps).abs() < 0.006, "{together} coils: {first} A");
            }
        }
    }

    #[test]
    fn coils_divide_the_time_constant_and_the_energy() {
        let bank = Bank {
            voltage: Volts::new(24.0),
            capacitance: Farads::new(10_000e-6),
            esr: Ohms::new(0.0),
            common_return: Ohms::new(0.0),
        };
        let coil = Coil { resistance: Ohms::new(4.0), inductance: Henries::new(0.0), feed: Ohms::new(0.0) };
        let [one, four] = [1, 4].map(|n| bank.discharge_per_coil(coil, n).unwrap());
        assert!((four.energy_in(coil.resistance) / one.energy_in(coil.resistance) - 0.25).abs() < 1e-12);
        // After RC of one coil, 40 ms, one is at 1/e and four are at 1/e⁴.
        let after = Seconds::new(0.04);
        assert!((one.current_at(after).amps() - 6.0 * (-1f64).exp()).abs() < 1e-9);
        assert!((four.current_at(after).amps() - 6.0 * (-4f64).exp()).abs() < 1e-9);
        assert_eq!(bank.discharge_per_coil(coil, 0), None);
    }

    #[test]
    fn esr_of_ordinary_electrolytics() {
        // Computed from usual catalogue loss factors at 120 Hz.
        for (micro, rated, ohms) in
            [(2200.0, 35.0, 0.087), (4700.0, 25.0, 0.060), (4700.0, 35.0, 0.055), (10_000.0, 35.0, 0.040)]
        {
            let esr = electrolytic_esr(Farads::new(micro * 1e-6), Volts::new(rated)).ohms();
            assert!((esr - ohms).abs() < 0.000_6, "{micro} µF {rated} V: {esr}");
        }
    }
}
