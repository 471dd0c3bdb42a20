//! The transient solver against ngspice, on circuits such as a layout's supply has.
//!
//! `tests/reference/spice.csv` is what ngspice said of the decks that our exporter wrote; `.ci/spice` runs
//! it again, live, and sets `SPICE_CSV` to the new values and `SPICE_DECKS` to where decks are to be written.

#[path = "support/circuits.rs"]
mod circuits;

use std::collections::BTreeMap;

use circuits::{Figure, circuits, route_of_six};

/// What may be between the two programs.
const ALLOWED: f64 = 0.005;

/// Circuit, measure: value by ngspice, `None` where its measure failed.
type Reference = BTreeMap<(String, String), Option<f64>>;

fn reference() -> Reference {
    let recorded = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/spice.csv");
    let path = std::env::var("SPICE_CSV").unwrap_or_else(|_| recorded.to_owned());
    let mut reader = csv::Reader::from_path(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    let rows = reader.records().map(|row| {
        let row = row.unwrap();
        let value = (&row[2] != "failed").then(|| row[2].parse().unwrap());
        ((row[0].to_owned(), row[1].to_owned()), value)
    });
    rows.collect()
}

#[test]
fn agrees_with_ngspice() {
    let reference = reference();
    let circuits = circuits();
    assert!(circuits.len() >= 40);
    let mut worst: BTreeMap<&str, (f64, String, usize)> = BTreeMap::new();
    let mut wrong = Vec::new();
    let mut compared = 0;
    for circuit in &circuits {
        let transient = circuit.network.simulate(circuit.until).unwrap();
        for Figure { name, quantity, value, floor } in circuit.figures(&transient) {
            let key = (circuit.name.clone(), name);
            let theirs = reference.get(&key).unwrap_or_else(|| panic!("no reference for {key:?}"));
            compared += 1;
            match (value, theirs) {
                (None, None) => {}
                (Some(ours), Some(theirs)) => {
                    let off = ((ours - theirs).abs() - floor).max(0.0) / theirs.abs().max(1e-12);
                    let entry = worst.entry(quantity).or_default();
                    entry.2 += 1;
                    if off >= entry.0 {
                        (entry.0, entry.1) = (off, format!("{} {}", key.0, key.1));
                    }
                    if off > ALLOWED {
                        wrong.push(format!("{key:?}: {ours}, not {theirs} ({:.2} %)", off * 100.0));
                    }
                }
                // Below a threshold that is never reached there is nothing to measure in either.
                pair => wrong.push(format!("{key:?}: {pair:?}")),
            }
        }
    }
    for (quantity, (off, place, count)) in &worst {
        println!("{quantity:>15}: {count:3} compared, worst {:.4} % ({place})", off * 100.0);
    }
    assert!(wrong.is_empty(), "{} of {compared} differ:\n{}", wrong.len(), wrong.join("\n"));
    assert_eq!(compared, reference.len(), "the reference has other rows: record it again with .ci/spice");
}

/// Writes the decks for `.ci/spice` if it asks for them; looks at their form in any case.
#[test]
fn writes_the_decks() {
    let folder = std::env::var("SPICE_DECKS").ok();
    let mut measures = 0;
    for circuit in circuits().iter().chain([&route_of_six()]) {
        let deck = circuit.deck();
        assert!(deck.ends_with(".end\n") && deck.is_ascii(), "{}", circuit.name);
        measures += deck.matches("\n.meas ").count();
        if let Some(folder) = &folder {
            std::fs::write(format!("{folder}/{}.cir", circuit.name), deck).unwrap();
        }
    }
    assert!(measures > 300, "{measures}");
}
