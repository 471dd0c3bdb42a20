//! What came of it: the course of every voltage and current, and what is asked of them.

use super::branches::{Plan, resistance_of};
use super::network::{Element, ElementId, Network, Node};
use super::solve::{Solution, State};
use crate::units::{Amps, Coulombs, JouleIntegral, Joules, Seconds, Volts};

/// Everything at one instant. Two may bear the same time, before and after something jumped.
#[derive(Clone, Debug)]
pub struct Moment {
    pub time: f64,
    pub voltages: Vec<f64>,
    pub currents: Vec<f64>,
    pub charge_voltages: Vec<f64>,
    pub slopes: Vec<State>,
}

/// Sums over a branch's current.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    pub charge: f64,
    pub square: f64,
}

/// A network's course from the start to the end of a simulation. Between the steps it is a cubic
/// through values and slopes for coil currents and capacitor voltages, and straight for the rest.
#[derive(Clone, Debug)]
pub struct Transient {
    network: Network,
    plan: Plan,
    moments: Vec<Moment>,
    tallies: Vec<Tally>,
}

/// A stretch of a curve between two steps.
#[derive(Clone, Copy)]
struct Arc {
    start: f64,
    length: f64,
    from: f64,
    to: f64,
    /// Slopes at both ends; `None`: straight.
    slopes: Option<(f64, f64)>,
}

impl Arc {
    /// `share` from 0 to 1.
    fn at(&self, share: f64) -> f64 {
        let Some((a, b)) = self.slopes else { return self.from + (self.to - self.from) * share };
        let (s, r) = (share, 1.0 - share);
        self.from * r * r * (1.0 + 2.0 * s)
            + self.to * s * s * (3.0 - 2.0 * s)
            + self.length * s * r * (a * r - b * s)
    }

    /// Where inside it is level, as shares.
    fn level(&self) -> Vec<f64> {
        let Some((a, b)) = self.slopes else { return Vec::new() };
        // The derivative of the cubic over the share is p·s² + q·s + r.
        let (a, b, rise) = (a * self.length, b * self.length, self.to - self.from);
        let (p, q, r) = (3.0 * (a + b - 2.0 * rise), 2.0 * (3.0 * rise - 2.0 * a - b), a);
        let root = q * q - 4.0 * p * r;
        if root < 0.0 {
            return Vec::new();
        }
        let k = -0.5 * (q + root.sqrt().copysign(q));
        [k / p, r / k].into_iter().filter(|s| s.is_finite() && *s > 0.0 && *s < 1.0).collect()
    }

    /// Parts within which it only rises or only falls.
    fn runs(&self) -> Vec<(f64, f64)> {
        let mut cuts = self.level();
        cuts.push(1.0);
        cuts.sort_by(f64::total_cmp);
        let mut last = 0.0;
        cuts.into_iter().map(|cut| (std::mem::replace(&mut last, cut), cut)).collect()
    }

