//! Diodes and switches: whether they fit, where in a step they cease to, and what then holds.

use super::SolveError;
use super::branches::Gate;
use super::network::LEAK;
use super::solve::Solution;
use super::step::{INSTANT, Stepper, Tally, Trial};
use crate::units::Seconds;

/// A misfit counts from this share of the largest voltage or current on, and an event is found to ten
/// times as much.
const SLACK: f64 = 1e-9;

impl Stepper<'_> {
    /// How well a diode's state fits, in units of what counts as misfit: below −1 it does not.
    fn fits(&self, n: usize, solution: &Solution) -> f64 {
        let branch = &self.branches[n];
        let Gate::Diode(forward) = branch.gate else { return f64::INFINITY };
        if self.conducts[n] {
            solution.currents[n] / (SLACK * self.scale.amps.max(1e-3))
        } else {
            let across = solution.voltages[branch.from] - solution.voltages[branch.to];
            (forward - across) / (SLACK * self.scale.volts.max(1e-3))
        }
    }

    /// The worst of all diodes.
    pub fn misfit(&self, solution: &Solution) -> f64 {
        self.diodes.iter().map(|n| self.fits(*n, solution)).fold(f64::INFINITY, f64::min)
    }

    /// Shortens a step that went over an event until it ends just behind it: false position, held from
    /// creeping by the Illinois rule and a halving now and then. Gives the length that is left.
    pub fn locate(
        &mut self,
        time: f64,
        length: f64,
        trial: &mut Trial,
        spare: &mut Trial,
    ) -> Result<f64, SolveError> {
        // Aims at the middle of −1 to −10, so that the event is behind the end and not before.
        const AIM: f64 = 5.0;
        let start = self.misfit(&self.now).max(-1.0);
        let (mut low, mut high) = ((0.0, start + AIM), (length, self.misfit(&trial.end) + AIM));
        let mut side = 0;
        for turn in 0..100 {
            if high.1 >= AIM - 10.0 || high.0 - low.0 <= 1e-14 * (time + length) {
                break;
            }
            let share = if turn % 4 == 3 { 0.5 } else { low.1 / (low.1 - high.1) };
            let middle = low.0 + (high.0 - low.0) * share.clamp(1e-9, 1.0 - 1e-9);
            if !self.step(time, middle, spare) {
                return Err(SolveError::Undecided { time: Seconds::new(time) });
            }
            let at = self.misfit(&spare.end) + AIM;
            if at < AIM - 1.0 {
                high = (middle, at);
                std::mem::swap(trial, spare);
                if side < 0 {
                    low.1 *= 0.5;
                }
                side = -1;
            } else {
                low = (middle, at);
                if side > 0 {
                    high.1 = (0.5 * high.1).min(AIM - 10.5);
                }
                side = 1;
            }
        }
        Ok(high.0)
    }

    /// Turns over each diode that does not fit.
    pub fn turn_misfits(&mut self) {
        for k in 0..self.diodes.len() {
            let n = self.diodes[k];
            if self.fits(n, &self.now) < -1.0 {
                self.conducts[n] = !self.conducts[n];
                self.gates_changed();
            }
        }
    }

    /// Sets the switches to how they stand from a time on.
    pub fn turn_switches(&mut self, time: f64) {
        for (branch, conducts) in self.branches.iter().zip(&mut self.conducts) {
            if let Gate::Switch(first, changes) = &branch.gate {
                *conducts = first ^ (changes.partition_point(|t| *t <= time) % 2 == 1);
            }
        }
        self.gates_changed();
    }

    /// Finds the present voltages and currents, with every diode as it must be.
    pub fn settle(&mut self, time: f64) -> Result<(), SolveError> {
        let mut now = self.rest(time, INSTANT)?;
        if self.drop_remnants(time, &mut now) {
            now = self.rest(time, INSTANT)?;
        }
        for (n, branch) in self.branches.iter().enumerate() {
            if branch.inductance > 0.0 {
                now.currents[n] = self.state[n].current;
            }
        }
        self.now = now;
        for current in &self.now.currents {
            self.scale.amps = self.scale.amps.max(current.abs());
        }
        Ok(())
    }

    /// An event is found a little behind itself, so a coil that a diode has just cut off has a remnant
    /// of current, with the steepest of slopes and of no size. Lets it go at once to what the leak passes.
    fn drop_remnants(&mut self, time: f64, spare: &mut Solution) -> bool {
        const MOMENT: f64 = 1e-6;
        let nothing = (100.0 * SLACK * self.scale.amps).max(10.0 * self.scale.volts / LEAK.ohms());
        let branches = self.branches;
        let is_remnant = |n: usize, amps: f64| branches[n].inductance > 0.0 && amps.abs() < nothing;
        if self.conducts.iter().all(|c| *c)
            || !(0..branches.len()).any(|n| is_remnant(n, self.state[n].current))
        {
            return false;
        }
        self.instant.set(branches, MOMENT, &self.conducts);
        if !self.instant.solve(branches, &self.conducts, &self.state, time, spare) {
            return false;
        }
        for n in 0..branches.len() {
            // A coil whose current is about to rise has more after a moment.
            if is_remnant(n, self.state[n].current) && is_remnant(n, spare.currents[n]) {
                self.state[n].current = spare.currents[n];
            }
        }
        true
    }

    /// Settles for the first time. Where nothing but coils meet, their currents at the start need not
    /// add up to nothing; they then share their flux at once.
    pub fn settle_at_start(&mut self) -> Result<(), SolveError> {
        let now = self.rest(0.0, INSTANT)?;
        if self.conducts.iter().all(|c| *c) {
            for (state, current) in self.state.iter_mut().zip(&now.currents) {
                state.current = *current;
            }
        }
        self.settle(0.0)
    }

    /// The end of one long stage from the present state on, with every diode as it must be.
    ///
    /// At first all that misfit turn over. If that goes in circles, the first of them alone: by this rule
    /// no combination comes twice (Murty 1974, for complementary problems with a positive definite
    /// matrix, which resistances give; from memory).
    pub fn rest(&mut self, time: f64, stage: f64) -> Result<Solution, SolveError> {
        let undecided = SolveError::Undecided { time: Seconds::new(time) };
        let count = self.diodes.len();
        let mut now = std::mem::take(&mut self.now);
        for turn in 0..(200 * count + 8) {
            self.instant.set(self.branches, stage, &self.conducts);
            if !self.instant.solve(self.branches, &self.conducts, &self.state, time, &mut now) {
                return Err(undecided);
            }
            // What misfits is found before anything is turned.
            let mut misfits: Vec<usize> =
                self.diodes.iter().copied().filter(|n| self.fits(*n, &now) < -1.0).collect();
            if misfits.is_empty() {
                return Ok(now);
            }
            if turn > count + 4 {
                misfits.truncate(1);
            }
            for n in misfits {
                self.conducts[n] = !self.conducts[n];
            }
            self.gates_changed();
        }
        Err(undecided)
    }

    /// Adds a step's sums; what a gate turned into heat hangs on how it stood.
    pub fn add_up(&self, trial: &Trial, tallies: &mut [Tally]) {
        for (n, (total, t)) in tallies.iter_mut().zip(&trial.tally).enumerate() {
            total.charge += t.charge;
            total.square += t.square;
            total.work += t.work;
            let branch = &self.branches[n];
            total.heat += match (&branch.gate, self.conducts[n]) {
                (Gate::None, _) => 0.0,
                (_, false) => LEAK.ohms() * t.square,
                (Gate::Diode(forward), true) => forward * t.charge + branch.resistance * t.square,
                (Gate::Switch(..), true) => branch.resistance * t.square,
            };
        }
    }
}
