//! What was at each step, packed into one list of numbers; and the curve between the steps.

use super::SolveError;
use super::branches::Plan;
use super::solve::Solution;
use super::step::Stepper;
use crate::units::Seconds;

/// Everything at each instant, values and how fast they change. Two instants may bear the same time,
/// before and after something jumped.
#[derive(Clone, Debug)]
pub struct Course {
    nodes: usize,
    branches: usize,
    pub times: Vec<f64>,
    /// By instant: voltages of the nodes, currents of the branches, their charge voltages, and how fast
    /// all these change, in the same order.
    values: Vec<f64>,
}

/// A value and how fast it changes.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sample {
    pub value: f64,
    pub slope: f64,
}

impl Course {
    pub fn new(plan: &Plan) -> Course {
        let (nodes, branches) = (plan.nodes.len(), plan.branches.len());
        Course { nodes, branches, times: Vec::new(), values: Vec::new() }
    }

    /// A network at rest, as a course of one instant.
    pub fn rest(plan: &Plan, now: &Solution) -> Course {
        let mut course = Course::new(plan);
        course.times.push(0.0);
        course.values.extend(&now.voltages);
        course.values.extend(&now.currents);
        // A capacitor at rest bears what its branch has across and does not lose.
        course.values.extend(plan.branches.iter().zip(&now.currents).map(|(b, i)| {
            let across = now.voltages[b.from] - now.voltages[b.to];
            if b.elastance > 0.0 { across - b.resistance * i } else { 0.0 }
        }));
        course.values.resize(course.stride(), 0.0);
        course
    }

    fn stride(&self) -> usize {
        2 * (self.nodes + 2 * self.branches)
    }

    /// Appends the present.
    pub fn record(
        &mut self,
        time: f64,
        stepper: &mut Stepper,
        spare: &mut Solution,
    ) -> Result<(), SolveError> {
        if !stepper.present_slopes(time, spare) {
            return Err(SolveError::Undecided { time: Seconds::new(time) });
        }
        self.times.push(time);
        self.values.extend(&stepper.now.voltages);
        self.values.extend(&stepper.now.currents);
        self.values.extend(stepper.state.iter().map(|s| s.charge_voltage));
        self.values.extend(&spare.voltages);
        self.values.extend(&spare.currents);
        self.values.extend(stepper.branches.iter().zip(&stepper.now.currents).map(|(b, i)| b.elastance * i));
        Ok(())
    }

    fn sample(&self, instant: usize, place: usize) -> Sample {
        let at = instant * self.stride() + place;
        Sample { value: self.values[at], slope: self.values[at + self.stride() / 2] }
    }

    pub fn voltage(&self, instant: usize, node: usize) -> Sample {
        self.sample(instant, node)
    }

    pub fn current(&self, instant: usize, branch: usize) -> Sample {
        self.sample(instant, self.nodes + branch)
    }

    pub fn charge_voltage(&self, instant: usize, branch: usize) -> Sample {
        self.sample(instant, self.nodes + self.branches + branch)
    }
}

/// A stretch of a curve between two steps: the cubic through values and slopes at its ends (Hermite).
#[derive(Clone, Copy, Debug)]
pub struct Arc {
    pub start: f64,
    pub length: f64,
    pub from: Sample,
    pub to: Sample,
}

impl Arc {
    /// `share` from 0 to 1.
    pub fn at(&self, share: f64) -> f64 {
        let (s, r) = (share, 1.0 - share);
        self.from.value * r * r * (1.0 + 2.0 * s)
            + self.to.value * s * s * (3.0 - 2.0 * s)
            + self.length * s * r * (self.from.slope * r - self.to.slope * s)
    }

    /// Where inside it is level, as shares in order.
    fn level(&self) -> [Option<f64>; 2] {
        // The derivative of the cubic over the share is p·s² + q·s + r.
        let (a, b) = (self.from.slope * self.length, self.to.slope * self.length);
        let rise = self.to.value - self.from.value;
        let (p, q, r) = (3.0 * (a + b - 2.0 * rise), 2.0 * (3.0 * rise - 2.0 * a - b), a);
        let root = q * q - 4.0 * p * r;
        if root < 0.0 {
            return [None, None];
        }
        let k = -0.5 * (q + root.sqrt().copysign(q));
        let inside = |s: f64| (s.is_finite() && s > 0.0 && s < 1.0).then_some(s);
        match (inside(k / p), inside(r / k)) {
            (Some(a), Some(b)) if a > b => [Some(b), Some(a)],
            pair => pair.into(),
        }
    }

    /// Parts within which it only rises or only falls.
    pub fn runs(&self) -> impl Iterator<Item = (f64, f64)> {
        let mut last = 0.0;
        let cuts = self.level().into_iter().flatten().chain([1.0]);
        cuts.map(move |cut| (std::mem::replace(&mut last, cut), cut))
    }

    /// Where it crosses `level` within a run on which it does so, by bisection.
    pub fn crossing(&self, level: f64, (mut low, mut high): (f64, f64)) -> f64 {
        let rising = self.at(high) > self.at(low);
        for _ in 0..54 {
            let middle = 0.5 * (low + high);
            if (self.at(middle) < level) == rising { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }
}
