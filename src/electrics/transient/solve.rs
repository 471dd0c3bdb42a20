//! Kirchhoff's laws at one instant of a step, as a system of linear equations.
//!
//! Over a stage of length g each branch is its resistance with the impedance of its inductance and
//! capacitance for an implicit Euler step, L/g + g/C, and a source that holds what they bring along. A
//! branch with some impedance Z gives 1/Z to the matrix of node voltages; one without, a row of its own in
//! which its current is unknown (modified nodal analysis; Ho, Ruehli & Brennan 1975).

use nalgebra::{DMatrix, DVector, Dyn, LU};

use super::branches::{Branch, Gate};
use super::network::LEAK;

/// What a branch keeps from moment to moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct State {
    /// Through its inductance; of no meaning without one.
    pub current: f64,
    /// On its capacitor.
    pub charge_voltage: f64,
}

/// What the equations give.
#[derive(Clone, Debug, Default)]
pub struct Solution {
    /// By node, ground first.
    pub voltages: Vec<f64>,
    /// By branch.
    pub currents: Vec<f64>,
}

/// The factorised equations for one length of stage and one state of the gates.
pub struct Equations {
    stage: f64,
    nodes: usize,
    /// The place of a branch without impedance among the unknowns.
    rows: Vec<Option<usize>>,
    impedances: Vec<f64>,
    /// The voltage of each branch without current.
    held: Vec<f64>,
    factors: LU<f64, Dyn, Dyn>,
    right: DVector<f64>,
}

/// Less impedance than this counts as none: below it a conductance would drown the others'.
const NO_IMPEDANCE: f64 = 1e-7;

impl Equations {
    /// `conducts` by branch.
    pub fn new(branches: &[Branch], nodes: usize, stage: f64, conducts: &[bool]) -> Equations {
        let mut equations = Equations {
            stage,
            nodes,
            rows: Vec::with_capacity(branches.len()),
            impedances: Vec::with_capacity(branches.len()),
            held: Vec::with_capacity(branches.len()),
            factors: DMatrix::zeros(0, 0).lu(),
            right: DVector::zeros(0),
        };
        equations.set(branches, stage, conducts);
        equations
    }

    pub fn stage(&self) -> f64 {
        self.stage
    }

    /// Makes them anew for another stage or other gates.
    pub fn set(&mut self, branches: &[Branch], stage: f64, conducts: &[bool]) {
        self.stage = stage;
        self.impedances.clear();
        self.rows.clear();
        let mut size = self.nodes - 1;
        for (b, conducts) in branches.iter().zip(conducts) {
            let z = match conducts {
                true => b.resistance + b.inductance / stage + b.elastance * stage,
                false => LEAK.ohms(),
            };
            self.impedances.push(z);
            self.rows.push((z < NO_IMPEDANCE).then_some(size));
            size += usize::from(z < NO_IMPEDANCE);
        }
        let mut matrix = DMatrix::zeros(size, size);
        for ((branch, z), row) in branches.iter().zip(&self.impedances).zip(&self.rows) {
            let ends = [(branch.from, 1.0), (branch.to, -1.0)];
            match row {
                Some(row) => {
                    for (node, sign) in ends.into_iter().filter(|(node, _)| *node > 0) {
                        matrix[(node - 1, *row)] += sign;
                        matrix[(*row, node - 1)] += sign;
                    }
                    matrix[(*row, *row)] -= z;
                }
                None => {
                    for (a, s) in ends.into_iter().filter(|(node, _)| *node > 0) {
                        for (b, t) in ends.into_iter().filter(|(node, _)| *node > 0) {
                            matrix[(a - 1, b - 1)] += s * t / z;
                        }
                    }
                }
            }
        }
        self.factors = matrix.lu();
        if self.right.len() != size {
            self.right = DVector::zeros(size);
        }
    }

    /// Solves for the end of a stage that comes from `base`, at a time. False if the equations are
    /// singular.
    pub fn solve(
        &mut self,
        branches: &[Branch],
        conducts: &[bool],
        base: &[State],
        time: f64,
        into: &mut Solution,
    ) -> bool {
        self.hold(branches, conducts, base, |branch| match (&branch.source, &branch.gate) {
            (Some(wave), _) => wave.at(time),
            (None, Gate::Diode(forward)) => *forward,
            (None, _) => 0.0,
        });
        self.finish(branches, into)
    }

    /// How fast everything changes at an instant at which inductances and capacitors change as `slopes`
    /// say: the derivatives obey the same laws, with the derivatives of the sources.
    pub fn solve_slopes(
        &mut self,
        branches: &[Branch],
        conducts: &[bool],
        slopes: &[State],
        time: f64,
        into: &mut Solution,
    ) -> bool {
        self.hold(branches, conducts, slopes, |branch| branch.source.map_or(0.0, |wave| wave.slope_at(time)));
        self.finish(branches, into)
    }

    fn hold(
        &mut self,
        branches: &[Branch],
        conducts: &[bool],
        base: &[State],
        source: impl Fn(&Branch) -> f64,
    ) {
        let stage = self.stage;
        self.held.clear();
        self.held.extend(branches.iter().zip(conducts).zip(base).map(|((branch, conducts), base)| {
            match conducts {
                true => source(branch) + base.charge_voltage - branch.inductance / stage * base.current,
                false => 0.0,
            }
        }));
    }

    fn finish(&mut self, branches: &[Branch], into: &mut Solution) -> bool {
        self.right.fill(0.0);
        for (n, branch) in branches.iter().enumerate() {
            match self.rows[n] {
                Some(row) => self.right[row] += self.held[n],
                None => {
                    let brought = self.held[n] / self.impedances[n];
                    if branch.from > 0 {
                        self.right[branch.from - 1] += brought;
                    }
                    if branch.to > 0 {
                        self.right[branch.to - 1] -= brought;
                    }
                }
            }
        }
        // Everything in series to itself leaves no unknowns.
        if !self.right.is_empty() && !self.factors.solve_mut(&mut self.right) {
            return false;
        }
        into.voltages.clear();
        into.voltages.push(0.0);
        into.voltages.extend(self.right.iter().take(self.nodes - 1));
        into.currents.clear();
        for (n, branch) in branches.iter().enumerate() {
            into.currents.push(match self.rows[n] {
                Some(row) => self.right[row],
                None => {
                    let across = into.voltages[branch.from] - into.voltages[branch.to];
                    (across - self.held[n]) / self.impedances[n]
                }
            });
        }
        true
    }
}
