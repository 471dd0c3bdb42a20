//! One control worked once: the network with its values, and what comes of it.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::Case;
use super::corner::{Corner, needs};
use super::mesh::{Edge, Mesh, What};
use crate::drives::WireClass;
use crate::drives::sizing::{BankSizing, CoilPulse, Loss, Needs, Shot, Trigger, solenoid};
use crate::electrics::conductor;
use crate::electrics::transient::{Element, ElementId, GROUND, Network, Node, Transient, Wave};
use crate::parse::{BarId, Document};
use crate::track::Position;
use crate::units::{Amps, Farads, JouleIntegral, Joules, Ohms, Seconds, Volts, WireSize};

/// The shot with the lowest margin; the first of equals.
pub fn worst(shots: &[Shot]) -> Option<usize> {
    let with_coils = shots.iter().enumerate().filter(|(_, s)| !s.coils.is_empty());
    with_coils.min_by(|a, b| a.1.rank().total_cmp(&b.1.rank())).map(|(n, _)| n)
}

/// The course of a shot, for drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Curves {
    pub times: Vec<Seconds>,
    pub bank: Vec<Volts>,
    /// By coil, in the order of the shot's.
    pub coils: Vec<Vec<Amps>>,
}

/// Values to try.
#[derive(Clone, Debug)]
pub struct Trial {
    pub capacitance: Farads,
    pub esr: Ohms,
    /// On the bank at the start, in the weakest and in the strongest corner.
    pub lowest: Volts,
    pub highest: Volts,
    pub limiter: Ohms,
    pub bleed: Ohms,
    /// Sizes other than those of the wiring.
    pub sizes: Vec<(WireClass, WireSize)>,
}

/// The mesh with what gives it values.
pub struct Fireable<'a> {
    document: &'a Document,
    mesh: &'a Mesh<'a>,
    /// Edges by trigger, found once.
    live: BTreeMap<Trigger, Vec<Edge>>,
    /// Whether the panel's cable is a guess.
    typical_cable: bool,
    /// Results by what the solver was given: the two positions of a control mostly agree.
    known: RefCell<BTreeMap<Vec<u64>, Pulse>>,
}

/// What the solver says of one network, by the order of its coils.
#[derive(Clone, Debug)]
struct Pulse {
    coils: Vec<Got>,
    left: Volts,
    losses: Vec<Joules>,
    surge: (Amps, JouleIntegral),
    diode_surge: Option<Amps>,
}

/// Of one coil: as in [`CoilPulse`].
#[derive(Clone, Copy, Debug, Default)]
struct Got {
    energy: Joules,
    peak: Amps,
    peak_at: Seconds,
    above: Seconds,
}

/// A network for one trigger, with the elements by edge.
struct Built {
    network: Network,
    elements: Vec<ElementId>,
    bank: Option<ElementId>,
    until: Seconds,
}

/// A bistable relay's coil beside a drive's (from memory: 12 V types have about 1 kΩ).
const RELAY: Ohms = Ohms::new(1000.0);
/// Points of a drawn curve.
const POINTS: usize = 160;

impl<'a> Fireable<'a> {
    pub fn new(document: &'a Document, mesh: &'a Mesh<'a>) -> Fireable<'a> {
        let live = mesh.triggers().map(|t| (t, mesh.live(t))).collect();
        let typical_cable = document.panel.typical;
        Fireable { document, mesh, live, typical_cable, known: RefCell::default() }
    }

    pub fn triggers(&self) -> impl Iterator<Item = Trigger> + '_ {
        self.live.keys().copied()
    }

    /// Values for a bank, with wires of other sizes than they have.
    pub fn trial(&self, bank: &BankSizing, sizes: &[(WireClass, WireSize)]) -> Trial {
        Trial {
            capacitance: bank.capacitor,
            esr: bank.esr(),
            lowest: bank.lowest,
            highest: bank.highest,
            limiter: bank.limiter,
            bleed: bank.bleed,
            sizes: sizes.to_vec(),
        }
    }

    /// The bars and positions that a trigger fires.
    pub fn fired(&self, trigger: Trigger) -> Vec<(BarId, Position)> {
        let coils = self.live[&trigger].iter().filter_map(|e| match e.what {
            What::Coil { bar, position } => Some((bar, position)),
            _ => None,
        });
        coils.collect()
    }

