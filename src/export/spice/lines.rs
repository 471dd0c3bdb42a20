//! The elements of a network as lines of a deck.

use std::fmt::Write;

use super::names::Names;
use super::{number, one_line};
use crate::electrics::transient::{Element, ElementId, GROUND, LEAK, Network, Node, Placed, Wave};
use crate::units::{Ohms, Seconds};

/// A contact takes so long to open or close, in s: short against all else, and not a jump that would need a
/// step of no length.
const CHANGE: f64 = 1e-6;

pub struct Lines {
    pub text: String,
    nodes: Vec<String>,
    /// By element: its 0 V source, whose current is the element's.
    meters: Vec<String>,
    /// By element: the nodes of its capacitance alone.
    plates: Vec<(String, String)>,
    /// By element: the power it turns into heat, as an expression.
    heats: Vec<String>,
}

impl Lines {
    pub fn of(network: &Network, names: &mut Names) -> Lines {
        // What is made besides has a prefix of its own (a_, b_, c_, i_, m_), so that no name can meet it.
        let nodes = (0..network.node_count()).map(|_| String::new()).collect();
        let mut lines =
            Lines { text: String::new(), nodes, meters: Vec::new(), plates: Vec::new(), heats: Vec::new() };
        lines.text += "* Nodes\n";
        for node in network.nodes() {
            let name = network.node_name(node);
            lines.nodes[node.index()] = match node {
                GROUND => "0".to_owned(),
                _ => names.own(&format!("k_{name}")),
            };
            let _ = writeln!(lines.text, "*   {} = {}", lines.nodes[node.index()], one_line(name));
        }
        for (_, placed) in network.elements() {
            let name = names.own(&format!("x_{}", placed.name));
            lines.element(&name, placed);
        }
        lines
    }

    pub fn node(&self, node: Node) -> &str {
        &self.nodes[node.index()]
    }

    pub fn meter(&self, id: ElementId) -> &str {
        &self.meters[id.index()]
    }

    pub fn plates(&self, id: ElementId) -> (&str, &str) {
        let (plus, minus) = &self.plates[id.index()];
        (plus, minus)
    }

    pub fn heat(&self, id: ElementId) -> &str {
        &self.heats[id.index()]
    }

    /// A 0 V source from the first node to an inner one, then the element from there to its second node.
    fn element(&mut self, name: &str, placed: &Placed) {
        let (from, to) = (self.node(placed.from).to_owned(), self.node(placed.to).to_owned());
        let meter = format!("Vi_{name}");
        let start = format!("a_{name}");
        let _ = writeln!(self.text, "* {}", one_line(&placed.name));
        let _ = writeln!(self.text, "{meter} {from} {start} 0");
        let (resistance, inner) = match &placed.element {
            Element::Resistor(r) => (*r, Inner::Nothing),
            Element::Coil { resistance, inductance } => {
                let current = number(placed.current.amps());
                let inner = match inductance.henries() {
                    0.0 => Inner::Nothing,
                    henries => Inner::Line(format!("L{name}"), format!("{} ic={current}", number(henries))),
                };
                (*resistance, inner)
            }
            Element::Capacitor { capacitance, esr, initial } => {
                let value = format!("{} ic={}", number(capacitance.farads()), number(initial.volts()));
                (*esr, Inner::Line(format!("C{name}"), value))
            }
            Element::Source { wave: Wave::Dc(volts), resistance } => {
                (*resistance, Inner::Line(format!("V{name}"), number(volts.volts())))
            }
            Element::Source { wave: Wave::Sine { peak, period }, resistance } => {
                let (peak, frequency) = (number(peak.volts()), number(1.0 / period.seconds()));
                (*resistance, Inner::Line(format!("V{name}"), format!("SIN(0 {peak} {frequency})")))
            }
            Element::Diode { forward, slope } => {
                (Ohms::new(0.0), Inner::Line(format!("B{name}"), diode(&start, &to, forward.volts(), *slope)))
            }
            Element::Switch { closed, starts_closed, changes } => {
                let _ = writeln!(self.text, "Vc_{name} c_{name} 0 {}", staircase(*starts_closed, changes));
                (Ohms::new(0.0), Inner::Line(format!("B{name}"), contact(&start, &to, name, *closed)))
            }
        };
        let start = match (resistance.ohms(), &inner) {
            (0.0, Inner::Nothing) => {
                let _ = writeln!(self.text, "V{name} {start} {to} 0");
                start
            }
            (0.0, _) => start,
            (ohms, Inner::Nothing) => {
                let _ = writeln!(self.text, "R{name} {start} {to} {}", number(ohms));
                start
            }
            (ohms, _) => {
                let _ = writeln!(self.text, "R{name} {start} b_{name} {}", number(ohms));
                format!("b_{name}")
            }
        };
        if let Inner::Line(part, value) = inner {
            let _ = writeln!(self.text, "{part} {start} {to} {value}");
        }
        self.heats.push(match &placed.element {
            Element::Diode { .. } | Element::Switch { .. } => format!("v({start},{to})*i({meter})"),
            _ => format!("{}*i({meter})*i({meter})", number(resistance.ohms())),
        });
        self.meters.push(meter);
        self.plates.push((start, to));
    }
}

/// What stands in series with an element's resistance.
enum Inner {
    Nothing,
    /// The part's name and its value.
    Line(String, String),
}

/// The current of a diode's two straight lines, x/2 + √(x² + δ²)/2 for x beyond the forward voltage: the
/// corner is rounded within a milliamp, or Newton's method may find no way round it. The leak goes on
/// while it conducts, and a slope of nothing becomes a steep one.
fn diode(from: &str, to: &str, forward: f64, slope: Ohms) -> String {
    const STEEPEST: Ohms = Ohms::new(1e-3);
    let slope = slope.max(STEEPEST).ohms();
    let beyond = format!("(v({from},{to})-{})", number(forward));
    let corner = number((2e-3 * slope).powi(2));
    let (leak, slope) = (number(LEAK.ohms()), number(2.0 * slope));
    format!("I=v({from},{to})/{leak}+({beyond}+sqrt({beyond}*{beyond}+{corner}))/{slope}")
}

/// The current of a contact whose conductance goes by equal factors in equal times from that of a leak to
/// its own: with a jump there would be no convergence under current.
fn contact(from: &str, to: &str, name: &str, closed: Ohms) -> String {
    const LEAST: Ohms = Ohms::new(1e-6);
    let factor = number((LEAK / closed.max(LEAST)).ln());
    format!("I=v({from},{to})/{}*exp({factor}*v(c_{name}))", number(LEAK.ohms()))
}

/// 1 V while a switch is closed, 0 V while it is open.
fn staircase(mut closed: bool, changes: &[Seconds]) -> String {
    let volts = |closed: bool| if closed { "1" } else { "0" };
    let mut text = format!("PWL(0 {}", volts(closed));
    for change in changes {
        let time = change.seconds();
        let _ = write!(text, " {} {}", number(time.max(CHANGE)), volts(closed));
        closed = !closed;
        let _ = write!(text, " {} {}", number(time.max(CHANGE) + CHANGE), volts(closed));
    }
    text + ")"
}
