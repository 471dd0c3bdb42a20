//! The laws on networks made at random: Kirchhoff's, conservation of energy, and what must not matter.

use proptest::prelude::*;

use super::*;

/// An element to be put between two nodes, as drawn by lot.
#[derive(Clone, Debug)]
struct Lot {
    from: usize,
    to: usize,
    element: Element,
}

fn value(from: f64, to: f64) -> impl Strategy<Value = f64> {
    (from.ln()..to.ln()).prop_map(f64::exp)
}

fn element() -> impl Strategy<Value = Element> {
    prop_oneof![
        3 => value(0.05, 500.0).prop_map(|r| Element::Resistor(Ohms::new(r))),
        3 => (value(0.5, 50.0), value(1e-4, 0.1)).prop_map(|(r, l)| Element::Coil {
            resistance: Ohms::new(r),
            inductance: Henries::new(l),
        }),
        3 => (value(1e-4, 2e-2), value(0.01, 0.5), -30.0..30.0_f64).prop_map(|(c, r, v)| Element::Capacitor {
            capacitance: Farads::new(c),
            esr: Ohms::new(r),
            initial: Volts::new(v),
        }),
        4 => (0.0..1.0_f64, value(0.005, 0.2)).prop_map(|(v, r)| Element::Diode {
            forward: Volts::new(v),
            slope: Ohms::new(r),
        }),
        1 => (any::<bool>(), 0.001..0.05_f64).prop_map(|(starts_closed, at)| Element::Switch {
            closed: Ohms::new(0.05),
            starts_closed,
            changes: vec![Seconds::new(at), Seconds::new(2.0 * at)],
        }),
    ]
}

const NODES: usize = 5;

fn lots() -> impl Strategy<Value = Vec<Lot>> {
    let lot = (0..NODES, 1..NODES, element()).prop_map(|(from, step, element)| Lot {
        from,
        to: (from + step) % NODES,
        element,
    });
    prop::collection::vec(lot, 2..12)
}

/// Every node has a resistor to ground besides, so that none floats.
fn network_of(lots: &[Lot]) -> (Network, Vec<ElementId>) {
    let mut network = Network::new();
    let nodes: Vec<Node> = (0..NODES).map(|n| network.node(&n.to_string())).collect();
    let ids = lots
        .iter()
        .enumerate()
        .map(|(n, lot)| network.add(format!("X{n}"), nodes[lot.from], nodes[lot.to], lot.element.clone()))
        .collect();
    for (n, node) in nodes.iter().enumerate().skip(1) {
        network.resistor(format!("R{n}"), *node, GROUND, Ohms::new(1000.0 * n as f64));
    }
    (network, ids)
}

const UNTIL: Seconds = Seconds::new(0.1);