    /// In both corners.
    pub fn fire(&self, trigger: Trigger, trial: &Trial) -> Shot {
        let weak = self.weak(trigger, trial);
        let strong = self.pulse(trigger, trial, Corner::Strong);
        let (surge, surge_integral) = strong.surge;
        Shot { surge, surge_integral, diode_surge: strong.diode_surge, ..weak }
    }

    /// In the weakest corner alone; the surge is left at zero.
    pub fn weak(&self, trigger: Trigger, trial: &Trial) -> Shot {
        let pulse = self.pulse(trigger, trial, Corner::Weak);
        let coils = self.coil_pulses(&self.live[&trigger], &pulse);
        Shot {
            trigger,
            coils,
            start: trial.lowest,
            left: pulse.left,
            losses: self.losses(trigger, &pulse.losses),
            surge: Amps::new(0.0),
            surge_integral: JouleIntegral::new(0.0),
            diode_surge: None,
        }
    }

    /// The lowest margin of a trigger's coils if only so many are fired at a time; weakest corner.
    pub fn in_parts(&self, trigger: Trigger, trial: &Trial, together: usize) -> f64 {
        let edges = &self.live[&trigger];
        let coils: Vec<What> =
            edges.iter().map(|e| e.what).filter(|w| matches!(w, What::Coil { .. })).collect();
        let margins = coils.chunks(together.max(1)).map(|kept| {
            let stays = |e: &&Edge| !matches!(e.what, What::Coil { .. }) || kept.contains(&e.what);
            let part: Vec<Edge> = edges.iter().filter(stays).cloned().collect();
            let built = self.build(&part, trial, Corner::Weak);
            let Ok(transient) = built.network.simulate(built.until) else { return 0.0 };
            let pulse = self.read(&part, &built, &transient);
            self.coil_pulses(&part, &pulse).iter().map(CoilPulse::margin).fold(f64::INFINITY, f64::min)
        });
        margins.fold(f64::INFINITY, f64::min)
    }

    /// What each coil among some edges gets.
    fn coil_pulses(&self, edges: &[Edge], pulse: &Pulse) -> Vec<CoilPulse> {
        let bars = edges.iter().filter_map(|e| match e.what {
            What::Coil { bar, position } => Some((bar, position)),
            _ => None,
        });
        bars.zip(&pulse.coils)
            .map(|((bar, position), got)| CoilPulse {
                bar,
                position,
                energy: got.energy,
                peak: got.peak,
                peak_at: got.peak_at,
                above: got.above,
                needs: self.needs(bar),
            })
            .collect()
    }

    fn needs(&self, bar: BarId) -> Needs {
        needs(&self.document.drive_of(bar).typical, &solenoid(self.document, bar))
    }

    fn losses(&self, trigger: Trigger, energies: &[Joules]) -> Vec<Loss> {
        let mut by_place: BTreeMap<usize, Joules> = BTreeMap::new();
        for (edge, energy) in self.live[&trigger].iter().zip(energies) {
            if let Some(place) = edge.place {
                let sum = by_place.entry(place).or_default();
                *sum = *sum + *energy;
            }
        }
        let all: Joules = by_place.values().copied().sum();
        let mut losses: Vec<Loss> = by_place
            .into_iter()
            .map(|(place, energy)| {
                let contact = ("the contact that is worked".to_owned(), None);
                let (place, class) = self.mesh.places.get(place).cloned().unwrap_or(contact);
                Loss { place, class, energy, share: energy / all }
            })
            .collect();
        losses.sort_by(|a, b| b.energy.total_cmp(&a.energy));
        losses
    }

    fn pulse(&self, trigger: Trigger, trial: &Trial, corner: Corner) -> Pulse {
        let edges = &self.live[&trigger];
        let built = self.build(edges, trial, corner);
        let key = self.key(edges, &built);
        if let Some(known) = self.known.borrow().get(&key) {
            return known.clone();
        }
        let pulse = match built.network.simulate(built.until) {
            Ok(transient) => self.read(edges, &built, &transient),
            // A mesh cut down to its bank alone, or a value that the file's ranges let through and no
            // solver can use: nothing is thrown, and that is what the margins then say.
            Err(_) => Pulse {
                coils: vec![Got::default(); edges.len()],
                left: trial.lowest,
                losses: vec![Joules::default(); edges.len()],
                surge: Default::default(),
                diode_surge: None,
            },
        };
        self.known.borrow_mut().insert(key, pulse.clone());
        pulse
    }

