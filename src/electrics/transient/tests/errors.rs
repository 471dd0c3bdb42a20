//! What is refused, and what is nothing at all.

use super::*;

fn millisecond(network: &Network) -> Result<Transient, SolveError> {
    network.simulate(Seconds::new(1e-3))
}

#[test]
fn a_node_without_ground() {
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    network.resistor("R1", a, b, Ohms::new(1.0));
    assert_eq!(millisecond(&network).unwrap_err(), SolveError::Floating { node: "a".into() });
    assert_eq!(network.steady().unwrap_err(), SolveError::Floating { node: "a".into() });
}

#[test]
fn rings_without_resistance() {
    let mut network = Network::new();
    let a = network.node("a");
    network.source("V1", a, GROUND, Wave::Dc(Volts::new(1.0)), Ohms::new(0.0));
    let wire = network.resistor("W1", a, GROUND, Ohms::new(0.0));
    assert_eq!(millisecond(&network).unwrap_err(), SolveError::Ring { element: "W1".into() });
    // An inductance bounds the current over time, but not at rest.
    network.replace(wire, Element::Coil { resistance: Ohms::new(0.0), inductance: Henries::new(1e-3) });
    let transient = millisecond(&network).unwrap();
    assert_near(transient.peak_current(wire).1.amps(), 1.0, 1e-6, "V·t/L");
    assert_eq!(network.steady().unwrap_err(), SolveError::Ring { element: "W1".into() });
    // Two capacitors without resistance would share their charge in no time.
    let mut network = Network::new();
    let a = network.node("a");
    for (name, volts) in [("C1", 1.0), ("C2", 2.0)] {
        network.capacitor(name, a, GROUND, Farads::new(1.0), Ohms::new(0.0), Volts::new(volts));
    }
    assert_eq!(millisecond(&network).unwrap_err(), SolveError::Ring { element: "C2".into() });
}

#[test]
fn impossible_values() {
    let nothing = Ohms::new(0.0);
    for element in [
        Element::Resistor(Ohms::new(-1.0)),
        Element::Resistor(Ohms::new(f64::NAN)),
        Element::Coil { resistance: nothing, inductance: Henries::new(-1.0) },
        Element::Capacitor { capacitance: Farads::new(0.0), esr: nothing, initial: Volts::new(0.0) },
        Element::Capacitor { capacitance: Farads::new(1.0), esr: nothing, initial: Volts::new(f64::NAN) },
        Element::Diode { forward: Volts::new(-0.7), slope: nothing },
        Element::Diode { forward: Volts::new(0.7), slope: LEAK },
        Element::Switch {
            closed: nothing,
            starts_closed: true,
            changes: vec![Seconds::new(2.0), Seconds::new(1.0)],
        },
        Element::Source { wave: Wave::Dc(Volts::new(f64::INFINITY)), resistance: Ohms::new(1.0) },
        Element::Source {
            wave: Wave::Sine { peak: Volts::new(1.0), period: Seconds::new(0.0) },
            resistance: Ohms::new(1.0),
        },
    ] {
        let mut network = Network::new();
        let a = network.node("a");
        network.resistor("R0", a, GROUND, Ohms::new(1.0));
        network.add("X1", a, GROUND, element);
        assert_eq!(millisecond(&network).unwrap_err(), SolveError::Value { element: "X1".into() });
    }
}

#[test]
fn impossible_times_and_accuracies() {
    let mut network = Network::new();
    let a = network.node("a");
    network.capacitor("C1", a, GROUND, Farads::new(1e-3), Ohms::new(0.0), Volts::new(5.0));
    network.resistor("R1", a, GROUND, Ohms::new(1.0));
    for until in [f64::NAN, f64::INFINITY, -1.0] {
        assert!(matches!(network.simulate(Seconds::new(until)), Err(SolveError::Value { .. })));
    }
    for accuracy in [
        Accuracy { relative: 0.0, ..Accuracy::default() },
        Accuracy { longest_step: f64::NAN, ..Accuracy::default() },
    ] {
        let result = network.simulate_to(Seconds::new(1.0), accuracy);
        assert!(matches!(result, Err(SolveError::Value { .. })));
    }
    // No time at all is the start.
    let transient = network.simulate(Seconds::new(0.0)).unwrap();
    assert_eq!((transient.steps(), transient.end()), (0, Seconds::new(0.0)));
    assert_near(transient.voltage_at(a, Seconds::new(0.0)).volts(), 5.0, 1e-8, "at the start");
}

