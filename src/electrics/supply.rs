//! What capacitors hold and supplies must give (textbook formulas).

use crate::units::{Amps, Coulombs, Farads, Joules, Ohms, VoltAmps, Volts};

/// Energy in a capacitor: W = ½·C·V².
pub fn stored_energy(capacitance: Farads, voltage: Volts) -> Joules {
    Joules::new(0.5 * capacitance.farads() * voltage.volts() * voltage.volts())
}

/// Energy a capacitor gives up between two voltages: W = ½·C·(V0² - V1²).
pub fn delivered_energy(capacitance: Farads, from: Volts, to: Volts) -> Joules {
    stored_energy(capacitance, from) - stored_energy(capacitance, to)
}

/// The capacitance that holds an energy at a voltage: C = 2·W/V². Infinite at zero voltage.
pub fn capacitance_for(energy: Joules, voltage: Volts) -> Farads {
    Farads::new(2.0 * energy.joules() / (voltage.volts() * voltage.volts()))
}

/// Charge in a capacitor: Q = C·V.
pub fn charge(capacitance: Farads, voltage: Volts) -> Coulombs {
    capacitance * voltage
}

/// Apparent power of a supply from rms values: S = U·I.
pub fn apparent_power(voltage: Volts, current: Amps) -> VoltAmps {
    VoltAmps::new(voltage.volts() * current.amps())
}

/// The current of an apparent power: I = S/U.
pub fn rated_current(rating: VoltAmps, voltage: Volts) -> Amps {
    Amps::new(rating.volt_amps() / voltage.volts())
}

/// What a supply must give for machines of which some move and the others hold:
/// n_moving·I_moving + n_still·I_still.
pub fn group_current(moving: u32, each_moving: Amps, still: u32, each_still: Amps) -> Amps {
    each_moving * f64::from(moving) + each_still * f64::from(still)
}

/// How a supply stands a load that lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SourceKind {
    /// Electronic, with a voltage that hardly falls and a limit of its own.
    Regulated,
    /// A winding, whose voltage falls with the load and which is heated by peaks.
    Transformer,
}

impl SourceKind {
    /// By how much its rating should exceed the load (common practice, no source).
    pub fn margin(self) -> f64 {
        match self {
            SourceKind::Regulated => 1.25,
            SourceKind::Transformer => 1.5,
        }
    }

    /// The rating to buy for a load that lasts.
    pub fn rating_for(self, load: Amps) -> Amps {
        load * self.margin()
    }
}

/// What a winding has in series by itself, from its voltages without and with its rated load:
/// R = (U0 − U)/I (textbook; resistive). Zero if it does not sag.
pub fn source_resistance(unloaded: Volts, rated: Volts, current: Amps) -> Ohms {
    ((unloaded - rated) / current).max(Ohms::new(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn energy_of_usual_banks() {
        // Computed from ½·C·V² in an independent note; joules rounded to a millijoule.
        for (micro, volts, joules) in [
            (1000.0, 16.0, 0.128),
            (2200.0, 24.0, 0.634),
            (4700.0, 21.2, 1.056),
            (4700.0, 24.0, 1.354),
            (4700.0, 35.0, 2.879),
            (10_000.0, 24.0, 2.880),
        ] {
            let (capacitance, voltage) = (Farads::new(micro * 1e-6), Volts::new(volts));
            let energy = stored_energy(capacitance, voltage);
            assert!((energy.joules() - joules).abs() < 6e-4, "{micro} µF at {volts} V");
            assert!((capacitance_for(energy, voltage) / capacitance - 1.0).abs() < 1e-12);
        }
    }

    #[test]
    fn energy_between_voltages() {
        // Textbook: half the voltage leaves a quarter of the energy.
        let (capacitance, full) = (Farads::new(0.01), Volts::new(24.0));
        let given = delivered_energy(capacitance, full, full / 2.0);
        assert!((given / stored_energy(capacitance, full) - 0.75).abs() < 1e-12);
        assert_eq!(charge(capacitance, full), Coulombs::new(0.24));
    }

    #[test]
    fn currents_and_powers() {
        assert_eq!(apparent_power(Volts::new(16.0), Amps::new(1.25)), VoltAmps::new(20.0));
        assert_eq!(rated_current(VoltAmps::new(20.0), Volts::new(16.0)), Amps::new(1.25));
        // Stall motors at 16 mA (computed): 24 take 0.38 A, 60 take 0.96 A, 200 take 3.2 A.
        for (motors, amps) in [(24, 0.384), (60, 0.96), (200, 3.2)] {
            let stalled = group_current(0, Amps::new(0.0), motors, Amps::new(0.016));
            assert!((stalled.amps() - amps).abs() < 1e-12);
        }
        let mixed = group_current(2, Amps::new(0.8), 10, Amps::new(0.01));
        assert!((mixed.amps() - 1.7).abs() < 1e-12);
    }

    #[test]
    fn ratings_and_sag() {
        assert_eq!(SourceKind::Regulated.rating_for(Amps::new(0.4)), Amps::new(0.5));
        assert!(SourceKind::Transformer.margin() > SourceKind::Regulated.margin());
        // By hand: 20 V without load, 16 V at 1 A.
        let sag = |unloaded| source_resistance(Volts::new(unloaded), Volts::new(16.0), Amps::new(1.0));
        assert_eq!((sag(20.0), sag(15.0)), (Ohms::new(4.0), Ohms::new(0.0)));
    }
}
