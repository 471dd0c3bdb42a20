//! Steps a network through time.

use super::branches::{Branch, Gate, Plan};
use super::network::Network;
use super::solve::{Equations, Solution, State};
use super::tableau::{A, B, B_LOW, C, GAMMA, STAGES};
use super::trace::{Moment, Steady, Tally, Transient};
use super::{Accuracy, SolveError};
use crate::units::Seconds;

/// A stage so short that nothing moves in it: finds what jumps at an instant.
const INSTANT: f64 = 1e-9;
/// A stage so long that everything has come to rest.
const FOR_EVER: f64 = 1e9;
const MOST_STEPS: usize = 2_000_000;

pub fn run(network: &Network, until: f64, accuracy: Accuracy) -> Result<Transient, SolveError> {
    let plan = Plan::of(network)?;
    let mut march = March::new(&plan, accuracy, until);
    let mut moments = Vec::new();
    let mut tallies = vec![Tally::default(); plan.branches.len()];
    let mut time = 0.0;
    let mut step = until * 1e-4;
    moments.push(march.settle(time)?);
    let longest = until * accuracy.longest_step;
    let mut steps = 0;
    while time < until {
        steps += 1;
        if steps > MOST_STEPS {
            return Err(SolveError::TooManySteps { time: Seconds::new(time) });
        }
        let change = march.next_change(time).min(until);
        let last = time + step >= change * (1.0 - 1e-12);
        let length = if last { change - time } else { step };
        let Some(mut trial) = march.step(time, length) else {
            return Err(SolveError::Undecided { time: Seconds::new(time) });
        };
        if trial.error > 1.0 {
            step = length * (0.9 * trial.error.powf(-0.25)).max(0.2);
            continue;
        }
        let mut done = length;
        let event = march.breaks(&trial);
        if event {
            (trial, done) = march.locate(time, length, trial)?;
        }
        let whole = last && done == length;
        time = if whole { change } else { time + done };
        march.accept(&trial, &mut tallies);
        moments.push(march.moment(time, &trial.end));
        if event || (whole && change < until) {
            march.turn_switches(time);
            moments.push(march.settle(time)?);
            // Something new begins: feel the way.
            step = (until * 1e-5).min(done.max(until * 1e-9));
        } else if trial.error > 0.0 {
            step = (done * (0.9 * trial.error.powf(-0.25)).clamp(0.2, 4.0)).min(longest);
        } else {
            step = (done * 4.0).min(longest);
        }
    }
    Ok(Transient::new(network, plan.clone(), moments, tallies))
}

pub fn steady(network: &Network) -> Result<Steady, SolveError> {
    let mut plan = Plan::of(network)?;
    for branch in &mut plan.branches {
        branch.initial = 0.0;
    }
    let mut march = March::new(&plan, Accuracy::default(), 1.0);
    let solution = march.consistent(0.0, FOR_EVER)?;
    Ok(Steady::new(network, plan.clone(), solution))
}

/// One step, not yet taken.
struct Trial {
    state: Vec<State>,
    end: Solution,
    /// In units of what is allowed.
    error: f64,
    /// ∫i dt and ∫i² dt by branch.
    tally: Vec<Tally>,
}

struct March<'a> {
    branches: &'a [Branch],
    nodes: usize,
    accuracy: Accuracy,
    conducts: Vec<bool>,
    state: Vec<State>,
    /// The largest current and voltage so far, to measure errors by.
    scale: (f64, f64),
    equations: Option<(f64, Equations)>,
}

