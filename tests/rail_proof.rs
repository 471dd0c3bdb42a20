//! The proof of the rails looks at a few turnouts at a time. Here every setting of the whole layout
//! is looked at instead, with mistakes made at random, and both must see the same in each of them.

#[path = "support/grow.rs"]
mod grow;
#[path = "support/spoil.rs"]
#[allow(dead_code)]
mod spoil;

use proptest::prelude::*;
use underboard::Design;
use underboard::circuit::{PartKind, PinRef};
use underboard::drives::{Decider, SelectorId};
use underboard::parse::BarId;
use underboard::proof::{Fault, When, prove};
use underboard::source::SourceFile;
use underboard::track::{Connection, Feed, Position, RailId, RailPlace};

/// All bars, then all selectors.
fn deciders(d: &Design) -> Vec<Decider> {
    let bars = (0..d.document.bars.len()).map(|b| Decider::Bar(BarId(b)));
    bars.chain((0..d.plan.selectors.len()).map(|s| Decider::Selector(SelectorId(s)))).collect()
}

fn root(parent: &[usize], mut i: usize) -> usize {
    while parent[i] != i {
        i = parent[i];
    }
    i
}

/// In one setting: `None` if the feeds touch, else the feed of every rail.
fn feeds(d: &Design, lies: impl Fn(Decider) -> Position) -> Option<Vec<Option<Feed>>> {
    let (rails, nets) = (d.rails.rails.len(), d.circuit.nets.len());
    let mut parent: Vec<usize> = (0..rails + nets + 2).collect();
    let mut join = |a: usize, b: usize| {
        let (a, b) = (root(&parent, a), root(&parent, b));
        parent[a] = b;
    };
    for edge in d.rails.graph.edge_indices() {
        let (a, b) = d.rails.graph.edge_endpoints(edge).unwrap();
        match d.rails.graph[edge] {
            Connection::Joined => join(a.index(), b.index()),
            Connection::Blade(bar, p) if lies(Decider::Bar(bar)) == p => join(a.index(), b.index()),
            _ => {}
        }
    }
    for part in &d.circuit.parts {
        for pin in &part.pins {
            match (part.kind, pin.net, pin.name) {
                (PartKind::Rail { rail }, Some(net), _) => join(rail.0, rails + net.0),
                (PartKind::TrackSupply, Some(net), "A") => join(rails + nets, rails + net.0),
                (PartKind::TrackSupply, Some(net), "B") => join(rails + nets + 1, rails + net.0),
                _ => {}
            }
        }
    }
    for c in &d.circuit.contacts {
        let outer = if lies(c.decider) == Position::Normal { c.normal } else { c.reverse };
        let net = |pin| d.circuit.pin(PinRef { part: c.part, pin }).net;
        if let (Some(a), Some(b)) = (net(c.common), net(outer)) {
            join(rails + a.0, rails + b.0);
        }
    }
    let poles = [rails + nets, rails + nets + 1].map(|p| root(&parent, p));
    let feed = |r| Feed::ALL.into_iter().find(|f| poles[*f as usize] == root(&parent, r));
    (poles[0] != poles[1]).then(|| (0..rails).map(feed).collect())
}

fn covers(when: &When, lies: impl Fn(Decider) -> Position) -> bool {
    when.cases.iter().any(|case| when.deciders.iter().zip(case).all(|(d, p)| lies(*d) == *p))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_proof_sees_what_trying_every_setting_sees(
        genes in proptest::collection::vec(any::<[u8; 8]>(), 1..5),
        closings in proptest::collection::vec(any::<[u8; 2]>(), 0..4),
        mistakes in proptest::collection::vec(any::<u16>(), 0..4),
        dcc in any::<bool>(),
        each_section in any::<bool>(),
    ) {
        let text = grow::layout(&genes, &closings, grow::Soil { dcc, each_section });
        let (d, found) = underboard::design(&SourceFile::new("grown.toml", text.as_str()));
        prop_assert!(d.is_some(), "{:#?}\n{}", found, text);
        let mut d = d.unwrap();
        let possible = spoil::all(&d);
        let mut made: Vec<usize> = mistakes.iter().map(|m| usize::from(*m) % possible.len()).collect();
        made.sort_unstable();
        made.dedup();
        for mistake in made {
            // Two mistakes can meet at one pin; then the second has nothing left to spoil.
            if let spoil::Mistake::DropperReversed(pin) = &possible[mistake]
                && d.circuit.pin(*pin).net.is_none()
            {
                continue;
            }
            spoil::spoil(&mut d, &possible[mistake]);
        }
        let proof = prove(&d.document, &d.rails, &d.plan, &d.circuit);
        prop_assert!(proof.sampled.is_empty());
        let deciders = deciders(&d);
        for bits in 0..1usize << deciders.len() {
            let lies = |which: Decider| {
                let bit = deciders.iter().position(|d| *d == which).unwrap();
                Position::ALL[bits >> bit & 1]
            };
            let short = proof.faults.iter().any(|f| matches!(f, Fault::Short { when, .. } if covers(when, lies)))
                || proof.misused.iter().any(|m| covers(&m.when, lies));
            let Some(feeds) = feeds(&d, lies) else {
                prop_assert!(short, "a short in setting {:b} was not found\n{}", bits, text);
                continue;
            };
            prop_assert!(!short, "no short in setting {:b}\n{:#?}\n{}", bits, proof, text);
            for (i, rail) in d.rails.rails.iter().enumerate() {
                // Frogs and borders are judged by the roads over them: see `support/plane.rs`.
                let fixed = matches!(rail.place, RailPlace::Track(..) | RailPlace::Stock(..));
                let Some(pole) = rail.pole.filter(|p| fixed && !d.rails.is_reversing(p.zone)) else { continue };
                let told = proof.faults.iter().find_map(|f| match f {
                    Fault::Dead { rails, when, .. } => {
                        (rails.contains(&RailId(i)) && covers(when, lies)).then_some(None)
                    }
                    Fault::WrongFeed { rails, found, when, .. } => {
                        (rails.contains(&RailId(i)) && covers(when, lies)).then_some(Some(found.feed))
                    }
                    _ => None,
                });
                let wrong = (feeds[i] != Some(pole.feed)).then_some(feeds[i]);
                prop_assert_eq!(told, wrong, "{} in setting {:b}\n{:#?}\n{}", rail.name, bits, proof, text);
            }
        }
    }
}