    /// Everything the solver sees, as numbers.
    fn key(&self, edges: &[Edge], built: &Built) -> Vec<u64> {
        let mut key = vec![built.until.seconds().to_bits()];
        for (edge, id) in edges.iter().zip(&built.elements) {
            let placed = built.network.element(*id);
            let needs = match edge.what {
                What::Coil { bar, .. } => self.needs(bar).current.amps(),
                _ => 0.0,
            };
            let values = match &placed.element {
                Element::Resistor(r) => [0.0, r.ohms(), 0.0, needs],
                Element::Coil { resistance, inductance } => {
                    [1.0, resistance.ohms(), inductance.henries(), needs]
                }
                Element::Capacitor { capacitance, esr, initial } => {
                    [2.0, capacitance.farads(), esr.ohms(), initial.volts()]
                }
                Element::Diode { forward, slope } => [3.0, forward.volts(), slope.ohms(), needs],
                Element::Source { wave: Wave::Dc(v), resistance } => [4.0, v.volts(), resistance.ohms(), 0.0],
                _ => [5.0, 0.0, 0.0, 0.0],
            };
            key.extend(values.map(f64::to_bits));
            key.extend([placed.from, placed.to].map(|n| n.index() as u64));
            key.push(edge.place.map_or(u64::MAX, |p| p as u64));
        }
        key
    }

    fn read(&self, edges: &[Edge], built: &Built, transient: &Transient) -> Pulse {
        let mut coils = Vec::new();
        let mut losses = Vec::new();
        let mut surge = (Amps::default(), JouleIntegral::default());
        let mut diode_surge: Option<Amps> = None;
        for (edge, id) in edges.iter().zip(&built.elements) {
            match edge.what {
                What::Coil { bar, .. } => {
                    let (peak_at, peak) = transient.peak_current(*id);
                    let above = transient.time_above(*id, self.needs(bar).current);
                    coils.push(Got { energy: transient.heat_in(*id), peak, peak_at, above });
                }
                What::Contact(_) => {
                    let through = (transient.peak_current(*id).1, transient.joule_integral(*id));
                    if through.0 > surge.0 {
                        surge = through;
                    }
                }
                What::Diode(_) => {
                    let through = transient.peak_current(*id).1;
                    diode_surge = Some(diode_surge.map_or(through, |most| most.max(through)));
                }
                _ => {}
            }
            losses.push(transient.heat_in(*id));
        }
        let left = built.bank.map_or(Volts::default(), |b| transient.charge_at(b, transient.end()));
        Pulse { coils, left, losses, surge, diode_surge }
    }

    fn build(&self, edges: &[Edge], trial: &Trial, corner: Corner) -> Built {
        let mut network = Network::new();
        let mut nodes: BTreeMap<usize, Node> = BTreeMap::from([(0, GROUND)]);
        let mut elements = Vec::new();
        let mut bank = None;
        for edge in edges {
            let [from, to] = [edge.from, edge.to]
                .map(|p| *nodes.entry(p).or_insert_with(|| network.node(&self.mesh.names[p])));
            let id = network.add(edge.name.clone(), from, to, self.element(edge, trial, corner));
            if edge.what == What::Bank {
                bank = Some(id);
            }
            elements.push(id);
        }
        Built { until: self.until(edges, trial, corner), network, elements, bank }
    }

