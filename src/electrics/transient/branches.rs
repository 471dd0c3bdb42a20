//! A network drawn together for solving: elements in series become one branch, and nodes that lie
//! inside a branch are found again from its current.

use petgraph::unionfind::UnionFind;

use super::network::{Element, ElementId, LEAK, Network, Placed, Wave};
use super::{GROUND, Node, SolveError};

/// A resistance, an inductance, a capacitance and a source in series.
#[derive(Clone, Debug)]
pub struct Branch {
    /// Places in [`Plan::nodes`]; 0 is ground.
    pub from: usize,
    pub to: usize,
    pub resistance: f64,
    pub inductance: f64,
    /// 1/C; zero without a capacitor.
    pub elastance: f64,
    /// The capacitor's voltage at the start.
    pub initial_voltage: f64,
    /// The inductance's current at the start.
    pub initial_current: f64,
    /// Its voltage at its first end over that at its second, without current.
    pub source: Option<Wave>,
    pub gate: Gate,
}

/// Whether a branch can cut itself off.
#[derive(Clone, Debug)]
pub enum Gate {
    None,
    /// The forward voltage.
    Diode(f64),
    /// Closed at the start; and when it changes.
    Switch(bool, Vec<f64>),
}

/// The network as branches.
#[derive(Clone, Debug)]
pub struct Plan {
    pub branches: Vec<Branch>,
    /// The nodes that are left as unknowns, ground first.
    pub nodes: Vec<Node>,
    /// Of each element: its branch, and whether it lies in it the other way round.
    pub of_element: Vec<(usize, bool)>,
    /// Elements of each branch in order from its first end.
    pub chains: Vec<Vec<ElementId>>,
}

impl Plan {
    pub fn of(network: &Network) -> Result<Plan, SolveError> {
        for (_, placed) in network.elements() {
            sound(placed)?;
        }
        grounded(network)?;
        ring(network, |element| resistance_of(element) == 0.0 && !inductive(element))?;
        Ok(Plan::drawn_together(network))
    }

    /// For a network that has come to rest: inductances are wires, capacitors carry nothing.
    pub fn at_rest(network: &Network) -> Result<Plan, SolveError> {
        ring(network, |e| resistance_of(e) == 0.0 && !matches!(e, Element::Capacitor { .. }))?;
        Plan::of(network)
    }

    fn drawn_together(network: &Network) -> Plan {
        let chains = chains(network);
        let mut nodes = vec![GROUND];
        let mut place = vec![None; network.node_count()];
        place[0] = Some(0);
        let mut plan = Plan {
            branches: Vec::new(),
            nodes: Vec::new(),
            of_element: vec![(0, false); network.elements().count()],
            chains: Vec::new(),
        };
        for (ends, chain) in chains {
            let [from, to] = ends.map(|node: Node| {
                *place[node.0].get_or_insert_with(|| {
                    nodes.push(node);
                    nodes.len() - 1
                })
            });
            let mut branch = Branch {
                from,
                to,
                resistance: 0.0,
                inductance: 0.0,
                elastance: 0.0,
                initial_voltage: 0.0,
                initial_current: 0.0,
                source: None,
                gate: Gate::None,
            };
            for (id, turned) in &chain {
                plan.of_element[id.0] = (plan.branches.len(), *turned);
                branch.take(network.element(*id), *turned);
            }
            plan.branches.push(branch);
            plan.chains.push(chain.into_iter().map(|(id, _)| id).collect());
        }
        plan.nodes = nodes;
        plan
    }
}

impl Branch {
    fn take(&mut self, placed: &Placed, turned: bool) {
        match &placed.element {
            Element::Resistor(r) => self.resistance += r.ohms(),
            Element::Coil { resistance, inductance } => {
                self.resistance += resistance.ohms();
                let (before, own) = (self.inductance, inductance.henries());
                self.inductance += own;
                if own > 0.0 {
                    // Coils in series that start with different currents share their flux at once.
                    let current = placed.current.amps() * if turned { -1.0 } else { 1.0 };
                    self.initial_current = (before * self.initial_current + own * current) / self.inductance;
                }
            }
            Element::Capacitor { capacitance, esr, initial } => {
                self.resistance += esr.ohms();
                self.elastance = 1.0 / capacitance.farads();
                self.initial_voltage = if turned { -initial.volts() } else { initial.volts() };
            }
            Element::Diode { forward, slope } => {
                self.resistance = slope.ohms();
                self.gate = Gate::Diode(forward.volts());
            }
            Element::Switch { closed, starts_closed, changes } => {
                self.resistance = closed.ohms();
                let changes = changes.iter().map(|t| t.seconds()).collect();
                self.gate = Gate::Switch(*starts_closed, changes);
            }
            Element::Source { wave, resistance } => {
                self.resistance += resistance.ohms();
                self.source = Some(*wave);
            }
        }
    }
}

