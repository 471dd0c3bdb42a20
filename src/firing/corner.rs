//! The corners: how far values stray from what is printed, all in the same bad direction at once.

use crate::drives::sizing::{Needs, typical};
use crate::electrics::conductor::COPPER_PER_KELVIN;
use crate::parse::Solenoid;
use crate::units::{Celsius, Farads, Henries, Ohms, Volts};

/// In which direction everything strays.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Corner {
    /// Whatever weakens the pulse: capacitor −20 % and old, supply −10 %, coils and wires hot, contacts
    /// and joints poor.
    Weak,
    /// Whatever strengthens it: supply unloaded and mains +10 %, capacitor +20 %, coils and wires cold,
    /// contacts and joints perfect.
    Strong,
}

/// Tolerance of ordinary electrolytics (from memory).
const CAPACITOR: (f64, f64) = (0.8, 1.2);
/// Their series resistance when old or cold, and at its best (from memory).
const ESR: (f64, f64) = (2.0, 0.5);
/// A screw or solder joint, by its end (from memory).
const JOINT: (f64, f64) = (0.010, 0.001);
/// A jumper from terminal to terminal, both ends together (from memory).
const JUMPER: (f64, f64) = (0.005, 0.001);
/// A closed contact (from memory; makers name 20 to 50 mΩ when new).
const CONTACT: (f64, f64) = (0.050, 0.010);
/// A coil is warmer than the air after a few throws (common practice, no source).
const COIL_RISE: f64 = 20.0;
/// A silicon diode in two straight lines, forward voltage and slope, at some amperes (from memory).
const DIODE: ((f64, f64), (f64, f64)) = ((0.9, 0.1), (0.6, 0.02));
impl Corner {
    fn of(self, (weak, strong): (f64, f64)) -> f64 {
        match self {
            Corner::Weak => weak,
            Corner::Strong => strong,
        }
    }

    pub fn capacitance(self, printed: Farads) -> Farads {
        printed * self.of(CAPACITOR)
    }

    pub fn esr(self, ordinary: Ohms) -> Ohms {
        ordinary * self.of(ESR)
    }

    pub fn joint(self) -> Ohms {
        Ohms::new(self.of(JOINT))
    }

    pub fn jumper(self) -> Ohms {
        Ohms::new(self.of(JUMPER))
    }

    pub fn contact(self) -> Ohms {
        Ohms::new(self.of(CONTACT))
    }

    /// Forward voltage and slope of a diode.
    pub fn diode(self) -> (Volts, Ohms) {
        let (forward, slope) = match self {
            Corner::Weak => DIODE.0,
            Corner::Strong => DIODE.1,
        };
        (Volts::new(forward), Ohms::new(slope))
    }

    /// Of the wires.
    pub fn temperature(self, ambient: (Celsius, Celsius)) -> Celsius {
        match self {
            Corner::Weak => ambient.1,
            Corner::Strong => ambient.0,
        }
    }

    /// How much longer a wire may be than a length that stands in for one that was not given.
    pub fn typical_length(self) -> f64 {
        self.of((typical::LENGTH, 1.0 / typical::LENGTH))
    }

    /// Resistance and inductance of a coil; `typical` are the keys for which a typical figure stands in.
    pub fn coil(self, typical: &[&str], model: &Solenoid, ambient: (Celsius, Celsius)) -> (Ohms, Henries) {
        let widened = |key: &str, by: f64| if typical.contains(&key) { by } else { 1.0 };
        let (coil, inductance) = (widened("coil", typical::COIL), widened("inductance", typical::INDUCTANCE));
        let rise = self.temperature(ambient).degrees() - 20.0 + self.of((COIL_RISE, 0.0));
        let resistance = model.coil * (1.0 + COPPER_PER_KELVIN * rise);
        (resistance * self.of((coil, 1.0 / coil)), model.inductance * self.of((inductance, 1.0 / inductance)))
    }
}

/// What a drive needs, more where typical figures stand in for its own.
pub fn needs(typical: &[&str], model: &Solenoid) -> Needs {
    let widened = |key: &str| if typical.contains(&key) { typical::NEED } else { 1.0 };
    Needs {
        energy: model.energy * widened("energy"),
        current: model.current * widened("current"),
        time: model.pulse,
    }
}
