//! Steps a network through time.

use super::branches::{Gate, Plan};
use super::course::Course;
use super::network::{Network, Wave};
use super::solve::Solution;
use super::step::{Stepper, Tally, Trial};
use super::trace::{Steady, Transient};
use super::{Accuracy, SolveError};
use crate::units::Seconds;

/// A stage so long that everything has come to rest.
const FOR_EVER: f64 = 1e9;
const MOST_STEPS: usize = 2_000_000;
/// A step ends at each of so many parts of a sine's period, its peaks among them: no diode's short pulse
/// at the peak is stepped over.
const PARTS_OF_A_PERIOD: f64 = 16.0;
/// A step that could grow by less keeps its length, and with it the factorised equations.
const WORTH_GROWING: f64 = 1.2;

pub fn run(network: &Network, until: f64, accuracy: Accuracy) -> Result<Transient, SolveError> {
    sound(until, accuracy)?;
    let plan = Plan::of(network)?;
    let mut stops = Stops::of(&plan);
    let mut stepper = Stepper::new(&plan, accuracy.relative);
    stepper.turn_switches(0.0);
    stepper.settle_at_start()?;
    let mut course = Course::new(&plan);
    let mut tallies = vec![Tally::default(); plan.branches.len()];
    let (mut trial, mut spare, mut slopes) = (Trial::default(), Trial::default(), Solution::default());
    course.record(0.0, &mut stepper, &mut slopes)?;

    let longest = until * accuracy.longest_step;
    let (mut time, mut step, mut tries) = (0.0, until * 1e-4, 0);
    while time < until {
        tries += 1;
        if tries > MOST_STEPS {
            return Err(SolveError::TooManySteps { time: Seconds::new(time) });
        }
        let stop = stops.after(time).min(until);
        let to_the_stop = time + step >= stop * (1.0 - 1e-12);
        let length = if to_the_stop { stop - time } else { step };
        if !stepper.step(time, length, &mut trial) {
            return Err(SolveError::Undecided { time: Seconds::new(time) });
        }
        if trial.error > 1.0 {
            step = length * (0.9 * trial.error.powf(-0.25)).max(0.1);
            continue;
        }
        let event = stepper.misfit(&trial.end) < -1.0;
        if let Some(share) = trial.early
            && !event
            && length > 1e-7 * until
        {
            // A diode changed and changed back, or the stage was inexact: look closer.
            step = length * share;
            continue;
        }
        let done = if event { stepper.locate(time, length, &mut trial, &mut spare)? } else { length };
        let whole = to_the_stop && done == length;
        time = if whole { stop } else { time + done };
        stepper.accept(&trial);
        stepper.add_up(&trial, &mut tallies);
        course.record(time, &mut stepper, &mut slopes)?;
        let switches = whole && stops.changes_at(time);
        if event || switches {
            stepper.turn_misfits();
            stepper.turn_switches(time);
            stepper.settle(time)?;
            course.record(time, &mut stepper, &mut slopes)?;
        }
        let growth = if trial.error > 0.0 { (0.9 * trial.error.powf(-0.25)).clamp(0.2, 4.0) } else { 4.0 };
        // A step that was cut short by a stop or an event says little against the length before.
        let wanted = if to_the_stop || event { (done * growth).max(step) } else { done * growth };
        if wanted < step || wanted > WORTH_GROWING * step {
            step = wanted;
        }
        step = step.min(longest);
    }
    Ok(Transient::new(network, plan.clone(), course, tallies))
}

pub fn steady(network: &Network) -> Result<Steady, SolveError> {
    let mut plan = Plan::at_rest(network)?;
    for branch in &mut plan.branches {
        (branch.initial_voltage, branch.initial_current) = (0.0, 0.0);
    }
    let mut stepper = Stepper::new(&plan, Accuracy::default().relative);
    stepper.turn_switches(0.0);
    let now = stepper.rest(0.0, FOR_EVER)?;
    Ok(Steady::new(network, plan.clone(), &now))
}

fn sound(until: f64, accuracy: Accuracy) -> Result<(), SolveError> {
    let positive = |v: f64| v.is_finite() && v > 0.0;
    let wrong = |what: &str| Err(SolveError::Value { element: what.to_owned() });
    match accuracy {
        _ if !(until.is_finite() && until >= 0.0) => wrong("the time to simulate"),
        Accuracy { relative, .. } if !positive(relative) => wrong("the relative accuracy"),
        Accuracy { longest_step, .. } if !positive(longest_step) => wrong("the longest step"),
        _ => Ok(()),
    }
}

/// Times at which a step has to end.
struct Stops {
    /// When a switch changes, in order.
    changes: Vec<f64>,
    /// Parts of the periods of sine sources.
    parts: Vec<f64>,
}

impl Stops {
    fn of(plan: &Plan) -> Stops {
        let mut stops = Stops { changes: Vec::new(), parts: Vec::new() };
        for branch in &plan.branches {
            if let Gate::Switch(_, changes) = &branch.gate {
                stops.changes.extend(changes);
            }
            if let Some(Wave::Sine { period, .. }) = branch.source {
                stops.parts.push(period.seconds() / PARTS_OF_A_PERIOD);
            }
        }
        stops.changes.sort_by(f64::total_cmp);
        stops.parts.sort_by(f64::total_cmp);
        stops.parts.dedup();
        stops
    }

    /// The next one.
    fn after(&mut self, time: f64) -> f64 {
        let change = self.changes.get(self.changes.partition_point(|t| *t <= time));
        let first = change.copied().unwrap_or(f64::INFINITY);
        // The little that is added keeps rounding from making a sliver of a step.
        let parts = self.parts.iter().map(|part| ((time / part + 1e-6).floor() + 1.0) * part);
        parts.fold(first, f64::min)
    }

    fn changes_at(&self, time: f64) -> bool {
        self.changes.binary_search_by(|t| t.total_cmp(&time)).is_ok()
    }
}
