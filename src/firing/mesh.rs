//! The part of the circuit that a pulse can run through, as edges between points, before any value is
//! put in.

use std::collections::BTreeMap;

use crate::circuit::{Circuit, NetKind, PartId, PartKind, PinRef, Place};
use crate::drives::sizing::Trigger;
use crate::drives::{Pairing, Plan, WireClass};
use crate::hardware::{End, Wire, WireId, Wiring};
use crate::parse::{BarId, ControlKind, Document};
use crate::track::Position;

/// What lies between two points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum What {
    /// With its two joints.
    Wire(WireId),
    Jumper,
    /// Of a control or of a route's button, while it is worked.
    Contact(PartId),
    /// Between a route's button and a line; conducts from its first end.
    Diode(PartId),
    /// A wire in the place of a diode.
    Link,
    Coil {
        bar: BarId,
        position: Position,
    },
    Bank,
    Bleed,
    /// The charging limiter with the supply behind it.
    Charger,
    /// A bistable relay's coil that lies beside a drive's.
    Relay,
}

#[derive(Clone, Debug)]
pub struct Edge {
    pub what: What,
    pub from: usize,
    pub to: usize,
    pub name: String,
    /// Where its loss is counted: an index into [`Mesh::places`].
    pub place: Option<usize>,
}

/// Contacts that are closed together, each with the two pins that it joins.
type Closed = Vec<(PartId, PinRef, PinRef)>;

/// All of it. Point 0 is the negative of the bank.
pub struct Mesh<'a> {
    pub circuit: &'a Circuit,
    pub wiring: &'a Wiring,
    points: BTreeMap<End, usize>,
    /// By point: "M1:N", "XB1:4".
    pub names: Vec<String>,
    pub edges: Vec<Edge>,
    /// Where energy is lost, in words, with the kind of wire.
    pub places: Vec<(String, Option<WireClass>)>,
    capacitor: PartId,
    triggers: Vec<(Trigger, Closed)>,
}

