//! The text of decks. What ngspice makes of them is compared in `tests/transient_reference.rs`.

use super::*;
use crate::electrics::transient::{Element, GROUND, Wave};
use crate::units::{Farads, Henries, Ohms};

#[test]
fn a_deck_in_full() {
    let mut network = Network::new();
    let [plus, out] = ["bank +", "bank -"].map(|name| network.node(name));
    let bank = network.capacitor("C1", plus, GROUND, Farads::new(4.7e-3), Ohms::new(0.05), Volts::new(24.0));
    let changes = vec![Seconds::new(0.1)];
    network.add("S 1", plus, out, Element::Switch { closed: Ohms::new(0.02), starts_closed: true, changes });
    let coil = network.coil("M1", out, GROUND, Ohms::new(4.5), Henries::new(8e-3));
    network.diode("V1", GROUND, out, Volts::new(0.7), Ohms::new(0.05));
    let measures = [
        ("peak".to_owned(), Measure::PeakCurrent(coil)),
        ("left".to_owned(), Measure::ChargeLeft(bank)),
        ("end".to_owned(), Measure::EndVoltage(out)),
    ];
    let deck = Deck {
        title: "one coil\n.end",
        network: &network,
        until: Seconds::new(0.2),
        step: Seconds::new(1e-4),
        measures: &measures,
    };
    let expected = "\
one coil .end
* Values in V, A, Ohm, H, F, s. Run with: ngspice -b FILE
* Nodes
*   0 = 0
*   k_bank__ = bank +
*   k_bank___2 = bank -
* C1
Vi_x_c1 k_bank__ a_x_c1 0
Rx_c1 a_x_c1 b_x_c1 5e-2
Cx_c1 b_x_c1 0 4.7e-3 ic=2.4e1
* S 1
Vi_x_s_1 k_bank__ a_x_s_1 0
Vc_x_s_1 c_x_s_1 0 PWL(0 1 1e-1 1 1.00001e-1 0)
Bx_s_1 a_x_s_1 k_bank___2 I=v(a_x_s_1,k_bank___2)/1e9*exp(2.4635288842374557e1*v(c_x_s_1))
* M1
Vi_x_m1 k_bank___2 a_x_m1 0
Rx_m1 a_x_m1 b_x_m1 4.5e0
Lx_m1 b_x_m1 0 8e-3 ic=0e0
* V1
Vi_x_v1 0 a_x_v1 0
Bx_v1 a_x_v1 k_bank___2 I=v(a_x_v1,k_bank___2)/1e9+((v(a_x_v1,k_bank___2)-7e-1)+\
sqrt((v(a_x_v1,k_bank___2)-7e-1)*(v(a_x_v1,k_bank___2)-7e-1)+1e-8))/1e-1
* for peak: size of the current
Bm_peak m_peak 0 V=abs(i(Vi_x_m1))
* for left: voltage on the capacitor
Em_left m_left 0 b_x_c1 0 1
* for end: voltage
Em_end m_end 0 k_bank___2 0 1
* Close tolerances: the figures are for comparison.
.options reltol=1e-5 abstol=1e-8 vntol=1e-6 itl4=100
.tran 1e-4 2e-1 0 1e-4 uic
.meas tran peak MAX v(m_peak)
.meas tran peak_at MAX_AT v(m_peak)
.meas tran left FIND v(m_left) AT=2e-1
.meas tran end FIND v(m_end) AT=2e-1
.end
";
    assert_eq!(deck.text(), expected);
}

#[test]
fn names_are_legal_and_none_comes_twice() {
    let mut network = Network::new();
    let nodes: Vec<Node> =
        ["Ä", "ä", "1", "k_1", "a b", "a_b", "A_B", ""].map(|name| network.node(name)).into();
    for (n, name) in ["R", "r", "", "*", ".end", "x\ny", "r_2", "R 2"].into_iter().enumerate() {
        network.resistor(name, nodes[n], GROUND, Ohms::new(1.0));
    }
    network.source("R", nodes[0], GROUND, Wave::Dc(Volts::new(1.0)), Ohms::new(0.0));
    let measures =
        [("a".to_owned(), Measure::EndVoltage(GROUND)), ("A".to_owned(), Measure::EndVoltage(nodes[1]))];
    let (until, step) = (Seconds::new(1.0), Seconds::new(0.01));
    let text = Deck { title: "", network: &network, until, step, measures: &measures }.text();
    let mut parts = std::collections::BTreeSet::new();
    for line in text.lines().skip(1).filter(|line| !line.starts_with(['*', '.'])) {
        let words: Vec<&str> = line.split_whitespace().collect();
        assert!(words.len() >= 4, "{line}");
        assert!(
            words[..3].iter().all(|w| w.chars().all(|c| c.is_ascii_alphanumeric() || c == '_')),
            "{line}"
        );
        assert!(parts.insert(words[0].to_ascii_lowercase()), "{} twice", words[0]);
    }
    assert_eq!(text.lines().filter(|line| *line == ".end").count(), 1);
}