#[test]
fn nothing_happens_in_nothing() {
    let empty = Network::new();
    assert!(millisecond(&empty).unwrap().steps() > 0);
    assert_eq!(empty.steady().unwrap().voltage(GROUND), Volts::new(0.0));
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    network.capacitor("C1", a, GROUND, Farads::new(1e-3), Ohms::new(0.1), Volts::new(0.0));
    network.diode("V1", a, b, Volts::new(0.7), Ohms::new(0.1));
    let coil = network.coil("M1", b, GROUND, Ohms::new(5.0), Henries::new(0.01));
    let transient = millisecond(&network).unwrap();
    assert_eq!(transient.peak_current(coil).1, Amps::new(0.0));
    assert_eq!(transient.heat_in(coil).joules(), 0.0);
}

#[test]
fn parts_that_lead_nowhere() {
    // A ring on one node, an element with both ends on one, a dead end: only the ring discharges itself.
    let mut network = Network::new();
    let [a, b, c] = ["a", "b", "c"].map(|name| network.node(name));
    network.resistor("R0", a, GROUND, Ohms::new(10.0));
    let bank = network.capacitor("C1", a, b, Farads::new(1e-3), Ohms::new(0.0), Volts::new(5.0));
    let ring = network.resistor("R1", b, a, Ohms::new(1.0));
    let itself = network.resistor("R2", a, a, Ohms::new(1.0));
    let dead_end = network.coil("M1", a, c, Ohms::new(1.0), Henries::new(0.01));
    let transient = network.simulate_to(Seconds::new(1e-3), FINE).unwrap();
    let end = transient.end();
    assert_near(transient.charge_at(bank, end).volts(), 5.0 * (-1.0_f64).exp(), 1e-6, "RC");
    assert_near(transient.current_at(ring, end).amps(), -5.0 * (-1.0_f64).exp(), 1e-6, "direction");
    assert_within(transient.voltage_at(b, end).volts(), -5.0 * (-1.0_f64).exp(), 1e-5, "inner node");
    assert_eq!(transient.current_at(itself, end), Amps::new(0.0));
    assert_within(transient.current_at(dead_end, end).amps(), 0.0, 1e-9, "dead end");
}

#[test]
fn coils_that_start_with_different_currents_share_their_flux() {
    // Series coils of 1 and 3 H with 4 and 0 A go on with 1 A, as do three that meet with nothing else.
    let mut network = Network::new();
    let [a, b] = ["a", "b"].map(|name| network.node(name));
    let one = network.coil("M1", GROUND, a, Ohms::new(1.0), Henries::new(1.0));
    network.carry(one, Amps::new(4.0));
    network.coil("M2", a, b, Ohms::new(1.0), Henries::new(3.0));
    network.resistor("R1", b, GROUND, Ohms::new(2.0));
    let transient = network.simulate_to(Seconds::new(1.0), FINE).unwrap();
    for t in [0.0, 0.3, 1.0] {
        assert_near(transient.current_at(one, Seconds::new(t)).amps(), (-t).exp(), 1e-6, "series");
    }
    let mut network = Network::new();
    let star = network.node("star");
    let coils = [("M1", 1.0), ("M2", 6.0), ("M3", 6.0)]
        .map(|(name, l)| network.coil(name, GROUND, star, Ohms::new(l), Henries::new(l)));
    network.carry(coils[0], Amps::new(4.0));
    let transient = network.simulate_to(Seconds::new(1.0), FINE).unwrap();
    // 1 H against 3 H: 4 A on 1 H become 1 A, back through the others by halves; all decay with 1 s.
    for (coil, amps) in coils.into_iter().zip([1.0, -0.5, -0.5]) {
        let current = transient.current_at(coil, Seconds::new(1.0)).amps();
        assert_near(current, amps * (-1.0_f64).exp(), 1e-5, "star");
    }
}