impl<'a> March<'a> {
    fn new(plan: &'a Plan, accuracy: Accuracy, until: f64) -> March<'a> {
        let branches = &plan.branches;
        let conducts = branches
            .iter()
            .map(|b| match &b.gate {
                Gate::None => true,
                Gate::Diode(_) => false,
                Gate::Switch(closed, changes) => {
                    closed ^ (changes.iter().filter(|t| **t <= 0.0).count() % 2 == 1)
                }
            })
            .collect();
        let state: Vec<State> =
            branches.iter().map(|b| State { current: 0.0, charge_voltage: b.initial }).collect();
        let volts = branches.iter().map(|b| {
            let source = b
                .source
                .map_or(0.0, |w| (0..8).map(|k| w.at(until * f64::from(k) / 7.3).abs()).fold(0.0, f64::max));
            source.max(b.initial.abs())
        });
        let volts = volts.fold(1e-9, f64::max);
        March {
            branches,
            nodes: plan.nodes.len(),
            accuracy,
            conducts,
            state,
            scale: (1e-9, volts),
            equations: None,
        }
    }

    /// The equations for a length of stage and the gates as they stand; those of the last call are kept.
    fn equations(&mut self, stage: f64) -> &mut Equations {
        if self.equations.as_ref().is_none_or(|(length, _)| *length != stage) {
            let made = Equations::new(self.branches, self.nodes, stage, &self.conducts);
            self.equations = Some((stage, made));
        }
        let Some((_, equations)) = &mut self.equations else { unreachable!("made above") };
        equations
    }

    fn solve(&mut self, stage: f64, base: &[State], time: f64, into: &mut Solution) -> bool {
        let (branches, conducts) = (self.branches, std::mem::take(&mut self.conducts));
        self.conducts = conducts.clone();
        self.equations(stage).solve(branches, &conducts, base, time, into)
    }

    /// A step of the method; `None` if the equations are singular.
    fn step(&mut self, time: f64, length: f64) -> Option<Trial> {
        let stage = GAMMA * length;
        let count = self.branches.len();
        let mut slopes = [const { Vec::new() }; STAGES];
        let mut base = self.state.clone();
        let mut end = Solution::default();
        let mut tally = vec![Tally::default(); count];
        for s in 0..STAGES {
            for (n, b) in base.iter_mut().enumerate() {
                *b = self.state[n];
                for (k, slope) in slopes.iter().enumerate().take(s) {
                    let slope: &State = &slope[n];
                    b.current += length * A[s][k] * slope.current;
                    b.charge_voltage += length * A[s][k] * slope.charge_voltage;
                }
            }
            if !self.solve(stage, &base, time + C[s] * length, &mut end) {
                return None;
            }
            slopes[s] = (0..count)
                .map(|n| State {
                    current: self.rise(n, end.currents[n], base[n], stage),
                    charge_voltage: self.fill(n, end.currents[n]),
                })
                .collect();
            for (t, i) in tally.iter_mut().zip(&end.currents) {
                t.charge += length * B[s] * i;
                t.square += length * B[s] * i * i;
            }
        }
        let sum = |n: usize, weights: &[f64; STAGES]| {
            let mut total = State::default();
            for (w, slope) in weights.iter().zip(&slopes) {
                total.current += length * w * slope[n].current;
                total.charge_voltage += length * w * slope[n].charge_voltage;
            }
            total
        };
        let mut error: f64 = 0.0;
        let mut state = self.state.clone();
        for (n, s) in state.iter_mut().enumerate() {
            let (high, low) = (sum(n, &B), sum(n, &B_LOW));
            s.current += high.current;
            s.charge_voltage += high.charge_voltage;
            if self.branches[n].inductance > 0.0 {
                let scale = self.scale.0.max(s.current.abs()).max(1e-3 * self.most_current());
                error = error.max((high.current - low.current).abs() / scale);
            }
            if self.branches[n].elastance > 0.0 {
                error = error.max((high.charge_voltage - low.charge_voltage).abs() / self.scale.1);
            }
        }
        Some(Trial { state, end, error: error / self.accuracy.relative, tally })
    }

    /// What a current may come to: a floor for its scale, so that the first rise from nothing is not
    /// measured against nothing.
    fn most_current(&self) -> f64 {
        let least = self.branches.iter().filter(|b| b.inductance > 0.0).map(|b| b.resistance);
        self.scale.1 / least.fold(f64::INFINITY, f64::min).max(1e-3)
    }

    /// di/dt of an inductance.
    fn rise(&self, n: usize, current: f64, base: State, stage: f64) -> f64 {
        let live = self.branches[n].inductance > 0.0 && self.conducts[n];
        if live { (current - base.current) / stage } else { 0.0 }
    }

    /// dv/dt of a capacitor.
    fn fill(&self, n: usize, current: f64) -> f64 {
        if self.conducts[n] { current * self.branches[n].elastance } else { 0.0 }
    }

    /// How well a gate's state fits; below zero it does not.
    fn fits(&self, n: usize, solution: &Solution) -> f64 {
        let branch = &self.branches[n];
        let Gate::Diode(forward) = branch.gate else { return f64::INFINITY };
        if self.conducts[n] {
            solution.currents[n]
        } else {
            forward - (solution.voltages[branch.from] - solution.voltages[branch.to])
        }
    }

    /// What counts as misfit beyond rounding.
    fn slack(&self, n: usize) -> f64 {
        if self.conducts[n] { 1e-9 * self.scale.0.max(1e-3) } else { 1e-9 * self.scale.1.max(1e-3) }
    }

    fn breaks(&self, trial: &Trial) -> bool {
        (0..self.branches.len()).any(|n| self.fits(n, &trial.end) < -self.slack(n))
    }

    /// Shortens a step that went over an event until it ends on it: false position, halved where it
    /// creeps.
    fn locate(&mut self, time: f64, length: f64, over: Trial) -> Result<(Trial, f64), SolveError> {
        let singular = || SolveError::Undecided { time: Seconds::new(time) };
        let misfit = |march: &March, trial: &Trial| {
            let all = (0..march.branches.len()).map(|n| march.fits(n, &trial.end) / march.slack(n));
            all.fold(f64::INFINITY, f64::min)
        };
        let (mut low, mut high) = ((0.0, 1.0_f64), (length, misfit(self, &over)));
        let mut best = (over, length);
        for turn in 0..60 {
            if high.0 - low.0 <= 1e-13 * (time + length) {
                break;
            }
            let share = if turn == 0 || turn % 3 == 2 { 0.5 } else { low.1 / (low.1 - high.1) };
            let middle = low.0 + (high.0 - low.0) * share.clamp(0.01, 0.99);
            let trial = self.step(time, middle).ok_or_else(singular)?;
            let at = misfit(self, &trial);
            if at < -1.0 {
                high = (middle, at);
                best = (trial, middle);
                if at > -2.0 {
                    break;
                }
            } else {
                low = (middle, at.max(1e-3));
            }
        }
        Ok(best)
    }

    fn accept(&mut self, trial: &Trial, tallies: &mut [Tally]) {
        self.state.clone_from(&trial.state);
        for (total, t) in tallies.iter_mut().zip(&trial.tally) {
            total.charge += t.charge;
            total.square += t.square;
        }
        for i in &trial.end.currents {
            self.scale.0 = self.scale.0.max(i.abs());
        }
        for v in &trial.end.voltages {
            self.scale.1 = self.scale.1.max(v.abs());
        }
    }

    fn next_change(&self, time: f64) -> f64 {
        let changes = self.branches.iter().filter_map(|b| match &b.gate {
            Gate::Switch(_, changes) => changes.iter().copied().find(|t| *t > time),
            _ => None,
        });
        changes.fold(f64::INFINITY, f64::min)
    }

    fn turn_switches(&mut self, time: f64) {
        for (branch, conducts) in self.branches.iter().zip(&mut self.conducts) {
            if let Gate::Switch(first, changes) = &branch.gate {
                *conducts = first ^ (changes.iter().filter(|t| **t <= time).count() % 2 == 1);
            }
        }
        self.equations = None;
    }

    /// The voltages and currents of this instant, with every diode as it must be.
    fn settle(&mut self, time: f64) -> Result<Moment, SolveError> {
        let solution = self.consistent(time, INSTANT)?;
        for (n, state) in self.state.iter_mut().enumerate() {
            if !self.conducts[n] {
                state.current = 0.0;
            }
        }
        for i in &solution.currents {
            self.scale.0 = self.scale.0.max(i.abs());
        }
        Ok(self.moment(time, &solution))
    }

    fn consistent(&mut self, time: f64, stage: f64) -> Result<Solution, SolveError> {
        let mut solution = Solution::default();
        let undecided = SolveError::Undecided { time: Seconds::new(time) };
        let turns = 4 * self.branches.len() + 8;
        for turn in 0..turns {
            self.equations = None;
            let base = self.state.clone();
            if !self.solve(stage, &base, time, &mut solution) {
                return Err(undecided);
            }
            let worst = (0..self.branches.len())
                .map(|n| (n, self.fits(n, &solution) / self.slack(n)))
                .filter(|(_, fit)| *fit < -1.0);
            // All that misfit turn over at first; if that goes in circles, the worst alone.
            let wrong: Vec<usize> = if turn < turns / 2 {
                worst.map(|(n, _)| n).collect()
            } else {
                worst.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(n, _)| n).into_iter().collect()
            };
            if wrong.is_empty() {
                self.equations = None;
                return Ok(solution);
            }
            for n in wrong {
                self.conducts[n] = !self.conducts[n];
            }
        }
        Err(undecided)
    }

    fn moment(&self, time: f64, solution: &Solution) -> Moment {
        let slopes = (0..self.branches.len())
            .map(|n| {
                let b = &self.branches[n];
                let across = solution.voltages[b.from] - solution.voltages[b.to];
                let source = b.source.map_or(0.0, |w| w.at(time));
                let state = self.state[n];
                let left = across - source - state.charge_voltage - b.resistance * solution.currents[n];
                let live = self.conducts[n] && b.inductance > 0.0;
                State {
                    current: if live { left / b.inductance } else { 0.0 },
                    charge_voltage: self.fill(n, solution.currents[n]),
                }
            })
            .collect();
        Moment {
            time,
            voltages: solution.voltages.clone(),
            currents: solution.currents.clone(),
            charge_voltages: self.state.iter().map(|s| s.charge_voltage).collect(),
            slopes,
        }
    }
}
