//! The proof of the rails looks at a few turnouts at a time. Here every setting of the whole layout
//! is looked at instead, with mistakes made at random, and both must see the same.

#[path = "support/grow.rs"]
mod grow;

use proptest::prelude::*;
use underboard::Design;
use underboard::circuit::{NetKind, PartKind, PinRef};
use underboard::proof::{Fault, When, prove};
use underboard::source::SourceFile;
use underboard::track::{Connection, Feed, Position, RailId, RailPlace};

/// A mistake: a kind and a number that picks its place.
fn spoil(d: &mut Design, [kind, at]: [u8; 2]) {
    let at = usize::from(at);
    match kind % 4 {
        0 if !d.rails.joints.is_empty() => {
            let joint = at % d.rails.joints.len();
            let edge =
                d.rails.graph.edge_indices().find(|e| d.rails.graph[*e] == Connection::Insulated(joint));
            if let Some(edge) = edge {
                d.rails.graph[edge] = Connection::Joined;
            }
        }
        1 if !d.circuit.contacts.is_empty() => {
            let c = d.circuit.contacts[at % d.circuit.contacts.len()].clone();
            let pins = &mut d.circuit.parts[c.part.0].pins;
            (pins[c.normal].net, pins[c.reverse].net) = (pins[c.reverse].net, pins[c.normal].net);
        }
        2 if !d.circuit.contacts.is_empty() => {
            let c = d.circuit.contacts[at % d.circuit.contacts.len()].clone();
            d.circuit.parts[c.part.0].pins[c.common].net = None;
        }
        _ => {
            let rails: Vec<usize> = (0..d.circuit.parts.len())
                .filter(|p| d.circuit.parts[*p].pins.iter().any(|p| p.name == "dropper"))
                .collect();
            let net = &mut d.circuit.parts[rails[at % rails.len()]].pins[0].net;
            let Some(NetKind::Track(feed)) = net.map(|n| d.circuit.nets[n.0].kind) else { return };
            // To the other feed, or off.
            let other = d.circuit.nets.iter().position(|n| n.kind == NetKind::Track(feed.other()));
            *net = if at % 2 == 0 { None } else { other.map(underboard::circuit::NetId) };
        }
    }
}

fn root(parent: &[usize], mut i: usize) -> usize {
    while parent[i] != i {
        i = parent[i];
    }
    i
}

/// In one setting: `None` if the feeds touch, else the feed of every rail.
fn feeds(d: &Design, setting: &[Position]) -> Option<Vec<Option<Feed>>> {
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
            Connection::Blade(t, p) if setting[t.0] == p => join(a.index(), b.index()),
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
        let outer = if setting[c.turnout.0] == Position::Normal { c.normal } else { c.reverse };
        let net = |pin| d.circuit.pin(PinRef { part: c.part, pin }).net;
        if let (Some(a), Some(b)) = (net(c.common), net(outer)) {
            join(rails + a.0, rails + b.0);
        }
    }
    let poles = [rails + nets, rails + nets + 1].map(|p| root(&parent, p));
    let feed = |r| Feed::ALL.into_iter().find(|f| poles[*f as usize] == root(&parent, r));
    (poles[0] != poles[1]).then(|| (0..rails).map(feed).collect())
}

fn covers(when: &When, setting: &[Position]) -> bool {
    when.cases.iter().any(|case| when.turnouts.iter().zip(case).all(|(t, p)| setting[t.0] == *p))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_proof_sees_what_trying_every_setting_sees(
        genes in proptest::collection::vec(any::<[u8; 8]>(), 1..8),
        closings in proptest::collection::vec(any::<[u8; 2]>(), 0..4),
        mistakes in proptest::collection::vec(any::<[u8; 2]>(), 0..5),
        each_section in any::<bool>(),
    ) {
        let text = grow::layout(&genes, &closings, each_section);
        let (d, found) = underboard::design(&SourceFile::new("grown.toml", text.as_str()));
        prop_assert!(d.is_some(), "{:#?}\n{}", found, text);
        let mut d = d.unwrap();
        for mistake in mistakes {
            spoil(&mut d, mistake);
        }
        let proof = prove(&d.document, &d.rails, &d.circuit);
        prop_assert!(proof.left_out.is_empty());
        let turnouts = d.document.turnouts.len();
        for bits in 0..1usize << turnouts {
            let setting: Vec<Position> = (0..turnouts).map(|t| Position::ALL[bits >> t & 1]).collect();
            let short = proof.faults.iter().any(|f| matches!(f, Fault::Short { when, .. } if covers(when, &setting)));
            let Some(feeds) = feeds(&d, &setting) else {
                prop_assert!(short, "a short with {:?} was not found\n{}", setting, text);
                continue;
            };
            prop_assert!(!short, "no short with {:?}\n{:#?}\n{}", setting, proof, text);
            for (i, rail) in d.rails.rails.iter().enumerate() {
                let told = proof.faults.iter().find_map(|f| match f {
                    Fault::Dead { rails, when, .. } => {
                        (rails.contains(&RailId(i)) && covers(when, &setting)).then_some(None)
                    }
                    Fault::WrongFeed { rails, found, when, .. } => {
                        (rails.contains(&RailId(i)) && covers(when, &setting)).then_some(Some(*found))
                    }
                    Fault::FrogWrong { turnout, found, when, .. } => {
                        (rail.place == RailPlace::Frog(*turnout) && covers(when, &setting)).then_some(*found)
                    }
                    Fault::Short { .. } => None,
                });
                let wanted = match rail.place {
                    RailPlace::Frog(t) => d.rails.frog(t).map(|need| need.at(setting[t.0]).1),
                    _ => rail.feed,
                };
                let wrong = (feeds[i] != wanted).then_some(feeds[i]);
                // An inner rail may be dead while its road is not set.
                let excused = matches!(rail.place, RailPlace::Inner(..)) && wrong == Some(None) && told.is_none();
                prop_assert!(told == wrong || excused, "{}: {:?}, told {:?}\n{:#?}\n{}", rail.name, wrong, told, proof, text);
            }
        }
    }
}