/// Resistance of one element, as it lies in its branch.
pub fn resistance_of(element: &Element) -> f64 {
    match element {
        Element::Resistor(r) | Element::Coil { resistance: r, .. } => r.ohms(),
        Element::Capacitor { esr, .. } => esr.ohms(),
        Element::Diode { slope, .. } => slope.ohms(),
        Element::Switch { closed, .. } => closed.ohms(),
        Element::Source { resistance, .. } => resistance.ohms(),
    }
}

fn sound(placed: &Placed) -> Result<(), SolveError> {
    let not_negative = |v: f64| v.is_finite() && v >= 0.0;
    let positive = |v: f64| v.is_finite() && v > 0.0;
    let right = not_negative(resistance_of(&placed.element))
        && match &placed.element {
            Element::Resistor(_) => true,
            Element::Coil { inductance, .. } => {
                not_negative(inductance.henries()) && placed.current.amps().is_finite()
            }
            Element::Capacitor { capacitance, initial, .. } => {
                positive(capacitance.farads()) && initial.volts().is_finite()
            }
            Element::Diode { forward, slope } => not_negative(forward.volts()) && slope.ohms() < LEAK.ohms(),
            Element::Switch { changes, .. } => {
                changes.iter().all(|t| not_negative(t.seconds())) && changes.is_sorted()
            }
            Element::Source { wave: Wave::Dc(v), .. } => v.volts().is_finite(),
            Element::Source { wave: Wave::Sine { peak, period }, .. } => {
                peak.volts().is_finite() && positive(period.seconds())
            }
        };
    if right { Ok(()) } else { Err(SolveError::Value { element: placed.name.clone() }) }
}

fn grounded(network: &Network) -> Result<(), SolveError> {
    let mut joined = UnionFind::new(network.node_count());
    for (_, placed) in network.elements() {
        joined.union(placed.from.0, placed.to.0);
    }
    let floating = (1..network.node_count()).find(|n| !joined.equiv(*n, 0));
    match floating {
        Some(n) => Err(SolveError::Floating { node: network.node_name(Node(n)).to_owned() }),
        None => Ok(()),
    }
}

fn inductive(element: &Element) -> bool {
    matches!(element, Element::Coil { inductance, .. } if inductance.henries() > 0.0)
}

/// No ring may consist of sources, switches, wires, diodes and capacitors without any resistance: its
/// current would have no bounds. A diode or switch that happens to be open now may close later.
fn ring(network: &Network, unbounded: impl Fn(&Element) -> bool) -> Result<(), SolveError> {
    let mut joined = UnionFind::new(network.node_count());
    for (_, placed) in network.elements() {
        if unbounded(&placed.element) && !joined.union(placed.from.0, placed.to.0) {
            return Err(SolveError::Ring { element: placed.name.clone() });
        }
    }
    Ok(())
}

/// Whether an element may share a branch with others.
fn joins(element: &Element) -> bool {
    matches!(element, Element::Resistor(_) | Element::Coil { .. } | Element::Capacitor { .. })
}

type Chain = ([Node; 2], Vec<(ElementId, bool)>);

/// Elements in series, by the nodes at which exactly two elements meet that may share a branch. Two
/// capacitors do not share one, because each keeps its own voltage.
fn chains(network: &Network) -> Vec<Chain> {
    let mut at: Vec<Vec<ElementId>> = vec![Vec::new(); network.node_count()];
    for (id, placed) in network.elements() {
        at[placed.from.0].push(id);
        at[placed.to.0].push(id);
    }
    let stores = |id: ElementId| matches!(network.element(id).element, Element::Capacitor { .. });
    let inner = |node: Node, by: ElementId| -> Option<ElementId> {
        let [a, b] = at[node.0][..] else { return None };
        let next = if a == by { b } else { a };
        let fits = node != GROUND && next != by && joins(&network.element(next).element);
        fits.then_some(next)
    };
    let mut taken = vec![false; network.elements().count()];
    let mut found = Vec::new();
    for (id, placed) in network.elements() {
        if taken[id.0] {
            continue;
        }
        taken[id.0] = true;
        let mut chain = std::collections::VecDeque::from([(id, false)]);
        let mut ends = [placed.from, placed.to];
        let mut capacitors = usize::from(stores(id));
        for (side, end) in ends.iter_mut().enumerate() {
            let mut last = id;
            while joins(&placed.element) {
                let Some(next) = inner(*end, last).filter(|n| !taken[n.0]) else { break };
                if stores(next) && capacitors > 0 {
                    break;
                }
                capacitors += usize::from(stores(next));
                taken[next.0] = true;
                let place = network.element(next);
                // Walking on from the second end an element lies the right way if it begins there.
                let begins_here = place.from == *end;
                *end = if begins_here { place.to } else { place.from };
                match side {
                    0 => chain.push_front((next, begins_here)),
                    _ => chain.push_back((next, !begins_here)),
                }
                last = next;
            }
        }
        found.push((ends, chain.into()));
    }
    found
}
