//! What a circuit does over time: modified nodal analysis with an implicit Runge–Kutta method.
//!
//! A [`Network`] is made of resistors, coils, capacitors, diodes, switches and sources between nodes.
//! [`Network::simulate`] lets it run from the state at the start and gives a [`Transient`], which
//! answers what is asked of it: peaks, energies, times. [`Network::steady`] gives the state that sources
//! of direct current lead to in the end.
//!
//! **Method.** Elements in series with nothing between them are drawn together into branches, each
//! a resistance, an inductance, a capacitance and a source in series (`branches`). Node voltages and
//! the currents of branches without impedance are the unknowns of Kirchhoff's laws. Time is stepped by
//! the singly diagonally implicit method of order 4 with an embedded one of order 3 (`tableau`): L-stable, so
//! that leaks and tiny inductances do no harm, and one factorisation serves a whole step. The step
//! follows the estimated error (`step`, `march`). Diodes are two straight lines; where one begins or ceases
//! to conduct is found as an event in time, and the step ends there (`gates`).
//!
//! **How exact it is.** With the usual accuracy a discharge agrees with its closed form within two in a
//! hundred thousand, and energy is kept as well (`tests`); with ngspice on 46 circuits of a layout's
//! supply within 0.3 % (`tests/transient_reference.rs`), most of which is due to the corners that the deck
//! rounds and to the steps of ngspice.
//!
//! **A current that is cut off** without a diode to take it over flows through the open contact's
//! [`LEAK`], at a voltage that means nothing but that it is large. [`Transient::heat_in`] then gives the
//! contact the coil's energy, which in truth an arc would have.
//!
//! **What it does not know**: magnetic saturation, inductance that changes with a moving core, heating
//! during the pulse, the stray capacitance of anything.

mod branches;
mod course;
mod gates;
mod march;
mod network;
mod solve;
mod step;
mod tableau;
#[cfg(test)]
mod tests;
mod trace;

pub use network::{Element, ElementId, GROUND, LEAK, Network, Node, Placed, Wave};
pub use trace::{Steady, Transient};

use crate::units::Seconds;

/// Why a network has no solution.
#[derive(Clone, Debug, PartialEq)]
pub enum SolveError {
    /// No element leads from this node to ground, not even through others.
    Floating { node: String },
    /// This element closes a ring of parts without any resistance.
    Ring { element: String },
    /// A value is not finite, or negative, or zero where it cannot be.
    Value { element: String },
    /// The diodes find no state that fits, at this time.
    Undecided { time: Seconds },
    /// The steps became too many before the end, at this time.
    TooManySteps { time: Seconds },
}

impl std::fmt::Display for SolveError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            SolveError::Floating { node } => write!(f, "nothing leads from {node} to ground"),
            SolveError::Ring { element } => {
                write!(f, "{element} closes a ring of parts without any resistance")
            }
            SolveError::Value { element } => write!(f, "{element} has an impossible value"),
            SolveError::Undecided { time } => write!(f, "the diodes find no state that fits, at {time}"),
            SolveError::TooManySteps { time } => write!(f, "too many steps, stopped at {time}"),
        }
    }
}

impl std::error::Error for SolveError {}

/// How exactly to step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accuracy {
    /// The error of one step, as a share of the largest voltage or current so far.
    pub relative: f64,
    /// No step is longer than this share of the whole.
    pub longest_step: f64,
}

impl Default for Accuracy {
    /// Good for one in a hundred thousand over a whole discharge.
    fn default() -> Self {
        Accuracy { relative: 1e-6, longest_step: 0.05 }
    }
}

impl Network {
    /// Runs from the start until `until`, with the usual accuracy.
    pub fn simulate(&self, until: Seconds) -> Result<Transient, SolveError> {
        self.simulate_to(until, Accuracy::default())
    }

    /// Runs from the start until `until`.
    pub fn simulate_to(&self, until: Seconds, accuracy: Accuracy) -> Result<Transient, SolveError> {
        march::run(self, until.seconds(), accuracy)
    }

    /// Where the network comes to rest with its sources as they are at the start: capacitors carry no
    /// current, inductances no voltage.
    pub fn steady(&self) -> Result<Steady, SolveError> {
        march::steady(self)
    }
}