impl<'a> Mesh<'a> {
    /// `None` if the circuit has no discharge unit.
    pub fn of(
        document: &Document,
        plan: &Plan,
        circuit: &'a Circuit,
        wiring: &'a Wiring,
    ) -> Option<Mesh<'a>> {
        let discharges = plan.bars.iter().any(|b| b.pairing == Pairing::SolenoidDischarge);
        let capacitor = circuit.parts().find(|(_, p)| {
            p.kind == PartKind::Capacitor
                && p.pins
                    .iter()
                    .any(|pin| pin.net.is_some_and(|n| circuit[n].kind == NetKind::CommonPositive))
        });
        let (capacitor, _) = capacitor.filter(|_| discharges)?;
        let mut mesh = Mesh {
            circuit,
            wiring,
            points: BTreeMap::new(),
            names: Vec::new(),
            edges: Vec::new(),
            places: Vec::new(),
            capacitor,
            triggers: Vec::new(),
        };
        let minus = circuit.pin_of(capacitor, "−")?;
        mesh.point(End::Pin(minus));
        mesh.wires(document);
        mesh.parts(plan);
        mesh.triggers = triggers(document, plan, circuit);
        Some(mesh)
    }

    pub fn capacitor(&self) -> PartId {
        self.capacitor
    }

    pub fn triggers(&self) -> impl Iterator<Item = Trigger> + '_ {
        self.triggers.iter().map(|(t, _)| *t)
    }

    /// Whether a wire is part of the panel's cables.
    pub fn leaves_the_panel(&self, wire: WireId) -> bool {
        let (from, to) = places(self.circuit, self.wiring, &self.wiring.wires[wire.0]);
        from != to && (from == Place::Panel || to == Place::Panel)
    }

    fn point(&mut self, end: End) -> usize {
        if let Some(at) = self.points.get(&end) {
            return *at;
        }
        self.points.insert(end, self.names.len());
        self.names.push(self.wiring.end_name(self.circuit, end));
        self.names.len() - 1
    }

    fn edge(&mut self, what: What, from: End, to: End, name: String, place: Option<usize>) {
        let (from, to) = (self.point(from), self.point(to));
        self.edges.push(Edge { what, from, to, name, place });
    }

    fn place(&mut self, words: String, class: Option<WireClass>) -> usize {
        let found = self.places.iter().position(|(w, _)| *w == words);
        found.unwrap_or_else(|| {
            self.places.push((words, class));
            self.places.len() - 1
        })
    }

    fn wires(&mut self, document: &Document) {
        let (circuit, wiring) = (self.circuit, self.wiring);
        let carries = |net: crate::circuit::NetId| {
            matches!(
                circuit[net].kind,
                NetKind::CommonPositive | NetKind::Command(_) | NetKind::Route(_) | NetKind::Return
            )
        };
        for (n, wire) in wiring.wires.iter().enumerate().filter(|(_, w)| carries(w.net)) {
            let place = self.place(along(document, circuit, wiring, wire), Some(wire.class));
            self.edge(What::Wire(WireId(n)), wire.from, wire.to, format!("W{}", wire.number), Some(place));
        }
        for jumper in wiring.jumpers.iter().filter(|j| carries(j.net)) {
            let name = format!("jumper {}", wiring.terminal_name(jumper.to));
            let place = self.place("the jumpers of the strips".into(), None);
            self.edge(What::Jumper, End::Terminal(jumper.from), End::Terminal(jumper.to), name, Some(place));
        }
    }

    fn parts(&mut self, plan: &Plan) {
        let circuit = self.circuit;
        let bank = circuit[self.capacitor].pins.first().and_then(|p| p.net);
        for (id, part) in circuit.parts() {
            let pin = |name: &str| circuit.pin_of(id, name).map(End::Pin);
            let name = part.designation.clone();
            match part.kind {
                PartKind::Capacitor if id == self.capacitor => {
                    if let (Some(plus), Some(minus)) = (pin("+"), pin("−")) {
                        let place = self.place("the capacitor itself".into(), None);
                        self.edge(What::Bank, plus, minus, name, Some(place));
                    }
                }
                PartKind::Resistor => {
                    let (Some(one), Some(two)) = (pin("1"), pin("2")) else { continue };
                    let on_bank = |at: usize| part.pins.get(at).is_some_and(|p| p.net == bank);
                    match (on_bank(0), on_bank(1)) {
                        (true, false) => self.edge(What::Bleed, one, two, name, None),
                        // What lies beyond it is the supply: to the simulation it ends on the negative.
                        (false, true) => {
                            let Some(minus) = circuit.pin_of(self.capacitor, "−") else { continue };
                            self.edge(What::Charger, two, End::Pin(minus), name, None);
                        }
                        _ => {}
                    }
                }
                PartKind::Drive { bar, .. } => {
                    let discharged = plan.of(bar).is_some_and(|b| b.pairing == Pairing::SolenoidDischarge);
                    let Some(common) = pin("C").filter(|_| discharged) else { continue };
                    for (position, at) in [(Position::Normal, "N"), (Position::Reverse, "R")] {
                        if let Some(end) = pin(at) {
                            let what = What::Coil { bar, position };
                            self.edge(what, end, common, format!("{name}:{at}"), None);
                        }
                    }
                }
                PartKind::Diode { .. } => {
                    if let (Some(anode), Some(cathode)) = (pin("A"), pin("K")) {
                        let place = self.place("the diodes of the routes".into(), None);
                        self.edge(What::Diode(id), anode, cathode, name, Some(place));
                    }
                }
                PartKind::Link { .. } => {
                    if let (Some(one), Some(two)) = (pin("1"), pin("2")) {
                        let place = self.place("the wire links of the routes".into(), None);
                        self.edge(What::Link, one, two, name, Some(place));
                    }
                }
                PartKind::Relay { .. } => {
                    let Some(common) = pin("A2") else { continue };
                    for at in ["A1", "B1"] {
                        if let Some(end) = pin(at) {
                            self.edge(What::Relay, end, common, format!("{name}:{at}"), None);
                        }
                    }
                }
                _ => {}
            }
        }
    }

    /// The edges that carry the pulse while something is worked, its contacts among them: what hangs
    /// in the air is left out, and so are coils whose lines are not fed. (A coil of the other position
    /// lies across the return and would see a few millivolts.)
    pub fn live(&self, trigger: Trigger) -> Vec<Edge> {
        let closed = self.triggers.iter().find(|(t, _)| *t == trigger).map_or(&[][..], |(_, c)| c);
        let contacts = closed.iter().filter_map(|(part, from, to)| {
            let [from, to] = [from, to].map(|p| self.points.get(&End::Pin(*p)).copied());
            let name = self.circuit[*part].designation.clone();
            let place = Some(self.places.len());
            Some(Edge { what: What::Contact(*part), from: from?, to: to?, name, place })
        });
        let mut edges: Vec<Edge> = self.edges.iter().cloned().chain(contacts).collect();
        let plus = edges.iter().find(|e| e.what == What::Bank).map_or(0, |e| e.from);
        let fed = reached(&edges, self.names.len(), plus, |what| match what {
            What::Wire(_) | What::Jumper | What::Contact(_) | What::Link => Way::Both,
            What::Diode(_) => Way::On,
            _ => Way::Closed,
        });
        let takes_current = |e: &Edge| matches!(e.what, What::Coil { .. } | What::Relay | What::Diode(_));
        edges.retain(|e| !takes_current(e) || fed[e.from]);
        let joined = reached(&edges, self.names.len(), 0, |_| Way::Both);
        edges.retain(|e| joined[e.from]);
        without_loose_ends(edges, self.names.len())
    }
}

