//! Evidence about the circuit as it is drawn, gathered without trusting how it was made.
//!
//! [`prove`] puts every turnout into every position that matters and follows the metal from the
//! track supply to each rail; [`sides::joined`] looks for a way between the track and accessory
//! circuits. Both read the netlist alone, so that a mistake in it shows, whoever made it.

mod blame;
mod component;
mod conductors;
mod fault;
mod rails;
mod roads;
pub mod sides;
mod state;
mod transit;
mod when;

#[cfg(test)]
mod tests;

pub use component::MOST_TOGETHER;
pub use conductors::{Node, Step, Via};
pub use fault::{Culprit, Fault, Misused, RailProof, Sampled};
pub use rails::prove;
pub use state::{FrogState, Positions, State};
pub use transit::{Bridged, Moving, bridged, moving};
pub use when::When;

#[cfg(test)]
pub(crate) use tests::ladder;
