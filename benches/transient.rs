//! One discharge of a bank into a route of six solenoids: our solver against an ngspice process on the same
//! deck. The process's start and the printing of its figures are part of what it costs a program to ask
//! it; the second run measures that alone, on a deck with next to nothing in it.

// The same circuits as in the comparison of results.
#[allow(dead_code)]
#[path = "../tests/support/circuits.rs"]
mod circuits;

use std::process::{Command, Stdio};

use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

#[divan::bench]
fn route_of_six(bencher: Bencher) {
    let circuit = circuits::route_of_six();
    bencher.bench(|| black_box(&circuit.network).simulate(circuit.until).unwrap());
}

/// With the answers to all that the deck measures.
#[divan::bench]
fn route_of_six_with_figures(bencher: Bencher) {
    let circuit = circuits::route_of_six();
    bencher.bench(|| circuit.figures(&circuit.network.simulate(circuit.until).unwrap()));
}

/// Passes over what it cannot do if there is no ngspice.
fn ngspice(bencher: Bencher, name: &str, deck: &str) {
    let path = std::env::temp_dir().join(format!("{name}-{}.cir", std::process::id()));
    std::fs::write(&path, deck).unwrap();
    let run = || {
        let mut command = Command::new("ngspice");
        command.arg("-b").arg(&path).stdout(Stdio::null()).stderr(Stdio::null()).status()
    };
    if run().is_ok() {
        bencher.bench(run);
    } else {
        eprintln!("no ngspice here");
    }
    std::fs::remove_file(&path).unwrap();
}

#[divan::bench]
fn ngspice_route_of_six(bencher: Bencher) {
    ngspice(bencher, "route", &circuits::route_of_six().deck());
}

/// With steps as long as it likes, at its usual tolerances.
#[divan::bench]
fn ngspice_route_of_six_coarse(bencher: Bencher) {
    let deck = circuits::route_of_six().deck();
    let lines: Vec<&str> = deck.lines().filter(|line| !line.starts_with(".options")).collect();
    let long = lines.iter().map(|line| match line.strip_prefix(".tran ") {
        Some(rest) => {
            let times: Vec<&str> = rest.split(' ').collect();
            format!(".tran {} {} uic\n", times[0], times[1])
        }
        None => format!("{line}\n"),
    });
    ngspice(bencher, "coarse", &long.collect::<String>());
}

#[divan::bench]
fn ngspice_next_to_nothing(bencher: Bencher) {
    ngspice(
        bencher,
        "nothing",
        "nothing\nV1 1 0 1\nR1 1 0 1\n.tran 1 1\n.meas tran v FIND v(1) AT=1\n.end\n",
    );
}