    /// Where it crosses `level` within a run on which it does so, by bisection.
    fn crossing(&self, level: f64, (mut low, mut high): (f64, f64)) -> f64 {
        let rising = self.at(high) > self.at(low);
        for _ in 0..80 {
            let middle = 0.5 * (low + high);
            if (self.at(middle) < level) == rising { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }
}

impl Transient {
    pub(super) fn new(network: &Network, plan: Plan, moments: Vec<Moment>, tallies: Vec<Tally>) -> Transient {
        Transient { network: network.clone(), plan, moments, tallies }
    }

    /// How many steps were taken.
    pub fn steps(&self) -> usize {
        self.moments.len() - 1
    }

    /// The times of the steps.
    pub fn times(&self) -> impl Iterator<Item = Seconds> + '_ {
        self.moments.iter().map(|m| Seconds::new(m.time))
    }

    pub fn end(&self) -> Seconds {
        Seconds::new(self.moments.last().map_or(0.0, |m| m.time))
    }

    /// The current through an element from its first node to its second.
    pub fn current_at(&self, element: ElementId, time: Seconds) -> Amps {
        Amps::new(self.value(&self.current_arcs(element), time))
    }

    /// The voltage of a node over ground.
    pub fn voltage_at(&self, node: Node, time: Seconds) -> Volts {
        Volts::new(self.value(&self.voltage_arcs(node), time))
    }

    /// The voltage on a capacitor, without what its series resistance loses; zero for other elements.
    pub fn charge_at(&self, element: ElementId, time: Seconds) -> Volts {
        Volts::new(self.value(&self.charge_arcs(element), time))
    }

    /// The largest current either way, and when; as a magnitude.
    pub fn peak_current(&self, element: ElementId) -> (Seconds, Amps) {
        let (time, value) = peak(&self.current_arcs(element));
        (Seconds::new(time), Amps::new(value))
    }

    /// The highest voltage of a node over ground either way, and when; as a magnitude.
    pub fn peak_voltage(&self, node: Node) -> (Seconds, Volts) {
        let (time, value) = peak(&self.voltage_arcs(node));
        (Seconds::new(time), Volts::new(value))
    }

    /// The highest voltage on a capacitor either way, and when; as a magnitude.
    pub fn peak_charge(&self, element: ElementId) -> (Seconds, Volts) {
        let (time, value) = peak(&self.charge_arcs(element));
        (Seconds::new(time), Volts::new(value))
    }

    /// How long altogether the current is at or above a threshold.
    pub fn time_above(&self, element: ElementId, threshold: Amps) -> Seconds {
        let level = threshold.amps();
        let mut total = 0.0;
        for arc in self.current_arcs(element) {
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
        let arcs = self.charge_arcs(element);
        if arcs.first().is_some_and(|a| a.from >= level) {
            return Some(Seconds::new(0.0));
        }
        for arc in arcs {
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

    /// What an element turned into heat: R·∫ i² dt, of a diode V_F·∫ i dt besides.
    pub fn heat_in(&self, element: ElementId) -> Joules {
        let placed = &self.network.element(element).element;
        let fixed = match placed {
            Element::Diode { forward, .. } => forward.volts() * self.charge_through(element).coulombs(),
            _ => 0.0,
        };
        let square = self.joule_integral(element).amps_squared_seconds();
        Joules::new(resistance_of(placed) * square + fixed)
    }

    fn value(&self, arcs: &[Arc], time: Seconds) -> f64 {
        let t = time.seconds();
        let next = arcs.partition_point(|arc| arc.start + arc.length < t);
        match arcs.get(next).or(arcs.last()) {
            Some(arc) if arc.length > 0.0 => arc.at(((t - arc.start) / arc.length).clamp(0.0, 1.0)),
            Some(arc) => arc.to,
            None => 0.0,
        }
    }

    fn arcs(&self, value: impl Fn(&Moment) -> f64, slope: impl Fn(&Moment) -> Option<f64>) -> Vec<Arc> {
        self.moments
            .windows(2)
            .filter(|pair| pair[1].time > pair[0].time)
            .map(|pair| Arc {
                start: pair[0].time,
                length: pair[1].time - pair[0].time,
                from: value(&pair[0]),
                to: value(&pair[1]),
                slopes: slope(&pair[0]).zip(slope(&pair[1])),
            })
            .collect()
    }

    fn current_arcs(&self, element: ElementId) -> Vec<Arc> {
        let (n, turned) = self.plan.of_element[element.0];
        let sign = if turned { -1.0 } else { 1.0 };
        let inductive = self.plan.branches[n].inductance > 0.0;
        self.arcs(|m| sign * m.currents[n], |m| inductive.then(|| sign * m.slopes[n].current))
    }

    fn charge_arcs(&self, element: ElementId) -> Vec<Arc> {
        let (n, turned) = self.plan.of_element[element.0];
        let sign = if turned { -1.0 } else { 1.0 };
        self.arcs(|m| sign * m.charge_voltages[n], |m| Some(sign * m.slopes[n].charge_voltage))
    }

    fn voltage_arcs(&self, node: Node) -> Vec<Arc> {
        let at = self.plan.nodes.iter().position(|n| *n == node);
        match at {
            Some(at) => self.arcs(|m| m.voltages[at], |_| None),
            None => self.arcs(|m| inside(&self.network, &self.plan, node, m), |_| None),
        }
    }
}

/// The voltage of a node inside a branch: from its first end on, less what is lost up to there.
fn inside(network: &Network, plan: &Plan, node: Node, m: &Moment) -> f64 {
    for (n, chain) in plan.chains.iter().enumerate() {
        let mut here = plan.nodes[plan.branches[n].from];
        let mut volts = m.voltages[plan.branches[n].from];
        for id in chain {
            let placed = network.element(*id);
            here = if placed.from == here { placed.to } else { placed.from };
            volts -= resistance_of(&placed.element) * m.currents[n];
            match &placed.element {
                Element::Coil { inductance, .. } => volts -= inductance.henries() * m.slopes[n].current,
                Element::Capacitor { .. } => volts -= m.charge_voltages[n],
                _ => {}
            }
            if here == node {
                return volts;
            }
        }
    }
    0.0
}

fn peak(arcs: &[Arc]) -> (f64, f64) {
    let mut best = (0.0, 0.0);
    for arc in arcs {
        for share in arc.level().into_iter().chain([0.0, 1.0]) {
            let value = arc.at(share).abs();
            if value > best.1 {
                best = (arc.start + arc.length * share, value);
            }
        }
    }
    best
}

/// A network at rest.
#[derive(Clone, Debug)]
pub struct Steady {
    network: Network,
    plan: Plan,
    moment: Moment,
}

impl Steady {
    pub(super) fn new(network: &Network, plan: Plan, solution: Solution) -> Steady {
        let none = vec![0.0; plan.branches.len()];
        // A capacitor at rest bears what its branch has across and does not lose.
        let charge_voltages = plan
            .branches
            .iter()
            .zip(&solution.currents)
            .map(|(b, i)| {
                let across = solution.voltages[b.from] - solution.voltages[b.to];
                if b.elastance > 0.0 { across - b.resistance * i } else { 0.0 }
            })
            .collect();
        let moment = Moment {
            time: 0.0,
            voltages: solution.voltages,
            currents: solution.currents,
            charge_voltages,
            slopes: vec![State::default(); none.len()],
        };
        Steady { network: network.clone(), plan, moment }
    }

    /// The voltage of a node over ground.
    pub fn voltage(&self, node: Node) -> Volts {
        let at = self.plan.nodes.iter().position(|n| *n == node);
        let volts = at.map_or_else(
            || inside(&self.network, &self.plan, node, &self.moment),
            |at| self.moment.voltages[at],
        );
        Volts::new(volts)
    }

    /// The current through an element from its first node to its second.
    pub fn current(&self, element: ElementId) -> Amps {
        let (n, turned) = self.plan.of_element[element.0];
        let i = self.moment.currents[n];
        Amps::new(if turned { -i } else { i })
    }
}
