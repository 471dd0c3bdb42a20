//! Circuits made from a fixed seed, for the comparison with another simulator: discharges, recharges and
//! voltage drops such as a layout's supply has, with values spread over what builders use.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;
use underboard::electrics::transient::{Element, ElementId, GROUND, Network, Node, Transient, Wave};
use underboard::export::spice::{Deck, Measure};
use underboard::units::{Amps, Farads, Henries, Ohms, Seconds, Volts};

/// A network, how long to run it, and what to compare.
pub struct Circuit {
    pub name: String,
    pub network: Network,
    pub until: Seconds,
    pub measures: Vec<(String, Measure)>,
}

impl Circuit {
    pub fn step(&self) -> Seconds {
        self.until * 2e-4
    }

    pub fn deck(&self) -> String {
        let (network, until, measures) = (&self.network, self.until, &self.measures[..]);
        Deck { title: &self.name, network, until, step: self.step(), measures }.text()
    }

    /// Our values of all that the deck measures.
    pub fn figures(&self, transient: &Transient) -> Vec<Figure> {
        let mut figures = Vec::new();
        let end = transient.end();
        for (name, measure) in &self.measures {
            let mut floor = 0.0;
            let (quantity, value) = match *measure {
                Measure::PeakCurrent(id) => {
                    let (at, peak) = transient.peak_current(id);
                    // The reference knows the peak only among its own points, one step apart.
                    let (name, floor) = (format!("{name}_at"), self.step().seconds());
                    figures.push(Figure { name, quantity: "time of peak", value: Some(at.seconds()), floor });
                    ("peak current", Some(peak.amps()))
                }
                Measure::Heat(id) => ("energy", Some(transient.heat_in(id).joules())),
                Measure::TimeAbove(id, threshold) => {
                    let time = transient.time_above(id, threshold).seconds();
                    ("time above", (time > 0.0).then_some(time))
                }
                Measure::ChargedTo(id, level) => {
                    ("time to charge", transient.charged_to(id, level).map(|t| t.seconds()))
                }
                Measure::ChargeLeft(id) => {
                    // What is left may be nearly nothing: then a ten-thousandth of the highest voltage.
                    floor = 1e-4 * transient.peak_charge(id).1.volts();
                    ("voltage left", Some(transient.charge_at(id, end).volts()))
                }
                Measure::EndVoltage(node) => ("voltage drop", Some(transient.voltage_at(node, end).volts())),
                Measure::EndCurrent(id) => ("direct current", Some(transient.current_at(id, end).amps())),
            };
            figures.push(Figure { name: name.clone(), quantity, value, floor });
        }
        figures
    }
}

/// What we say of one measure.
pub struct Figure {
    /// As the deck prints it.
    pub name: String,
    pub quantity: &'static str,
    /// `None` if it does not come to pass.
    pub value: Option<f64>,
    /// What the reference cannot tell, in the same unit.
    pub floor: f64,
}

/// All circuits, the same each time.
pub fn circuits() -> Vec<Circuit> {
    let mut lot = Lot(Pcg32::new(20, 1));
    let mut all = Vec::new();
    for number in 1..=24 {
        all.push(discharge(number, &mut lot));
    }
    for number in 1..=6 {
        all.push(recharge(number, false, &mut lot));
    }
    for number in 1..=6 {
        all.push(recharge(number, true, &mut lot));
    }
    for number in 1..=6 {
        all.push(drop(number, &mut lot));
    }
    for number in 1..=4 {
        all.push(cut_off(number, &mut lot));
    }
    all
}

/// One discharge of a bank into six coils, with everything that a discharge unit has: for the benchmark.
pub fn route_of_six() -> Circuit {
    let mut lot = Lot(Pcg32::new(6, 6));
    let mut network = Network::new();
    let [supply, plus] = ["supply", "plus"].map(|name| network.node(name));
    network.source("G1", supply, GROUND, Wave::Dc(Volts::new(24.0)), Ohms::new(0.5));
    network.resistor("R1", supply, plus, Ohms::new(100.0));
    let bank = network.capacitor("C1", plus, GROUND, Farads::new(0.01), Ohms::new(0.03), Volts::new(24.0));
    let coils = coils(&mut network, plus, 6, Parts { diode: true, freewheel: false }, &mut lot);
    finish("route-of-six".into(), network, bank, &coils, Seconds::new(0.2))
}

