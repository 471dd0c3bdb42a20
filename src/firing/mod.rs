//! Fires the circuit in simulation: will every coil of every control throw, in the worst case?
//!
//! The simulated network is built from the netlist and its wires, so that what is simulated is what is
//! drawn: every wire with its length and size, every joint, contact and diode in the way, every coil that
//! one control fires together (`mesh`). For each control it is cut down to what carries current, its
//! values are set for a [`Corner`], and the transient solver does the rest (`shot`).
//!
//! [`choose`] finds the smallest bank and the wires with which every coil has what it needs, [`fire`]
//! fires the circuit as it stands and keeps what the sheets show. [`Bare`] does the same for coils of which
//! there is no circuit yet.

mod banks;
mod bare;
mod choose;
mod corner;
mod margins;
mod mesh;
mod remedy;
mod shot;
#[cfg(test)]
mod tests;

pub use crate::drives::sizing::{MARGIN, Shot};
pub use bare::{Bare, BareShot, Values};
pub use choose::choose;
pub use corner::Corner;
pub use margins::Least;
pub use shot::Curves;

use crate::circuit::{Circuit, PartId};
use crate::drives::Plan;
use crate::drives::sizing::Sizing;
use crate::electrics::transient::{ElementId, Network};
use crate::hardware::Wiring;
use crate::parse::{BarId, Document};
use crate::track::Position;
use crate::units::Seconds;
use mesh::Mesh;
use shot::Fireable;

/// The simulated firing of a finished circuit; of no units if it has none.
#[derive(Clone, Debug, Default)]
pub struct Firing {
    pub units: Vec<Unit>,
}

/// One discharge unit with everything that can discharge it.
#[derive(Clone, Debug)]
pub struct Unit {
    pub capacitor: PartId,
    /// Every control in both positions.
    pub shots: Vec<Shot>,
    /// Of these the one with the lowest margin.
    pub worst: usize,
    /// Its course in the weakest corner.
    pub curves: Curves,
    /// What was solved for that, to be given to other programs.
    pub case: Case,
}

/// A network and how long it was run.
#[derive(Clone, Debug)]
pub struct Case {
    pub network: Network,
    pub until: Seconds,
    /// The coils that are fired, each with its element.
    pub coils: Vec<(BarId, Position, ElementId)>,
}

impl Unit {
    pub fn worst(&self) -> &Shot {
        &self.shots[self.worst]
    }
}

/// Fires everything that the circuit can fire. Without a discharge unit, or one that nothing fires, the
/// result is empty.
pub fn fire(document: &Document, plan: &Plan, sizing: &Sizing, circuit: &Circuit, wiring: &Wiring) -> Firing {
    let Some(bank) = sizing.bank() else {
        return Firing::default();
    };
    let Some(mesh) = Mesh::of(document, plan, circuit, wiring) else { return Firing::default() };
    let range = Fireable::new(document, &mesh);
    let trial = range.trial(bank, &[]);
    let shots: Vec<Shot> = range.triggers().map(|trigger| range.fire(trigger, &trial)).collect();
    let Some(worst) = shot::worst(&shots) else { return Firing::default() };
    let (curves, case) = range.look_closely(shots[worst].trigger, &trial);
    Firing { units: vec![Unit { capacitor: mesh.capacitor(), shots, worst, curves, case }] }
}
