//! What came of it: the course of every voltage and current, and what is asked of them.

use super::branches::{Plan, resistance_of};
use super::course::{Arc, Course, Sample};
use super::network::{Element, ElementId, Network, Node};
use super::solve::Solution;
use super::step::Tally;
use crate::units::{Amps, Coulombs, JouleIntegral, Joules, Seconds, Volts};

/// A network's course from the start to the end of a simulation. Between the steps every voltage and
/// current is a cubic through values and slopes.
#[derive(Clone, Debug)]
pub struct Transient {
    network: Network,
    plan: Plan,
    course: Course,
    tallies: Vec<Tally>,
}

impl Transient {
    pub(super) fn new(network: &Network, plan: Plan, course: Course, tallies: Vec<Tally>) -> Transient {
        Transient { network: network.clone(), plan, course, tallies }
    }

    /// How many steps were taken.
    pub fn steps(&self) -> usize {
        self.course.times.windows(2).filter(|pair| pair[1] > pair[0]).count()
    }

    /// The ends of the steps, from the start on; twice where something jumped.
    pub fn times(&self) -> impl Iterator<Item = Seconds> + '_ {
        self.course.times.iter().copied().map(Seconds::new)
    }

    pub fn end(&self) -> Seconds {
        Seconds::new(self.course.times.last().copied().unwrap_or(0.0))
    }

    /// The current through an element from its first node to its second.
    pub fn current_at(&self, element: ElementId, time: Seconds) -> Amps {
        Amps::new(self.value(self.current(element), time))
    }

    /// The voltage of a node over ground.
    pub fn voltage_at(&self, node: Node, time: Seconds) -> Volts {
        Volts::new(self.value(self.voltage(node), time))
    }

    /// The voltage on a capacitor, without what its series resistance loses; zero for other elements.
    pub fn charge_at(&self, element: ElementId, time: Seconds) -> Volts {
        Volts::new(self.value(self.charge(element), time))
    }

    /// The largest current either way, and when; as a magnitude.
    pub fn peak_current(&self, element: ElementId) -> (Seconds, Amps) {
        let (time, value) = self.peak(self.current(element));
        (Seconds::new(time), Amps::new(value))
    }

    /// The highest voltage of a node over ground either way, and when; as a magnitude.
    pub fn peak_voltage(&self, node: Node) -> (Seconds, Volts) {
        let (time, value) = self.peak(self.voltage(node));
        (Seconds::new(time), Volts::new(value))
    }

    /// The highest voltage on a capacitor either way, and when; as a magnitude.
    pub fn peak_charge(&self, element: ElementId) -> (Seconds, Volts) {
        let (time, value) = self.peak(self.charge(element));
        (Seconds::new(time), Volts::new(value))
    }

    /// How long altogether the current is at or above a threshold.
    pub fn time_above(&self, element: ElementId, threshold: Amps) -> Seconds {
        let level = threshold.amps();
        let mut total = 0.0;
        for arc in self.arcs(self.current(element)) {
            for run in arc.runs() {
                let (a, b) = (arc.at(run.0) >= level, arc.at(run.1) >= level);
                total += arc.length
                    * match (a, b) {
                        (true, true) => run.1 - run.0,
                        (false, false) => 0.0,
                        (false, true) => run.1 - arc.crossing(level, run),
                        (true, false) => arc.crossing(level, run) - run.0,
                    };
            }
        }
        Seconds::new(total)
    }

    /// When the voltage on a capacitor first comes to a level; `None` if it does not.
    pub fn charged_to(&self, element: ElementId, level: Volts) -> Option<Seconds> {
        let level = level.volts();
        let curve = self.charge(element);
        if curve(0).value >= level {
            return Some(Seconds::new(0.0));
        }
        for arc in self.arcs(curve) {
            for run in arc.runs() {
                if arc.at(run.0) < level && arc.at(run.1) >= level {
                    return Some(Seconds::new(arc.start + arc.length * arc.crossing(level, run)));
                }
            }
        }
        None
    }

    /// ∫ i² dt through an element.
    pub fn joule_integral(&self, element: ElementId) -> JouleIntegral {
        JouleIntegral::new(self.tallies[self.plan.of_element[element.0].0].square)
    }

    /// ∫ i dt through an element, from its first node to its second.
    pub fn charge_through(&self, element: ElementId) -> Coulombs {
        let (branch, turned) = self.plan.of_element[element.0];
        let charge = self.tallies[branch].charge;
        Coulombs::new(if turned { -charge } else { charge })
    }

    /// What an element turned into heat: R·∫ i² dt, of a diode V_F·∫ i dt besides. The leak of a diode or
    /// switch counts too: it takes the energy of a coil whose current has no other way.
    pub fn heat_in(&self, element: ElementId) -> Joules {
        let placed = &self.network.element(element).element;
        let tally = self.tallies[self.plan.of_element[element.0].0];
        Joules::new(match placed {
            Element::Diode { .. } | Element::Switch { .. } => tally.heat,
            _ => resistance_of(placed) * tally.square,
        })
    }

    /// What a source gave, its own resistance's heat included: −∫ v·i dt. Zero for other elements.
    pub fn energy_from(&self, element: ElementId) -> Joules {
        Joules::new(-self.tallies[self.plan.of_element[element.0].0].work)
    }

    /// Value and slope of a current at each instant.
    fn current(&self, element: ElementId) -> impl Fn(usize) -> Sample {
        let (n, turned) = self.plan.of_element[element.0];
        move |instant| signed(self.course.current(instant, n), turned)
    }

    fn charge(&self, element: ElementId) -> impl Fn(usize) -> Sample {
        let (n, turned) = self.plan.of_element[element.0];
        let stores = matches!(self.network.element(element).element, Element::Capacitor { .. });
        move |instant| match stores {
            true => signed(self.course.charge_voltage(instant, n), turned),
            false => Sample::default(),
        }
    }

    fn voltage(&self, node: Node) -> impl Fn(usize) -> Sample {
        let place = Place::of(&self.network, &self.plan, node);
        move |instant| place.voltage(&self.plan, &self.course, instant)
    }

    /// The stretches of a curve between the steps.
    fn arcs<'a>(&'a self, curve: impl Fn(usize) -> Sample + 'a) -> impl Iterator<Item = Arc> + 'a {
        let times = &self.course.times;
        (1..times.len()).filter(|n| times[*n] > times[n - 1]).map(move |n| Arc {
            start: times[n - 1],
            length: times[n] - times[n - 1],
            from: curve(n - 1),
            to: curve(n),
        })
    }

    fn value(&self, curve: impl Fn(usize) -> Sample, time: Seconds) -> f64 {
        let (times, t) = (&self.course.times, time.seconds());
        let next = times.partition_point(|at| *at < t).clamp(0, times.len() - 1);
        if next == 0 || times[next] <= t {
            return curve(next).value;
        }
        let (start, length) = (times[next - 1], times[next] - times[next - 1]);
        Arc { start, length, from: curve(next - 1), to: curve(next) }.at((t - start) / length)
    }

    /// The largest magnitude, and when.
    fn peak(&self, curve: impl Fn(usize) -> Sample) -> (f64, f64) {
        let mut best = (0.0, curve(0).value.abs());
        for (instant, time) in self.course.times.iter().enumerate() {
            let value = curve(instant).value.abs();
            if value > best.1 {
                best = (*time, value);
            }
        }
        for arc in self.arcs(curve) {
            for (_, share) in arc.runs() {
                let value = arc.at(share).abs();
                if share < 1.0 && value > best.1 {
                    best = (arc.start + arc.length * share, value);
                }
            }
        }
        best
    }
}