/// The largest sum of currents at any node at any step, as a share of the largest current.
fn leak(network: &Network, transient: &Transient) -> f64 {
    let largest = network.elements().map(|(id, _)| transient.peak_current(id).1.amps()).fold(1e-9, f64::max);
    let mut worst = 0.0_f64;
    for time in transient.times() {
        let mut sums = vec![0.0; network.node_count()];
        for (id, placed) in network.elements() {
            let current = transient.current_at(id, time).amps();
            sums[placed.from.0] -= current;
            sums[placed.to.0] += current;
        }
        worst = sums.iter().fold(worst, |worst, sum| worst.max(sum.abs()));
    }
    // At the instant of a jump an inductance is a very large resistance and not an infinite one: 60 V on
    // 0.1 mH drive 0.6 µA through it in a picosecond.
    (worst - 1e-6).max(0.0) / largest
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn currents_and_energy_add_up(lots in lots()) {
        let (network, _) = network_of(&lots);
        let transient = network.simulate(UNTIL).unwrap();
        prop_assert!(leak(&network, &transient) < 1e-5, "{}", leak(&network, &transient));
        prop_assert!(imbalance(&network, &transient).abs() < 1e-4, "{}", imbalance(&network, &transient));
        for (id, placed) in network.elements() {
            prop_assert!(transient.heat_in(id).joules() >= -1e-9, "{} gives energy", placed.name);
        }
        prop_assert!(transient.steps() < 20_000, "{} steps", transient.steps());
    }

    #[test]
    fn neither_order_nor_splitting_matters(lots in lots(), turn in 1..8_usize) {
        let (network, ids) = network_of(&lots);
        let mut turned = lots.clone();
        turned.rotate_left(turn % lots.len());
        let (other, mut other_ids) = network_of(&turned);
        other_ids.rotate_right(turn % lots.len());

        let mut split = Network::new();
        let nodes: Vec<Node> = (0..NODES).map(|n| split.node(&n.to_string())).collect();
        let mut split_ids = Vec::new();
        for (id, placed) in network.elements() {
            let (from, to) = (nodes[placed.from.0], nodes[placed.to.0]);
            let Element::Resistor(r) = placed.element else {
                split_ids.push(split.add(&placed.name, from, to, placed.element.clone()));
                continue;
            };
            let middle = split.node(&format!("middle of {}", id.0));
            split_ids.push(split.resistor(format!("{}a", placed.name), from, middle, r * 0.3));
            split.resistor(format!("{}b", placed.name), middle, to, r * 0.7);
        }

        let (a, b) = (network.simulate(UNTIL).unwrap(), other.simulate(UNTIL).unwrap());
        let c = split.simulate(UNTIL).unwrap();
        let largest = ids.iter().map(|id| a.peak_current(*id).1.amps()).fold(1e-6, f64::max);
        for (n, id) in ids.iter().enumerate() {
            let charge = a.charge_through(*id).coulombs();
            let scale = 1e-5 * largest * UNTIL.seconds();
            prop_assert!((b.charge_through(other_ids[n]).coulombs() - charge).abs() < scale);
            prop_assert!((c.charge_through(split_ids[n]).coulombs() - charge).abs() < scale);
            let square = a.joule_integral(*id).amps_squared_seconds();
            let scale = 1e-4 * largest * largest * UNTIL.seconds();
            prop_assert!((b.joule_integral(other_ids[n]).amps_squared_seconds() - square).abs() < scale);
            prop_assert!((c.joule_integral(split_ids[n]).amps_squared_seconds() - square).abs() < scale);
        }
    }

    #[test]
    fn more_capacitance_gives_a_coil_no_less(
        farads in value(5e-4, 2e-2),
        more in 1.01..3.0_f64,
        ohms in value(1.0, 20.0),
        henries in value(1e-3, 0.1),
        with_diode in any::<bool>(),
    ) {
        let heat = |farads: f64| {
            let mut network = Network::new();
            let [a, b] = ["a", "b"].map(|name| network.node(name));
            network.capacitor("C1", a, GROUND, Farads::new(farads), Ohms::new(0.1), Volts::new(24.0));
            if with_diode {
                network.diode("V1", a, b, Volts::new(0.7), Ohms::new(0.05));
            } else {
                network.resistor("R1", a, b, Ohms::new(0.05));
            }
            let coil = network.coil("M1", b, GROUND, Ohms::new(ohms), Henries::new(henries));
            network.simulate(Seconds::new(1.0)).unwrap().heat_in(coil).joules()
        };
        prop_assert!(heat(farads * more) >= heat(farads) * (1.0 - 1e-5));
    }

    #[test]
    fn what_is_asked_agrees_with_fine_sampling(lots in lots(), share in 0.2..0.9_f64) {
        let (network, _) = network_of(&lots);
        let transient = network.simulate(UNTIL).unwrap();
        let count = 20_000;
        let cell = UNTIL.seconds() / f64::from(count);
        for (id, placed) in network.elements() {
            let samples: Vec<f64> = (0..count)
                .map(|n| transient.current_at(id, Seconds::new(cell * (f64::from(n) + 0.5))).amps())
                .collect();
            let (at, peak) = transient.peak_current(id);
            let sampled = samples.iter().fold(0.0_f64, |most, i| most.max(i.abs()));
            prop_assert!(sampled <= peak.amps() * (1.0 + 1e-9) + 1e-9, "{}", placed.name);
            // At the time of the peak, where a jump may have it on one side only, and for less than a
            // nanosecond.
            let near = [-1e-10, -1e-11, -1e-12, -1e-13, 0.0, 1e-13, 1e-12, 1e-11, 1e-10]
                .map(|d| transient.current_at(id, at + Seconds::new(d)).amps().abs());
            let found = near.into_iter().fold(0.0, f64::max);
            prop_assert!((found - peak.amps()).abs() <= 1e-4 * peak.amps() + 1e-9, "{}", placed.name);
            let level = peak * share;
            if level.amps() > 1e-6 {
                let above = samples.iter().filter(|i| **i >= level.amps()).count() as f64 * cell;
                let most = 40.0 * cell;
                let ours = transient.time_above(id, level).seconds();
                prop_assert!((ours - above).abs() < most, "{}: {ours}, not {above}, at {level} of {peak} at {at}", placed.name);
            }
            if let Element::Capacitor { initial, .. } = &placed.element {
                let level = *initial + Volts::new(share);
                let first = (0..=count)
                    .map(|n| Seconds::new(cell * f64::from(n)))
                    .find(|t| transient.charge_at(id, *t) >= level);
                match (transient.charged_to(id, level), first) {
                    (Some(ours), Some(sampled)) => {
                        prop_assert!(ours <= sampled && sampled.seconds() - ours.seconds() <= 1.001 * cell);
                    }
                    (None, Some(sampled)) => prop_assert!(false, "not found, but at {sampled}"),
                    // A peak between two samples may touch the level.
                    (Some(ours), None) => {
                        prop_assert!(transient.charge_at(id, ours).volts() >= level.volts() - 1e-9);
                    }
                    (None, None) => {}
                }
            }
        }
    }
}