/// In which direction an edge may be walked.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Way {
    Closed,
    /// From its first end to its second.
    On,
    Both,
}

/// Points that can be come to from one.
fn reached(edges: &[Edge], points: usize, from: usize, way: impl Fn(What) -> Way) -> Vec<bool> {
    let mut at: Vec<Vec<usize>> = vec![Vec::new(); points];
    for edge in edges {
        let way = way(edge.what);
        if way != Way::Closed {
            at[edge.from].push(edge.to);
        }
        if way == Way::Both {
            at[edge.to].push(edge.from);
        }
    }
    let mut seen = vec![false; points];
    seen[from] = true;
    let mut next = vec![from];
    while let Some(point) = next.pop() {
        for other in &at[point] {
            if !std::mem::replace(&mut seen[*other], true) {
                next.push(*other);
            }
        }
    }
    seen
}

/// The edges that are left when everything is taken away that ends in the air.
fn without_loose_ends(edges: Vec<Edge>, points: usize) -> Vec<Edge> {
    let mut at: Vec<Vec<usize>> = vec![Vec::new(); points];
    for (n, edge) in edges.iter().enumerate() {
        at[edge.from].push(n);
        at[edge.to].push(n);
    }
    let mut degree: Vec<usize> = at.iter().map(Vec::len).collect();
    let mut kept = vec![true; edges.len()];
    let mut loose: Vec<usize> = (0..points).filter(|p| degree[*p] == 1).collect();
    while let Some(point) = loose.pop() {
        for n in &at[point] {
            if !std::mem::replace(&mut kept[*n], false) {
                continue;
            }
            for end in [edges[*n].from, edges[*n].to] {
                degree[end] -= 1;
                if degree[end] == 1 {
                    loose.push(end);
                }
            }
        }
    }
    edges.into_iter().zip(kept).filter(|(_, kept)| *kept).map(|(e, _)| e).collect()
}

