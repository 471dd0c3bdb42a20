//! What a rectifier makes of a sine voltage.

use std::f64::consts::{PI, SQRT_2};

use crate::units::{VoltAmps, Volts};

/// Forward drop of one silicon diode (textbook value).
pub const DIODE_DROP: Volts = Volts::new(0.7);

/// Peak of a sine voltage: Vp = √2·V.
pub fn sine_peak(rms: Volts) -> Volts {
    rms * SQRT_2
}

/// The ways to rectify a two-wire supply (standard textbook circuits).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rectifier {
    HalfWave,
    Bridge,
    /// Full-wave doubler: two diodes, two capacitors.
    Doubler,
}

impl Rectifier {
    /// The drops of all diodes in the way of the output voltage.
    pub fn drop(self) -> Volts {
        match self {
            Rectifier::HalfWave => DIODE_DROP,
            Rectifier::Bridge | Rectifier::Doubler => DIODE_DROP * 2.0,
        }
    }

    /// The voltage to which a capacitor charges without load: Vp - 0.7, Vp - 1.4, 2·(Vp - 0.7).
    pub fn peak_output(self, rms: Volts) -> Volts {
        let peak = match self {
            Rectifier::HalfWave | Rectifier::Bridge => sine_peak(rms),
            Rectifier::Doubler => sine_peak(rms) * 2.0,
        };
        (peak - self.drop()).max(Volts::new(0.0))
    }

    /// The mean without a capacitor and with ideal diodes: Vp/π, 2·Vp/π. A doubler works only with its
    /// capacitors, so it has none.
    pub fn mean_output(self, rms: Volts) -> Option<Volts> {
        match self {
            Rectifier::HalfWave => Some(sine_peak(rms) / PI),
            Rectifier::Bridge => Some(sine_peak(rms) * (2.0 / PI)),
            Rectifier::Doubler => None,
        }
    }

    /// The reverse voltage each diode must stand with a capacitor at the output: 2·Vp for the half-wave
    /// rectifier and the doubler, Vp for the bridge.
    pub fn peak_inverse(self, rms: Volts) -> Volts {
        match self {
            Rectifier::HalfWave | Rectifier::Doubler => sine_peak(rms) * 2.0,
            Rectifier::Bridge => sine_peak(rms),
        }
    }
}

/// How a safety transformer survives a short circuit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShortCircuit {
    /// By its own winding.
    InherentlyProof,
    /// By a fuse or cut-out, or not at all.
    NotInherentlyProof,
}

/// The most by which IEC 61558-2-6 lets the unloaded voltage exceed the rated one, as a factor
/// (1.5 for 50 %). From memory. The mains' own tolerance comes on top.
pub fn greatest_unloaded_factor(rating: VoltAmps, short_circuit: ShortCircuit) -> f64 {
    const PROOF: [(f64, f64); 2] = [(63.0, 2.0), (630.0, 1.5)];
    const NOT_PROOF: [(f64, f64); 5] = [(10.0, 2.0), (25.0, 1.5), (63.0, 1.2), (250.0, 1.15), (630.0, 1.1)];
    let (rows, above): (&[(f64, f64)], f64) = match short_circuit {
        ShortCircuit::InherentlyProof => (&PROOF, 1.5),
        ShortCircuit::NotInherentlyProof => (&NOT_PROOF, 1.05),
    };
    rows.iter().find(|(up_to, _)| rating.volt_amps() <= *up_to).map_or(above, |(_, factor)| *factor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_near(actual: Volts, expected: f64, volts: f64) {
        assert!((actual.volts() - expected).abs() <= volts, "{actual} is not near {expected} V");
    }

    #[test]
    fn sine_supplies() {
        // Standard textbook formulas: rms, Vp, half-wave, bridge, doubler, means without capacitor.
        for (rms, peak, half, bridge, doubler, mean_half, mean_bridge) in [
            (12.0, 16.97, 16.27, 15.57, 32.54, 5.40, 10.80),
            (15.0, 21.21, 20.51, 19.81, 41.03, 6.75, 13.51),
            (16.0, 22.627, 21.93, 21.23, 43.86, 7.20, 14.41),
            (18.0, 25.46, 24.76, 24.06, 49.51, 8.10, 16.21),
            (24.0, 33.94, 33.24, 32.54, 66.48, 10.80, 21.61),
        ] {
            let rms = Volts::new(rms);
            assert_near(sine_peak(rms), peak, 0.006);
            assert_near(Rectifier::HalfWave.peak_output(rms), half, 0.006);
            assert_near(Rectifier::Bridge.peak_output(rms), bridge, 0.006);
            assert_near(Rectifier::Doubler.peak_output(rms), doubler, 0.006);
            assert_near(Rectifier::HalfWave.mean_output(rms).unwrap(), mean_half, 0.006);
            assert_near(Rectifier::Bridge.mean_output(rms).unwrap(), mean_bridge, 0.006);
        }
    }

    #[test]
    fn mean_by_nem_630() {
        // NEM 630 (1982): meter factor of full-wave rectified traction current 0.90 of the rms value.
        let rms = Volts::new(10.0);
        assert_near(Rectifier::Bridge.mean_output(rms).unwrap(), 9.0, 0.01);
        assert_eq!(Rectifier::Doubler.mean_output(rms), None);
    }

    #[test]
    fn posed_problem_of_peak_inverse() {
        // expertsmind.com 30143705: half-wave with capacitor, 16.7 V peak, 0.7 V diode. The exact reverse
        // voltage is 16.7 + 16.0 = 32.7 V; ours leaves the helpful drop out.
        let rms = Volts::new(16.7 / SQRT_2);
        assert_near(Rectifier::HalfWave.peak_inverse(rms) - DIODE_DROP, 32.7, 1e-9);
        assert_near(Rectifier::Bridge.peak_inverse(rms), 16.7, 1e-9);
    }

    #[test]
    fn a_voltage_below_the_drops_gives_nothing() {
        assert_eq!(Rectifier::Bridge.peak_output(Volts::new(0.5)), Volts::new(0.0));
    }

    #[test]
    fn unloaded_rise() {
        // IEC 61558-2-6, from memory.
        let factor = |rating, kind| greatest_unloaded_factor(VoltAmps::new(rating), kind);
        use ShortCircuit::{InherentlyProof, NotInherentlyProof};
        for (rating, proof, not_proof) in
            [(10.0, 2.0, 2.0), (20.0, 2.0, 1.5), (63.0, 2.0, 1.2), (100.0, 1.5, 1.15), (700.0, 1.5, 1.05)]
        {
            assert_eq!(factor(rating, InherentlyProof), proof);
            assert_eq!(factor(rating, NotInherentlyProof), not_proof);
        }
    }
}