fn signed(sample: Sample, turned: bool) -> Sample {
    match turned {
        true => Sample { value: -sample.value, slope: -sample.slope },
        false => sample,
    }
}

/// Where a node is found: it is one of those solved for, or lies inside a branch, behind so much of it.
enum Place {
    Solved(usize),
    Inside { branch: usize, resistance: f64, inductance: f64, capacitor: bool },
}

impl Place {
    fn of(network: &Network, plan: &Plan, node: Node) -> Place {
        if let Some(at) = plan.nodes.iter().position(|n| *n == node) {
            return Place::Solved(at);
        }
        for (branch, chain) in plan.chains.iter().enumerate() {
            let mut here = plan.nodes[plan.branches[branch].from];
            let (mut resistance, mut inductance, mut capacitor) = (0.0, 0.0, false);
            for id in chain {
                let placed = network.element(*id);
                here = if placed.from == here { placed.to } else { placed.from };
                resistance += resistance_of(&placed.element);
                match &placed.element {
                    Element::Coil { inductance: own, .. } => inductance += own.henries(),
                    Element::Capacitor { .. } => capacitor = true,
                    _ => {}
                }
                if here == node {
                    return Place::Inside { branch, resistance, inductance, capacitor };
                }
            }
        }
        unreachable!("a node that nothing leads to is refused before")
    }

    /// The voltage of the first end of the branch, less what is lost up to here.
    fn voltage(&self, plan: &Plan, course: &Course, instant: usize) -> Sample {
        let (n, resistance, inductance, capacitor) = match *self {
            Place::Solved(at) => return course.voltage(instant, at),
            Place::Inside { branch, resistance, inductance, capacitor } => {
                (branch, resistance, inductance, capacitor)
            }
        };
        let branch = &plan.branches[n];
        let (from, to) = (course.voltage(instant, branch.from), course.voltage(instant, branch.to));
        let (i, charge) = (course.current(instant, n), course.charge_voltage(instant, n));
        let mut here =
            Sample { value: from.value - resistance * i.value, slope: from.slope - resistance * i.slope };
        if capacitor {
            here.value -= charge.value;
            here.slope -= charge.slope;
        }
        if inductance > 0.0 {
            let bend = (from.slope - to.slope - branch.resistance * i.slope - branch.elastance * i.value)
                / branch.inductance;
            here.value -= inductance * i.slope;
            here.slope -= inductance * bend;
        }
        here
    }
}

/// A network at rest.
#[derive(Clone, Debug)]
pub struct Steady {
    network: Network,
    plan: Plan,
    course: Course,
}

impl Steady {
    pub(super) fn new(network: &Network, plan: Plan, now: &Solution) -> Steady {
        let course = Course::rest(&plan, now);
        Steady { network: network.clone(), plan, course }
    }

    /// The voltage of a node over ground.
    pub fn voltage(&self, node: Node) -> Volts {
        let place = Place::of(&self.network, &self.plan, node);
        Volts::new(place.voltage(&self.plan, &self.course, 0).value)
    }

    /// The current through an element from its first node to its second.
    pub fn current(&self, element: ElementId) -> Amps {
        let (n, turned) = self.plan.of_element[element.0];
        Amps::new(signed(self.course.current(0, n), turned).value)
    }
}
