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
    factors: LU<f64, Dyn, Dyn>,
    right: DVector<f64>,
}

/// Less impedance than this counts as none: below it a conductance would drown the others'.
const NO_IMPEDANCE: f64 = 1e-7;

impl Equations {
    /// `conducts` by branch.
    pub fn new(branches: &[Branch], nodes: usize, stage: f64, conducts: &[bool]) -> Equations {
        let impedances: Vec<f64> = branches
            .iter()
            .zip(conducts)
            .map(|(b, conducts)| {
                if *conducts {
                    b.resistance + b.inductance / stage + b.elastance * stage
                } else {
                    LEAK.ohms()
                }
            })
            .collect();
        let mut size = nodes - 1;
        let rows: Vec<Option<usize>> = impedances
            .iter()
            .map(|z| {
                (*z < NO_IMPEDANCE).then(|| {
                    size += 1;
                    size - 1
                })
            })
            .collect();
        let mut matrix = DMatrix::zeros(size, size);
        for ((branch, z), row) in branches.iter().zip(&impedances).zip(&rows) {
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
        Equations { stage, nodes, rows, impedances, factors: matrix.lu(), right: DVector::zeros(size) }
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
        self.right.fill(0.0);
        for (n, branch) in branches.iter().enumerate() {
            let e = self.held(branch, conducts[n], base[n], time);
            match self.rows[n] {
                Some(row) => self.right[row] += e,
                None => {
                    let brought = e / self.impedances[n];
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
                    (across - self.held(branch, conducts[n], base[n], time)) / self.impedances[n]
                }
            });
        }
        true
    }

    /// The voltage of a branch without current at the end of the stage.
    fn held(&self, branch: &Branch, conducts: bool, base: State, time: f64) -> f64 {
        if !conducts {
            return 0.0;
        }
        let source = match (&branch.source, &branch.gate) {
            (Some(wave), _) => wave.at(time),
            (None, Gate::Diode(forward)) => *forward,
            (None, _) => 0.0,
        };
        source + base.charge_voltage - branch.inductance / self.stage * base.current
    }
}
