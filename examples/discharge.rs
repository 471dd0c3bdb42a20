//! A bank of capacitors fires two solenoids of different make at once: what each of them gets.
//!
//! ```console
//! cargo run --example discharge
//! ngspice -b /tmp/discharge.cir     # the same circuit, by another program
//! ```

use underboard::electrics::transient::{GROUND, Network, SolveError};
use underboard::export::spice::{Deck, Measure};
use underboard::units::{Amps, Farads, Henries, Ohms, Seconds, Volts};

fn main() -> Result<(), SolveError> {
    // 10 mF at 24 V, a common wire of 0.1 Ω, and to each solenoid its own wire and diode.
    let mut network = Network::new();
    let [plus, bus] = ["plus", "bus"].map(|name| network.node(name));
    let bank = network.capacitor("C1", plus, GROUND, Farads::new(10e-3), Ohms::new(0.03), Volts::new(24.0));
    network.resistor("W1", plus, bus, Ohms::new(0.1));
    let solenoids = [("near, 4.5 Ω", 4.5, 8e-3, 0.05), ("far, 9 Ω", 9.0, 25e-3, 0.6)];
    let coils = solenoids.map(|(name, ohms, henries, wire)| {
        let [end, tag] = ["end", "tag"].map(|node| network.node(&format!("{node} of {name}")));
        network.resistor(format!("wire {name}"), bus, end, Ohms::new(wire));
        network.diode(format!("diode {name}"), end, tag, Volts::new(0.7), Ohms::new(0.05));
        network.coil(name, tag, GROUND, Ohms::new(ohms), Henries::new(henries))
    });

    let until = Seconds::new(0.2);
    let transient = network.simulate(until)?;
    println!("{:<14} {:>10} {:>10} {:>10} {:>12}", "coil", "peak", "after", "energy", "above 1 A");
    for coil in coils {
        let (at, peak) = transient.peak_current(coil);
        let (energy, above) = (transient.heat_in(coil), transient.time_above(coil, Amps::new(1.0)));
        let name = &network.element(coil).name;
        let [peak, at] = [format!("{:.2} A", peak.amps()), format!("{:.1} ms", at.seconds() * 1e3)];
        let [energy, above] =
            [format!("{:.3} J", energy.joules()), format!("{:.1} ms", above.seconds() * 1e3)];
        println!("{name:<14} {peak:>10} {at:>10} {energy:>10} {above:>12}");
    }
    let left = transient.charge_at(bank, until).volts();
    println!("The bank is left with {left:.2} V after {until}, {} steps.", transient.steps());

    // The same for another program.
    let mut measures = vec![("left".to_owned(), Measure::ChargeLeft(bank))];
    for (coil, name) in coils.into_iter().zip(["near", "far"]) {
        measures.push((format!("peak_{name}"), Measure::PeakCurrent(coil)));
        measures.push((format!("energy_{name}"), Measure::Heat(coil)));
        measures.push((format!("above_{name}"), Measure::TimeAbove(coil, Amps::new(1.0))));
    }
    let step = until * 1e-3;
    let deck = Deck { title: "two solenoids", network: &network, until, step, measures: &measures }.text();
    let path = std::env::temp_dir().join("discharge.cir");
    match std::fs::write(&path, deck) {
        Ok(()) => println!("Its SPICE deck is {}.", path.display()),
        Err(error) => eprintln!("{}: {error}", path.display()),
    }
    Ok(())
}