struct Lot(Pcg32);

impl Lot {
    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        f64::from(self.0.next_u32()) / f64::from(u32::MAX)
    }

    /// Evenly over the logarithm, rounded to three digits as people write values.
    fn value(&mut self, from: f64, to: f64) -> f64 {
        let exact = (from.ln() + (to / from).ln() * self.share()).exp();
        format!("{exact:.2e}").parse().unwrap()
    }
}

#[derive(Clone, Copy)]
struct Parts {
    diode: bool,
    freewheel: bool,
}

struct Coil {
    id: ElementId,
    /// V/R of all in its way, at most.
    amps: f64,
    diode: Option<ElementId>,
}

/// Coils at the ends of wires from `plus`, each by a diode if there is one, with one wire back.
fn coils(network: &mut Network, plus: Node, count: usize, parts: Parts, lot: &mut Lot) -> Vec<Coil> {
    let back = network.node("back");
    network.resistor("W0", back, GROUND, Ohms::new(lot.value(0.02, 0.3)));
    let slope = Ohms::new(0.05);
    (1..=count)
        .map(|n| {
            let mut at = network.node(&format!("wire {n}"));
            let wire = lot.value(0.05, 1.0);
            network.resistor(format!("W{n}"), plus, at, Ohms::new(wire));
            let mut diode = None;
            if parts.diode {
                let end = network.node(&format!("coil {n}"));
                diode = Some(network.diode(format!("V{n}"), at, end, Volts::new(0.7), slope));
                at = end;
            }
            let (ohms, henries) = (lot.value(2.0, 15.0), lot.value(2e-3, 60e-3));
            let id = network.coil(format!("M{n}"), at, back, Ohms::new(ohms), Henries::new(henries));
            if parts.freewheel {
                network.diode(format!("V{n}F"), back, at, Volts::new(0.7), slope);
            }
            Coil { id, amps: 24.0 / (wire + ohms), diode }
        })
        .collect()
}

/// Time above half of what each coil comes to, energies and peaks, and what is left on the bank.
fn finish(name: String, network: Network, bank: ElementId, coils: &[Coil], until: Seconds) -> Circuit {
    let mut measures = vec![("left".to_owned(), Measure::ChargeLeft(bank))];
    for (n, coil) in coils.iter().enumerate() {
        measures.push((format!("peak{}", n + 1), Measure::PeakCurrent(coil.id)));
        measures.push((format!("energy{}", n + 1), Measure::Heat(coil.id)));
        measures.push((format!("above{}", n + 1), Measure::TimeAbove(coil.id, Amps::new(coil.amps * 0.25))));
        if let Some(diode) = coil.diode {
            measures.push((format!("loss{}", n + 1), Measure::Heat(diode)));
        }
    }
    Circuit { name, network, until, measures }
}

fn discharge(number: usize, lot: &mut Lot) -> Circuit {
    let count = [1, 1, 2, 3, 4, 6, 8, 5][number % 8];
    let parts = Parts { diode: number.is_multiple_of(2), freewheel: number.is_multiple_of(3) };
    let mut network = Network::new();
    let plus = network.node("plus");
    let (farads, volts) = (lot.value(1e-3, 22e-3), lot.value(12.0, 45.0));
    let esr = Ohms::new(lot.value(0.02, 0.3));
    let bank = network.capacitor("C1", plus, GROUND, Farads::new(farads), esr, Volts::new(volts));
    let mut coils = coils(&mut network, plus, count, parts, lot);
    for coil in &mut coils {
        coil.amps *= volts / 24.0 / (count as f64).sqrt();
    }
    finish(format!("discharge-{number:02}"), network, bank, &coils, Seconds::new(0.3))
}

