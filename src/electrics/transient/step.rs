//! One step through time, and how wrong it may be.

use super::branches::{Branch, Gate, Plan};
use super::solve::{Equations, Solution, State};
use super::tableau::{A, B, B_LOW, C, GAMMA, STAGES};

/// Sums over a branch's current.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    /// ∫i dt
    pub charge: f64,
    /// ∫i² dt
    pub square: f64,
    /// ∫v·i dt of a source, with v its own voltage.
    pub work: f64,
    /// What a diode or switch turned into heat, with what its leak did.
    pub heat: f64,
}

/// One step, not yet taken. Kept and filled again and again.
#[derive(Default)]
pub struct Trial {
    pub state: Vec<State>,
    pub end: Solution,
    /// In units of what is allowed.
    pub error: f64,
    pub tally: Vec<Tally>,
    /// The earliest stage at which a diode did not fit, as a share of the step.
    pub early: Option<f64>,
}

/// The largest voltage and current so far, to measure errors by.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    pub amps: f64,
    pub volts: f64,
}

/// A network at an instant, with what is needed to go on from there.
pub struct Stepper<'a> {
    pub branches: &'a [Branch],
    /// Of each branch; a diode or switch may not.
    pub conducts: Vec<bool>,
    pub state: Vec<State>,
    pub now: Solution,
    pub scale: Scale,
    /// Branches that are diodes.
    pub diodes: Vec<usize>,
    /// For a stage that is so short that nothing moves, with the gates as they stand.
    pub instant: Equations,
    relative: f64,
    /// Branches with an inductance or a capacitor.
    storing: Vec<usize>,
    stepping: Equations,
    stepping_is_old: bool,
    base: Vec<State>,
    slopes: [Vec<State>; STAGES],
}

/// A stage so short that nothing moves in it: finds what jumps at an instant. An inductance then has an
/// impedance above any other's, a capacitor one below.
pub const INSTANT: f64 = 1e-12;

/// What passes through more than a megohm is no current to be exact about.
const LEAST_CONDUCTANCE: f64 = 1e-6;

