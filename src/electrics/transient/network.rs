//! The circuit to be solved: elements between named nodes.

use std::collections::BTreeMap;

use crate::units::{Amps, Farads, Henries, Ohms, Seconds, Volts};

/// A node of a [`Network`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Node(pub(super) usize);

impl Node {
    /// Its place among the nodes of its network, in the order in which they were made; ground is 0.
    pub fn index(self) -> usize {
        self.0
    }
}

/// The node that voltages are measured from.
pub const GROUND: Node = Node(0);

/// An element of a [`Network`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ElementId(pub(super) usize);

impl ElementId {
    /// Its place among [`Network::elements`].
    pub fn index(self) -> usize {
        self.0
    }
}

/// What an element does. A current counts as positive from the element's first node to its second.
#[derive(Clone, Debug, PartialEq)]
pub enum Element {
    /// A resistor or a wire; may be 0 Ω.
    Resistor(Ohms),
    /// A coil: resistance and inductance in series, without current at the start unless
    /// [`Network::carry`] says so.
    Coil { resistance: Ohms, inductance: Henries },
    /// A capacitor with its equivalent series resistance, charged to `initial` at the start.
    Capacitor { capacitance: Farads, esr: Ohms, initial: Volts },
    /// Conducts from its first node (anode) to its second, in two straight lines: at and above
    /// `forward` it is a source of that voltage with the resistance `slope`, below it a leak of
    /// [`LEAK`].
    Diode { forward: Volts, slope: Ohms },
    /// `closed` ohms while closed, [`LEAK`] while open. It starts as `starts_closed` says and changes
    /// at each of the times, which rise.
    Switch { closed: Ohms, starts_closed: bool, changes: Vec<Seconds> },
    /// A voltage of its first node over its second, with the resistance of the source in series.
    Source { wave: Wave, resistance: Ohms },
}

/// The course of a source's voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wave {
    Dc(Volts),
    /// peak · sin(2π·t/period)
    Sine {
        peak: Volts,
        period: Seconds,
    },
}

impl Wave {
    pub(super) fn at(self, time: f64) -> f64 {
        match self {
            Wave::Dc(volts) => volts.volts(),
            Wave::Sine { peak, period } => {
                peak.volts() * (std::f64::consts::TAU * time / period.seconds()).sin()
            }
        }
    }

    /// dV/dt
    pub(super) fn slope_at(self, time: f64) -> f64 {
        match self {
            Wave::Dc(_) => 0.0,
            Wave::Sine { peak, period } => {
                let rate = std::f64::consts::TAU / period.seconds();
                peak.volts() * rate * (rate * time).cos()
            }
        }
    }

    /// The largest voltage it comes to, without its sign.
    pub(super) fn peak(self) -> f64 {
        match self {
            Wave::Dc(peak) | Wave::Sine { peak, .. } => peak.volts().abs(),
        }
    }
}

/// What a blocking diode or an open switch lets through: 1 GΩ. It keeps a part that is cut off on
/// both sides at a voltage, and is less than any measured one.
pub const LEAK: Ohms = Ohms::new(1e9);

/// An element with its name and nodes.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    pub name: String,
    pub from: Node,
    pub to: Node,
    pub element: Element,
    /// Through it at the start, from its first node to its second, if it is a coil with inductance; of
    /// no meaning for others.
    pub current: Amps,
}

/// Elements between nodes. Node and element names are for messages and decks; a node's name stands for
/// it when another element is put there.
///
/// ```
/// use underboard::electrics::transient::{GROUND, Network};
/// use underboard::units::{Farads, Henries, Ohms, Volts};
///
/// let mut network = Network::new();
/// let plus = network.node("plus");
/// network.capacitor("C1", plus, GROUND, Farads::new(4.7e-3), Ohms::new(0.05), Volts::new(24.0));
/// let coil = network.coil("M1", plus, GROUND, Ohms::new(4.5), Henries::new(8e-3));
/// let transient = network.simulate(underboard::units::Seconds::new(0.2)).unwrap();
/// let (at, peak) = transient.peak_current(coil);
/// assert!(peak.amps() > 4.0 && at.seconds() < 0.01);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Network {
    names: Vec<String>,
    by_name: BTreeMap<String, Node>,
    elements: Vec<Placed>,
}

impl Network {
    pub fn new() -> Network {
        let mut network = Network::default();
        network.node("0");
        network
    }

    /// The node of this name, made if there is none yet. "0" is [`GROUND`].
    pub fn node(&mut self, name: &str) -> Node {
        if let Some(node) = self.by_name.get(name) {
            return *node;
        }
        let node = Node(self.names.len());
        self.names.push(name.to_owned());
        self.by_name.insert(name.to_owned(), node);
        node
    }

    /// All nodes, ground first.
    pub fn nodes(&self) -> impl Iterator<Item = Node> + use<> {
        (0..self.names.len()).map(Node)
    }

    pub fn node_name(&self, node: Node) -> &str {
        &self.names[node.0]
    }

    /// How many nodes there are, ground among them.
    pub fn node_count(&self) -> usize {
        self.names.len()
    }

    pub fn element(&self, id: ElementId) -> &Placed {
        &self.elements[id.0]
    }

    pub fn elements(&self) -> impl Iterator<Item = (ElementId, &Placed)> {
        self.elements.iter().enumerate().map(|(n, e)| (ElementId(n), e))
    }

    /// Puts an element between two nodes.
    pub fn add(&mut self, name: impl Into<String>, from: Node, to: Node, element: Element) -> ElementId {
        self.elements.push(Placed { name: name.into(), from, to, element, current: Amps::new(0.0) });
        ElementId(self.elements.len() - 1)
    }

    /// Puts another element in the place of one: a tolerance, a thicker wire.
    pub fn replace(&mut self, id: ElementId, element: Element) {
        self.elements[id.0].element = element;
    }

    /// Lets a coil carry a current at the start, from its first node to its second.
    pub fn carry(&mut self, coil: ElementId, current: Amps) {
        self.elements[coil.0].current = current;
    }

    pub fn resistor(&mut self, name: impl Into<String>, from: Node, to: Node, resistance: Ohms) -> ElementId {
        self.add(name, from, to, Element::Resistor(resistance))
    }

    pub fn coil(
        &mut self,
        name: impl Into<String>,
        from: Node,
        to: Node,
        resistance: Ohms,
        inductance: Henries,
    ) -> ElementId {
        self.add(name, from, to, Element::Coil { resistance, inductance })
    }

    pub fn capacitor(
        &mut self,
        name: impl Into<String>,
        from: Node,
        to: Node,
        capacitance: Farads,
        esr: Ohms,
        initial: Volts,
    ) -> ElementId {
        self.add(name, from, to, Element::Capacitor { capacitance, esr, initial })
    }

    /// `from` is the anode.
    pub fn diode(
        &mut self,
        name: impl Into<String>,
        from: Node,
        to: Node,
        forward: Volts,
        slope: Ohms,
    ) -> ElementId {
        self.add(name, from, to, Element::Diode { forward, slope })
    }

    pub fn source(
        &mut self,
        name: impl Into<String>,
        from: Node,
        to: Node,
        wave: Wave,
        resistance: Ohms,
    ) -> ElementId {
        self.add(name, from, to, Element::Source { wave, resistance })
    }
}
