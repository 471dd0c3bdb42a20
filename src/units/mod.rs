//! Quantities with their units in the type, so that no bare `f64` volts cross a function boundary.
//!
//! A quantity is made from a number in its SI unit (`Volts::new(12.0)`) or from what people write
//! (`Volts::parse("12 V")`), read back in its SI unit (`v.volts()`), and printed in engineering
//! form (`"4700 µF"`, `"350 mm"`). Arithmetic between quantities exists where Ohm's law and its
//! kin need it and nowhere else.

mod quantity;
mod reading;
#[cfg(test)]
mod tests;
mod wire_size;
mod writing;

pub use quantity::{Quantity, QuantityError};
pub use wire_size::WireSize;

use quantity::{product, quantity};

quantity!(Volts, volts, "V", "a voltage", "12 V", engineering);
quantity!(Amps, amps, "A", "a current", "500 mA", engineering);
quantity!(Ohms, ohms, "Ω", "a resistance", "4.5 ohm", engineering);
quantity!(Farads, farads, "F", "a capacitance", "4700 uF", capacitance);
quantity!(Henries, henries, "H", "an inductance", "8 mH", engineering);
quantity!(Joules, joules, "J", "an energy", "0.5 J", engineering);
quantity!(Watts, watts, "W", "a power", "5 W", engineering);
quantity!(VoltAmps, volt_amps, "VA", "an apparent power", "20 VA", engineering);
quantity!(Seconds, seconds, "s", "a time", "2 s", engineering);
quantity!(Length, metres, "m", "a length", "350 mm", millimetres);
quantity!(Celsius, degrees, "°C", "a temperature", "25 degC", plain);
quantity!(Angle, degrees, "°", "an angle", "15 deg", plain);
quantity!(OhmsPerMetre, ohms_per_metre, "Ω/m", "a resistance per length", "39 ohm/km", engineering);
quantity!(Area, mm2, "mm²", "a cross-section", "0.5 mm2", plain);
quantity!(Coulombs, coulombs, "C", "a charge", "100 mC", engineering);
quantity!(JouleIntegral, amps_squared_seconds, "A²s", "a Joule integral", "0.3 A2s", engineering);

product!(Amps * Ohms = Volts);
product!(Volts * Amps = Watts);
product!(Farads * Ohms = Seconds);
product!(OhmsPerMetre * Length = Ohms);
product!(Watts * Seconds = Joules);
product!(Farads * Volts = Coulombs);
product!(Amps * Seconds = Coulombs);

impl Area {
    /// A cross-section given in square millimetres, the unit of wires (and the one it is held in).
    pub const fn from_mm2(mm2: f64) -> Self {
        Self::new(mm2)
    }
}

impl Length {
    /// A length given in millimetres, the unit of boards and sheets.
    pub const fn from_mm(mm: f64) -> Self {
        Self::new(mm / 1000.0)
    }

    /// This length in millimetres.
    pub const fn mm(self) -> f64 {
        self.metres() * 1000.0
    }
}
