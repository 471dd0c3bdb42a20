//! Servos: how long a lead may be, and the capacitor that carries the surge of a start.

use crate::electrics::drop::longest_run;
use crate::units::{Amps, Farads, Length, OhmsPerMetre, Seconds, Volts};

/// The longest lead, one way, at whose end a servo still gets its lowest voltage:
/// l = (U − U_min)/(2·I·r). Zero if nothing may be lost.
pub fn longest_lead(at_strip: Volts, lowest: Volts, current: Amps, resistance: OhmsPerMetre) -> Length {
    longest_run((at_strip - lowest).max(Volts::new(0.0)), current, resistance)
}

/// The capacitance that gives a current for a time while its voltage sags: C = I·Δt/ΔV, from Q = C·V
/// (textbook). Infinite for no sag.
pub fn surge_capacitance(current: Amps, time: Seconds, sag: Volts) -> Farads {
    Farads::new((current * time).coulombs() / sag.volts())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::electrics::conductor::resistance_at_20;
    use crate::units::WireSize;

    const FOOT: f64 = 0.3048;

    #[test]
    fn lead_of_15_feet() {
        // A hobby-electronics thread: 6 V, 2.5 A, 15 ft: 4.07 V on AWG 24, 5.24 V on AWG 20.
        // Asked the other way round, these voltages allow 15 ft.
        for (gauge, left) in [(24, 4.07), (20, 5.24)] {
            let resistance = resistance_at_20(WireSize::Awg(gauge));
            let lead = longest_lead(Volts::new(6.0), Volts::new(left), Amps::new(2.5), resistance);
            assert!((lead.metres() / (15.0 * FOOT) - 1.0).abs() < 5e-3, "AWG {gauge}: {lead}");
        }
    }

    #[test]
    fn cables_of_100_feet() {
        // forum.allaboutcircuits.com thread 20701: 100 ft there and back at 5 V, 1 A
        // leave 4.2 V on AWG 16 and 4.5 V on AWG 14; 36 V, 3 A leave 34.5 V on AWG 14, 35 V on AWG 12.
        for (supply, current, gauge, left) in
            [(5.0, 1.0, 16, 4.2), (5.0, 1.0, 14, 4.5), (36.0, 3.0, 14, 34.49), (36.0, 3.0, 12, 35.05)]
        {
            let resistance = resistance_at_20(WireSize::Awg(gauge));
            let lead = longest_lead(Volts::new(supply), Volts::new(left), Amps::new(current), resistance);
            assert!((lead.metres() / (100.0 * FOOT) - 1.0).abs() < 0.02, "AWG {gauge}: {lead}");
        }
    }

    #[test]
    fn nothing_to_lose_allows_no_lead() {
        let lead = longest_lead(
            Volts::new(4.4),
            Volts::new(4.5),
            Amps::new(0.7),
            resistance_at_20(WireSize::mm2(0.5)),
        );
        assert_eq!(lead, Length::new(0.0));
    }

    #[test]
    fn capacitor_for_a_surge() {
        // Textbook, Q = C·V: 1 A for 1 ms out of 1000 µF costs 1 V.
        let c = surge_capacitance(Amps::new(1.0), Seconds::new(1e-3), Volts::new(1.0));
        assert!((c.farads() - 1000e-6).abs() < 1e-12);
        // 470 to 1000 µF at a group of servos is what builders fit (common practice, from memory): one
        // micro servo of 0.7 A for half a millisecond and half a volt lies in that range.
        let c = surge_capacitance(Amps::new(0.7), Seconds::new(0.5e-3), Volts::new(0.5));
        assert!((470e-6..=1000e-6).contains(&c.farads()), "{c}");
    }
}