impl<'a> Stepper<'a> {
    pub fn new(plan: &'a Plan, relative: f64) -> Stepper<'a> {
        let branches = &plan.branches;
        let conducts: Vec<bool> = branches.iter().map(|b| !matches!(b.gate, Gate::Diode(_))).collect();
        let state: Vec<State> = branches
            .iter()
            .map(|b| State { current: b.initial_current, charge_voltage: b.initial_voltage })
            .collect();
        let volts = branches.iter().map(|b| b.source.map_or(0.0, |w| w.peak()).max(b.initial_voltage.abs()));
        let amps = branches.iter().map(|b| b.initial_current.abs());
        let scale = Scale { amps: amps.fold(1e-9, f64::max), volts: volts.fold(1e-9, f64::max) };
        let list = |of: fn(&Branch) -> bool| -> Vec<usize> {
            branches.iter().enumerate().filter(|(_, b)| of(b)).map(|(n, _)| n).collect()
        };
        Stepper {
            branches,
            instant: Equations::new(branches, plan.nodes.len(), INSTANT, &conducts),
            stepping: Equations::new(branches, plan.nodes.len(), INSTANT, &conducts),
            stepping_is_old: true,
            conducts,
            now: Solution::default(),
            scale,
            diodes: list(|b| matches!(b.gate, Gate::Diode(_))),
            relative,
            storing: list(|b| b.inductance > 0.0 || b.elastance > 0.0),
            base: state.clone(),
            slopes: std::array::from_fn(|_| state.clone()),
            state,
        }
    }

    /// To be called when a gate has changed: the equations hold no longer.
    pub fn gates_changed(&mut self) {
        self.stepping_is_old = true;
    }

    /// A step of the method; false if the equations are singular.
    pub fn step(&mut self, time: f64, length: f64, trial: &mut Trial) -> bool {
        let stage = GAMMA * length;
        if self.stepping_is_old || (self.stepping.stage() - stage).abs() > 1e-12 * stage {
            self.stepping.set(self.branches, stage, &self.conducts);
            self.stepping_is_old = false;
        }
        trial.early = None;
        trial.tally.clear();
        trial.tally.resize(self.branches.len(), Tally::default());
        for s in 0..STAGES {
            for &n in &self.storing {
                let mut base = self.state[n];
                for (weight, slopes) in A[s].iter().zip(&self.slopes).take(s) {
                    base.current += length * weight * slopes[n].current;
                    base.charge_voltage += length * weight * slopes[n].charge_voltage;
                }
                self.base[n] = base;
            }
            let at = time + C[s] * length;
            if !self.stepping.solve(self.branches, &self.conducts, &self.base, at, &mut trial.end) {
                return false;
            }
            for &n in &self.storing {
                let (branch, current) = (&self.branches[n], trial.end.currents[n]);
                let rise =
                    if branch.inductance > 0.0 { (current - self.base[n].current) / stage } else { 0.0 };
                self.slopes[s][n] = State { current: rise, charge_voltage: current * branch.elastance };
            }
            for ((sum, current), branch) in trial.tally.iter_mut().zip(&trial.end.currents).zip(self.branches)
            {
                let weighted = length * B[s] * current;
                sum.charge += weighted;
                sum.square += weighted * current;
                if let Some(wave) = branch.source {
                    sum.work += weighted * wave.at(at);
                }
            }
            if s + 1 < STAGES && !self.diodes.is_empty() && self.misfit(&trial.end) < -10.0 {
                trial.early = Some(trial.early.unwrap_or(1.0).min(C[s]));
            }
        }
        self.finish(length, trial);
        true
    }

    /// From the stages' slopes to the state at the end, and its error.
    fn finish(&self, length: f64, trial: &mut Trial) {
        trial.state.clone_from(&self.state);
        let (mut wrong_amps, mut wrong_volts) = (0.0_f64, 0.0_f64);
        let mut scale = self.scale;
        for current in &trial.end.currents {
            scale.amps = scale.amps.max(current.abs());
        }
        for &n in &self.storing {
            let (mut high, mut difference) = (State::default(), State::default());
            for (s, slopes) in self.slopes.iter().enumerate() {
                high.current += B[s] * slopes[n].current;
                high.charge_voltage += B[s] * slopes[n].charge_voltage;
                difference.current += (B[s] - B_LOW[s]) * slopes[n].current;
                difference.charge_voltage += (B[s] - B_LOW[s]) * slopes[n].charge_voltage;
            }
            let state = &mut trial.state[n];
            state.current += length * high.current;
            state.charge_voltage += length * high.charge_voltage;
            if self.branches[n].elastance > 0.0 {
                scale.volts = scale.volts.max(state.charge_voltage.abs());
            }
            wrong_amps = wrong_amps.max((length * difference.current).abs());
            wrong_volts = wrong_volts.max((length * difference.charge_voltage).abs());
        }
        let least = LEAST_CONDUCTANCE * scale.volts;
        trial.error = (wrong_amps / scale.amps.max(least)).max(wrong_volts / scale.volts) / self.relative;
    }

    /// Makes a step's end the present.
    pub fn accept(&mut self, trial: &Trial) {
        self.state.clone_from(&trial.state);
        self.now.voltages.clone_from(&trial.end.voltages);
        self.now.currents.clone_from(&trial.end.currents);
        for (n, current) in trial.end.currents.iter().enumerate() {
            self.scale.amps = self.scale.amps.max(current.abs());
            if self.branches[n].elastance > 0.0 {
                self.scale.volts = self.scale.volts.max(self.state[n].charge_voltage.abs());
            }
        }
    }

    /// How fast the present changes, by branch.
    pub fn present_slopes(&mut self, time: f64, into: &mut Solution) -> bool {
        for &n in &self.storing {
            let b = &self.branches[n];
            let across = self.now.voltages[b.from] - self.now.voltages[b.to];
            let left = across - self.state[n].charge_voltage - b.resistance * self.now.currents[n];
            let left = left - b.source.map_or(0.0, |wave| wave.at(time));
            self.base[n] = State {
                current: if b.inductance > 0.0 { left / b.inductance } else { 0.0 },
                charge_voltage: self.now.currents[n] * b.elastance,
            };
        }
        if !self.instant.solve_slopes(self.branches, &self.conducts, &self.base, time, into) {
            return false;
        }
        for &n in self.storing.iter().filter(|n| self.branches[**n].inductance > 0.0) {
            into.currents[n] = self.base[n].current;
        }
        true
    }
}