fn recharge(number: usize, alternating: bool, lot: &mut Lot) -> Circuit {
    let mut network = Network::new();
    let [a, b, plus, out] = ["a", "b", "plus", "out"].map(|name| network.node(name));
    let (farads, limiter) = (lot.value(1e-3, 22e-3), lot.value(10.0, 150.0));
    let volts = lot.value(12.0, 24.0);
    let internal = lot.value(0.2, 2.0);
    let wave = match alternating {
        true => Wave::Sine { peak: Volts::new(volts * 2.0_f64.sqrt()), period: Seconds::new(0.02) },
        false => Wave::Dc(Volts::new(volts)),
    };
    network.source("G1", a, b, wave, Ohms::new(internal));
    for (n, end) in [a, b].into_iter().enumerate() {
        let (forward, slope) = (Volts::new(0.7), Ohms::new(0.05));
        network.diode(format!("V{}", 2 * n + 1), end, plus, forward, slope);
        network.diode(format!("V{}", 2 * n + 2), GROUND, end, forward, slope);
    }
    network.resistor("R1", plus, out, Ohms::new(limiter));
    let bank = network.capacitor("C1", out, GROUND, Farads::new(farads), Ohms::new(0.05), Volts::new(0.0));
    let full = if alternating { volts * 2.0_f64.sqrt() } else { volts } - 1.4;
    let constants = if alternating { 25.0 } else { 6.0 };
    let until = Seconds::new((constants * farads * limiter).min(6.0));
    let mut measures = vec![("left".to_owned(), Measure::ChargeLeft(bank))];
    for percent in [63, 90, 95, 99] {
        let level = Volts::new(full * f64::from(percent) / 100.0);
        measures.push((format!("to{percent}"), Measure::ChargedTo(bank, level)));
    }
    let kind = if alternating { "alternating" } else { "direct" };
    Circuit { name: format!("recharge-{kind}-{number:02}"), network, until, measures }
}

/// A tree of wires with loads at its ends, on direct current.
fn drop(number: usize, lot: &mut Lot) -> Circuit {
    let mut network = Network::new();
    let trunk = network.node("trunk");
    let source = Wave::Dc(Volts::new(lot.value(12.0, 24.0)));
    let source = network.source("G1", trunk, GROUND, source, Ohms::new(lot.value(0.05, 1.0)));
    let mut nodes = vec![trunk];
    let mut measures = vec![("supply".to_owned(), Measure::EndCurrent(source))];
    for n in 0..(4 + number) {
        let from = nodes[(lot.share() * nodes.len() as f64) as usize % nodes.len()];
        let to = network.node(&format!("branch {n}"));
        network.resistor(format!("W{n}"), from, to, Ohms::new(lot.value(0.01, 1.5)));
        let load = network.resistor(format!("R{n}"), to, GROUND, Ohms::new(lot.value(4.0, 500.0)));
        measures.push((format!("volts{n}"), Measure::EndVoltage(to)));
        measures.push((format!("amps{n}"), Measure::EndCurrent(load)));
        nodes.push(to);
    }
    Circuit { name: format!("drop-{number:02}"), network, until: Seconds::new(0.01), measures }
}

/// A contact that lets go before the bank is empty; freewheel diodes take the currents over.
fn cut_off(number: usize, lot: &mut Lot) -> Circuit {
    let mut network = Network::new();
    let [plus, out] = ["plus", "out"].map(|name| network.node(name));
    let (farads, volts) = (lot.value(2e-3, 22e-3), lot.value(12.0, 45.0));
    let bank = network.capacitor("C1", plus, GROUND, Farads::new(farads), Ohms::new(0.05), Volts::new(volts));
    let changes = vec![Seconds::new(0.005), Seconds::new(lot.value(0.015, 0.04))];
    network.add("S1", plus, out, Element::Switch { closed: Ohms::new(0.02), starts_closed: false, changes });
    let parts = Parts { diode: number.is_multiple_of(2), freewheel: true };
    let mut coils = coils(&mut network, out, number, parts, lot);
    for coil in &mut coils {
        coil.amps *= volts / 24.0 / (number as f64).sqrt();
    }
    finish(format!("cut-off-{number:02}"), network, bank, &coils, Seconds::new(0.1))
}