    fn element(&self, edge: &Edge, trial: &Trial, corner: Corner) -> Element {
        let ambient = self.document.layout.ambient;
        match edge.what {
            What::Wire(id) => {
                let wire = &self.mesh.wiring.wires[id.0];
                let size = trial.sizes.iter().find(|(c, _)| *c == wire.class).map_or(wire.size, |(_, s)| *s);
                let per_metre =
                    conductor::at_temperature(conductor::resistance_at_20(size), corner.temperature(ambient));
                let stretch = if self.typical_cable && self.mesh.leaves_the_panel(id) {
                    corner.typical_length()
                } else {
                    1.0
                };
                Element::Resistor(per_metre * (wire.length * stretch) + corner.joint() * 2.0)
            }
            What::Diode(_) => {
                let (forward, slope) = corner.diode();
                Element::Diode { forward, slope }
            }
            What::Jumper => Element::Resistor(corner.jumper()),
            What::Link => Element::Resistor(corner.joint() * 2.0),
            What::Contact(_) => Element::Resistor(corner.contact()),
            What::Coil { bar, .. } => {
                let drive = self.document.drive_of(bar);
                let (resistance, inductance) =
                    corner.coil(&drive.typical, &solenoid(self.document, bar), ambient);
                Element::Coil { resistance, inductance }
            }
            What::Bank => Element::Capacitor {
                capacitance: corner.capacitance(trial.capacitance),
                esr: corner.esr(trial.esr),
                initial: match corner {
                    Corner::Weak => trial.lowest,
                    Corner::Strong => trial.highest,
                },
            },
            What::Bleed => Element::Resistor(trial.bleed),
            What::Charger => match corner {
                // The supply is taken to give nothing while the bank is fired.
                Corner::Weak => Element::Resistor(Ohms::new(1e9)),
                Corner::Strong => {
                    Element::Source { wave: Wave::Dc(trial.highest), resistance: trial.limiter }
                }
            },
            What::Relay => Element::Resistor(RELAY),
        }
    }

    fn until(&self, edges: &[Edge], trial: &Trial, corner: Corner) -> Seconds {
        let coils: Vec<(Ohms, Seconds)> = edges
            .iter()
            .filter_map(|e| match self.element(e, trial, corner) {
                Element::Coil { resistance, inductance } => {
                    Some((resistance, Seconds::new(inductance.henries() / resistance.ohms())))
                }
                _ => None,
            })
            .collect();
        long_enough(corner.capacitance(trial.capacitance), &coils)
    }

    /// The course of one shot, and the network it was solved from.
    pub fn look_closely(&self, trigger: Trigger, trial: &Trial) -> (Curves, Case) {
        let edges = &self.live[&trigger];
        let built = self.build(edges, trial, Corner::Weak);
        let coils: Vec<(BarId, Position, ElementId)> = edges
            .iter()
            .zip(&built.elements)
            .filter_map(|(e, id)| match e.what {
                What::Coil { bar, position } => Some((bar, position, *id)),
                _ => None,
            })
            .collect();
        let bank = built.bank.unwrap_or(built.elements[0]);
        let mut curves = Curves { times: Vec::new(), bank: Vec::new(), coils: vec![Vec::new(); coils.len()] };
        if let Ok(transient) = built.network.simulate(built.until) {
            let end = shown(&transient, &coils, built.until);
            for k in 0..=POINTS {
                let time = end * (k as f64 / POINTS as f64);
                curves.times.push(time);
                curves.bank.push(transient.charge_at(bank, time));
                for (curve, (_, _, id)) in curves.coils.iter_mut().zip(&coils) {
                    curve.push(transient.current_at(*id, time));
                }
            }
        }
        let case = Case { network: built.network, until: built.until, coils };
        (curves, case)
    }
}

/// Until all is over: eight time constants of the bank with the slowest coil, and of that coil. Of each
/// coil its resistance and its own time constant.
pub(super) fn long_enough(capacitance: Farads, coils: &[(Ohms, Seconds)]) -> Seconds {
    let most = coils.iter().map(|c| c.0).fold(Ohms::new(0.1), Ohms::max);
    let slowest = coils.iter().map(|c| c.1).fold(Seconds::default(), Seconds::max);
    let wires = Ohms::new(1.0);
    capacitance * (most + wires) * 8.0 + slowest * 8.0
}

/// As long as it takes every coil's current to fall to a twentieth of its peak.
fn shown(transient: &Transient, coils: &[(BarId, Position, ElementId)], until: Seconds) -> Seconds {
    let mut end = Seconds::default();
    for (_, _, id) in coils {
        let (at, peak) = transient.peak_current(*id);
        let mut time = at + (until - at) * 0.01;
        while time < until && transient.current_at(*id, time) > peak * 0.05 {
            time = (time * 1.1).min(until);
        }
        end = end.max(time);
    }
    end
}