/// What each control closes in each position, and each route's button.
fn triggers(document: &Document, plan: &Plan, circuit: &Circuit) -> Vec<(Trigger, Closed)> {
    let discharges =
        |control| plan.bars.iter().any(|b| b.control == control && b.pairing == Pairing::SolenoidDischarge);
    let probe = circuit.find(|k| k == PartKind::Probe).and_then(|p| circuit.pin_of(p, "P"));
    let mut all = Vec::new();
    for (id, part) in circuit.parts() {
        if let PartKind::RouteButton { route } = part.kind
            && let (Some(from), Some(to)) = (circuit.pin_of(id, "1"), circuit.pin_of(id, "2"))
        {
            all.push((Trigger::Route(route), vec![(id, from, to)]));
        }
        let PartKind::Control { control, .. } = part.kind else { continue };
        if !discharges(control) {
            continue;
        }
        for (position, out, own) in [(Position::Normal, "N", "N1"), (Position::Reverse, "R", "R1")] {
            let from = match *document[control].with {
                ControlKind::PushButtons => circuit.pin_of(id, own),
                ControlKind::StudsAndProbe => probe,
                _ => circuit.pin_of(id, "C"),
            };
            if let (Some(from), Some(to)) = (from, circuit.pin_of(id, out)) {
                all.push((Trigger::Control(control, position), vec![(id, from, to)]));
            }
        }
    }
    all.sort_by_key(|(t, _)| *t);
    all
}

/// Where the ends of a wire are.
fn places(circuit: &Circuit, wiring: &Wiring, wire: &Wire) -> (Place, Place) {
    let place = |end: End| match end {
        End::Pin(p) => circuit[p.part].place,
        End::Terminal(t) => wiring.strips[t.strip.0].place,
    };
    (place(wire.from), place(wire.to))
}

/// "the common return from the panel to board 2 approach", "the drive lines on board 1 station".
fn along(document: &Document, circuit: &Circuit, wiring: &Wiring, wire: &Wire) -> String {
    let (from, to) = places(circuit, wiring, wire);
    let words = |place: Place| match place {
        Place::Panel => "the panel".to_owned(),
        Place::Board(b) => format!("board {} {}", b.0 + 1, *document[b].name),
    };
    let class = wire.class.word();
    if from == to {
        let at = if from == Place::Panel { "within" } else { "on" };
        format!("the {class} {at} {}", words(from))
    } else {
        format!("the {class} from {} to {}", words(from.min(to)), words(from.max(to)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drives::sizing::Trigger;
    use crate::parse::{RouteId, STARTER};
    use crate::source::SourceFile;

    /// The starter has a toggle for T1 and buttons for T2 and T3 together: the route throws T3 as well,
    /// over diodes that its weakest coil feels.
    #[test]
    fn a_route_is_fired_like_a_control() {
        let text = format!("{STARTER}\n[route.a]\nsets = {{ T1 = \"reverse\", T2 = \"normal\" }}\n");
        let design = crate::design(&SourceFile::new("layout.toml", text)).0.expect("a design");
        let shots = &design.firing.units[0].shots;
        let coils: Vec<usize> = shots.iter().map(|s| s.coils.len()).collect();
        assert_eq!(coils, [1, 1, 2, 2, 3]);
        let route = &shots[4];
        assert_eq!(route.trigger, Trigger::Route(RouteId(0)));
        assert_eq!(route.coils[0].position, Position::Reverse);
        assert!(route.margin() < shots[2].margin() && route.surge > shots[2].surge);
        let fired = design.sizing.fired().expect("fired");
        assert_eq!(fired.worst.trigger, route.trigger);
        // One diode leads to the two coils of a line, the other to one.
        let diode = fired.diode_surge.expect("diodes");
        assert!(diode.amps() > 0.5 * fired.surge.amps() && diode < fired.surge);
        assert_eq!(shots[0].diode_surge, None);
    }
}
