use super::{RULES, View, check, manual};
use crate::Design;
use crate::circuit::{NetKind, PartId, PartKind, PinRef};
use crate::diag::{Diagnostic, Severity};
use crate::drives::Feeds;
use crate::drives::WireClass;
use crate::hardware::End;
use crate::parse::TurnoutId;
use crate::source::SourceFile;
use crate::track::{Connection, Feed, Pole, Position, RailId, ZoneId};
use crate::units::{Amps, Volts, WireSize};
use std::collections::BTreeSet;

const EXAMPLES: [(&str, &str); 5] = [
    ("single-turnout", include_str!("../../examples/single-turnout/layout.toml")),
    ("quarry-tramway", include_str!("../../examples/quarry-tramway/layout.toml")),
    ("branch-terminus", include_str!("../../examples/branch-terminus/layout.toml")),
    ("dockside-yard", include_str!("../../examples/dockside-yard/layout.toml")),
    ("fiddle-yard", include_str!("../../examples/fiddle-yard/layout.toml")),
];

fn design(name: &str, text: &str) -> Design {
    let (design, found) = crate::design(&SourceFile::new(name, text));
    design.unwrap_or_else(|| panic!("{name}: {found:#?}"))
}

fn example(name: &str) -> Design {
    let (_, text) = EXAMPLES.iter().find(|(n, _)| *n == name).unwrap();
    design(name, text)
}

fn findings(d: &Design) -> Vec<Diagnostic> {
    let proof = crate::proof::prove(&d.document, &d.rails, &d.plan, &d.circuit);
    check(&View::of(&d.document, &d.rails, &d.plan, &d.sizing, &d.circuit, &d.wiring, &proof))
}

fn codes(d: &Design) -> BTreeSet<&'static str> {
    findings(d).iter().map(|f| f.code).collect()
}

/// Joins a pin to another net, as a mistake in the circuit would.
fn rejoin(d: &mut Design, pin: PinRef, net: crate::circuit::NetId) {
    if let Some(old) = d.circuit.pin(pin).net {
        d.circuit.nets[old.0].pins.retain(|p| *p != pin);
    }
    d.circuit.parts[pin.part.0].pins[pin.pin].net = Some(net);
    d.circuit.nets[net.0].pins.push(pin);
}

/// A conductor of the only section.
fn pole(feed: Feed) -> Pole {
    Pole { zone: ZoneId(0), feed }
}

fn other(pole: Pole) -> Pole {
    Pole { feed: pole.feed.other(), ..pole }
}

/// The turnout whose frogs a contact feeds.
fn fed_by(d: &Design, contact: usize) -> Option<TurnoutId> {
    d.plan.changeover(d.circuit.contacts[contact].changeover).turnout(&d.rails)
}

fn swap_outers(d: &mut Design, contact: usize) {
    let contact = d.circuit.contacts[contact].clone();
    let [n, r] = Position::ALL.map(|p| contact.outer(p));
    let [at_n, at_r] = [n, r].map(|p| d.circuit.pin(p).net.unwrap());
    rejoin(d, n, at_r);
    rejoin(d, r, at_n);
    rewire(d);
}

fn rewire(d: &mut Design) {
    d.wiring = crate::hardware::wire(&d.document, &d.rails, &d.circuit, &d.sizing, &d.runs);
}

fn net_of(d: &Design, kind: NetKind) -> crate::circuit::NetId {
    d.circuit.nets().find(|(_, n)| n.kind == kind).unwrap().0
}

#[test]
fn the_table_of_rules_is_sound() {
    let mut seen = BTreeSet::new();
    for rule in RULES {
        assert!(seen.insert(rule.code), "{} twice", rule.code);
        let kebab = |c: char| c.is_ascii_lowercase() || c == '-';
        assert!(rule.code.chars().all(kebab) && !rule.code.starts_with('-'), "{}", rule.code);
        for text in [rule.title, rule.why, rule.mend] {
            assert!(text.ends_with('.') && text.len() > 15, "{}: {text}", rule.code);
        }
    }
}

#[test]
fn the_page_of_checks_is_made_from_the_rules() {
    let page = include_str!("../../docs/checks.md");
    if std::env::var_os("WRITE_CHECKS").is_some() {
        std::fs::write(concat!(env!("CARGO_MANIFEST_DIR"), "/docs/checks.md"), manual()).unwrap();
        return;
    }
    for rule in RULES {
        assert!(page.contains(&format!("## {}\n", rule.code)), "{} is missing", rule.code);
    }
    assert_eq!(page, manual(), "docs/checks.md: write it anew with WRITE_CHECKS=1 cargo test checks");
}

#[test]
fn the_examples_have_no_errors() {
    for (name, text) in EXAMPLES {
        let found = findings(&design(name, text));
        let errors: Vec<_> = found.iter().filter(|f| f.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{name}: {errors:#?}");
        for f in &found {
            println!("{name}: {:?} {}: {} | {:?}", f.severity, f.code, f.message, f.help);
        }
    }
}

/// A design in which the rule of this code must speak.
fn spoilt(code: &str) -> Design {
    let mut d = example(match code {
        "drive-on-member" => "branch-terminus",
        "frog-wrong-feed" | "frog-without-feed" | "pin-left-open" | "fuse-above-wire" => "dockside-yard",
        "route-sneak" | "route-dead" => "fiddle-yard",
        _ => "quarry-tramway",
    });
    match code {
        "turnout-without-control" => {
            d.document.controls[0].throws.clear();
        }
        "control-without-turnout" => d.document.controls[1].throws.clear(),
        "rail-short" | "frog-wrong-feed" => swap_outers(&mut d, 0),
        "rail-wrong-feed" => {
            // A rail between joints has one dropper; it goes to the other bus.
            let (rail, wrong) = lone_rail(&d);
            let part = d.circuit.find(|k| k == PartKind::Rail { rail }).unwrap();
            let net = net_of(&d, NetKind::Track(wrong));
            rejoin(&mut d, PinRef { part, pin: 0 }, net);
        }
        "frog-without-feed" => {
            d.circuit.contacts.remove(0);
        }
        "dead-rail" => {
            let (rail, _) = lone_rail(&d);
            let part = d.circuit.find(|k| k == PartKind::Rail { rail }).unwrap();
            let net = d.circuit.parts[part.0].pins[0].net.take().unwrap();
            d.circuit.nets[net.0].pins.retain(|p| p.part != part);
        }
        "not-examined" => return many_live_frogs_in_one(),
        "polarity-breaks" => return loop_fed_the_wrong_way_round(),
        "contact-used-twice" => {
            let pin = d.circuit.contacts[1].common();
            let net = d.circuit.pin(d.circuit.contacts[0].common()).net.unwrap();
            let frog = d.circuit.pin(pin).net.unwrap();
            let rail = d.circuit[frog].pins.iter().copied().find(|p| *p != pin).unwrap();
            rejoin(&mut d, rail, net);
        }
        // Every live frog with a contact is a note.
        "contact-timing" => {}
        "sides-joined" => {
            let coil = coil_pins(&d)[2];
            let track = net_of(&d, NetKind::Track(pole(Feed::A)));
            rejoin(&mut d, coil, track);
        }
        "accessory-supply-on-track" => {
            // A coil across the two feeds, and nothing of the accessory supply on it.
            for (pin, feed) in coil_pins(&d).into_iter().zip([Feed::A, Feed::A, Feed::B]) {
                let net = net_of(&d, NetKind::Track(pole(feed)));
                rejoin(&mut d, pin, net);
            }
        }
        "route-sneak" => {
            let (part, route) = diodes(&d)[0];
            d.circuit.parts[part.0].kind = PartKind::Link { route };
        }
        "route-dead" => {
            let (part, _) = diodes(&d)[0];
            turn_round(&mut d, part);
        }
        "overloaded" => d.sizing.loads[0].limit = Amps::new(0.001),
        "wire-overloaded" => thin(&mut d, WireClass::TrackBus),
        "fuse-above-wire" => thin(&mut d, WireClass::ServoSupply),
        "capacitor-over-rating" => d.sizing.stresses[0].rating = Volts::new(1.0),
        "drive-on-member" => {
            // A member under the tie bar of the first turnout.
            let toe = d.document.turnouts[0].place.unwrap().origin;
            let board = d.document.turnouts[0].board;
            d.document.boards[board.0].members[0].from.0 = toe.0;
            d.document.boards[board.0].members[0].to = toe;
        }
        "pin-left-open" => {
            let (id, _) =
                d.circuit.parts().find(|(_, p)| matches!(p.kind, PartKind::Control { .. })).unwrap();
            let net = d.circuit.parts[id.0].pins[0].net.take().unwrap();
            d.circuit.nets[net.0].pins.retain(|p| p.part != id);
        }
        "net-with-one-pin" => d.circuit.nets[0].pins.truncate(1),
        "terminal-overfilled" => {
            let from = d.wiring.wires.iter().find(|w| matches!(w.from, End::Terminal(_))).unwrap().clone();
            for _ in 0..2 {
                d.wiring.wires.push(crate::hardware::Wire { number: 900, ..from.clone() });
            }
        }
        "colours-clash" => {
            let clash = (crate::parse::WireFunction::DigitalA, crate::parse::Colour::Brown);
            d.document.colours.push((clash.0, crate::source::At::new(clash.1, Default::default())));
        }
        "name-like-a-part" => d.document.turnouts[0].name.value = "M1".into(),
        "wiring-differs" => {
            d.wiring.wires.remove(3);
        }
        _ => panic!("no design is spoilt for the rule {code}: add one here"),
    }
    d
}

/// The diodes of the matrix, each with its route.
fn diodes(d: &Design) -> Vec<(PartId, crate::parse::RouteId)> {
    let of = |(id, p): (PartId, &crate::circuit::Part)| match p.kind {
        PartKind::Diode { route } => Some((id, route)),
        _ => None,
    };
    d.circuit.parts().filter_map(of).collect()
}

/// Solders a part of two pins in the wrong way round.
fn turn_round(d: &mut Design, part: PartId) {
    let [a, b] = [0, 1].map(|pin| PinRef { part, pin });
    let [at_a, at_b] = [a, b].map(|p| d.circuit.pin(p).net.unwrap());
    rejoin(d, a, at_b);
    rejoin(d, b, at_a);
}

/// Each diode of the matrix wrong in turn: the findings name the route whose button it is, and by
/// what way the current came.
#[test]
fn a_diode_turned_round_or_left_out_is_named() {
    let good = example("fiddle-yard");
    let diodes = diodes(&good);
    // Four buttons share the line of T5 with its toggle, and so on: derived by the diode rule, which
    // is proved beside `electrics::matrix`.
    assert_eq!(diodes.len(), 12);
    for (part, route) in diodes {
        let name = good.circuit[part].designation.clone();
        let mut d = good.clone();
        turn_round(&mut d, part);
        let dead = findings(&d).into_iter().find(|f| f.code == "route-dead").unwrap();
        assert!(dead.message.contains(good.document[route].name.as_str()), "{name}: {}", dead.message);
        let mut d = good.clone();
        d.circuit.parts[part.0].kind = PartKind::Link { route };
        let found = findings(&d);
        let mut sneaks = found.iter().filter(|f| f.code == "route-sneak");
        assert!(sneaks.any(|f| f.message.contains(&name)), "{name} is not named: {found:#?}");
    }
}

/// The pins of the first drive's two coils, their common last.
fn coil_pins(d: &Design) -> Vec<PinRef> {
    let part = d.circuit.find(|k| matches!(k, PartKind::Drive { .. })).unwrap();
    let pins = d.circuit[part].pins.iter().enumerate().filter(|(_, p)| !p.is_contact());
    pins.map(|(pin, _)| PinRef { part, pin }).collect()
}

fn thin(d: &mut Design, class: WireClass) {
    for wire in d.wiring.wires.iter_mut().filter(|w| w.class == class) {
        wire.size = WireSize::mm2(0.08);
    }
}

/// A rail that no other is joined to, and the conductor that is not its own.
fn lone_rail(d: &Design) -> (RailId, Pole) {
    let joined = |r: RailId| {
        d.rails.graph.edges(petgraph::graph::NodeIndex::new(r.0)).any(|e| *e.weight() == Connection::Joined)
    };
    let lone = d.rails.droppers.iter().find(|x| !joined(x.rail)).unwrap().rail;
    (lone, other(d.rails[lone].pole.unwrap()))
}

/// A ladder whose joints are all metal and whose contacts are missing.
fn many_live_frogs_in_one() -> Design {
    let mut d = design("ladder", &crate::proof::ladder(24));
    d.circuit.contacts.clear();
    let frogs: Vec<RailId> = d.rails.frogs.iter().map(|f| f.rail).collect();
    for pair in frogs.windows(2) {
        let [a, b] = [pair[0], pair[1]].map(|r| petgraph::graph::NodeIndex::new(r.0));
        d.rails.graph.add_edge(a, b, Connection::Joined);
    }
    d
}

/// The starter run on DC with a loop behind T2.
fn starter_with_a_loop() -> Design {
    let text = crate::parse::STARTER
        .replace("control  = \"dcc\"", "control  = \"dc\"")
        .replace(
            "to = \"buffer\",         length = \"430 mm\"",
            "to = \"T2.diverging\",   length = \"430 mm\"",
        )
        .replace("crane    =", "#");
    design("loop", &text)
}

/// That loop with its changeover wired the wrong way round.
fn loop_fed_the_wrong_way_round() -> Design {
    let mut d = starter_with_a_loop();
    for contact in 0..d.circuit.contacts.len() {
        if fed_by(&d, contact).is_none() {
            swap_outers(&mut d, contact);
        }
    }
    d
}

#[test]
fn every_rule_speaks_when_its_mistake_is_made_and_is_silent_before() {
    for rule in RULES {
        let spoilt = spoilt(rule.code);
        let found = findings(&spoilt);
        let mine: Vec<_> = found.iter().filter(|f| f.code == rule.code).collect();
        assert!(!mine.is_empty(), "{} does not fire: {found:#?}", rule.code);
        for f in mine {
            assert!(f.help.as_ref().is_some_and(|h| h.len() > 10), "{}: no help", rule.code);
        }
        if rule.code != "contact-timing" {
            for (name, text) in EXAMPLES {
                assert!(!codes(&design(name, text)).contains(rule.code), "{} fires on {name}", rule.code);
            }
        }
    }
}

#[test]
fn a_swapped_live_frog_names_its_wires_and_is_short_in_every_position() {
    let mut d = example("quarry-tramway");
    swap_outers(&mut d, 2);
    let contact = d.circuit.contacts[2].clone();
    let wires = Position::ALL.map(|p| d.wiring.at_pin(contact.outer(p)).next().unwrap().number);
    let found = findings(&d);
    let short = found.iter().find(|f| f.code == "rail-short").unwrap();
    assert!(short.message.contains("in every position"), "{}", short.message);
    let help = short.help.as_ref().unwrap();
    assert!(wires.iter().all(|w| help.contains(&format!("wire {w} at"))), "{help}");
    assert_eq!(short.labels[0].span, d.document[fed_by(&d, 2).unwrap()].span);
}

#[test]
fn a_swapped_separate_frog_is_no_short_but_wrong_in_both_positions() {
    let mut d = example("dockside-yard");
    swap_outers(&mut d, 0);
    let found = findings(&d);
    let frog = found.iter().find(|f| f.code == "frog-wrong-feed").unwrap();
    assert!(frog.message.contains("T1 normal") && frog.message.contains("T1 reverse"), "{}", frog.message);
    assert!(frog.message.contains("under wheels"));
    assert!(found.iter().all(|f| f.code != "rail-short"), "{found:#?}");
}

#[test]
fn swapping_the_outers_of_any_contact_is_an_error() {
    let mut count = 0;
    for (name, text) in EXAMPLES {
        let whole = design(name, text);
        for contact in 0..whole.circuit.contacts.len() {
            let mut d = whole.clone();
            swap_outers(&mut d, contact);
            let turnout = &d.document[fed_by(&d, contact).unwrap()];
            let code = match *turnout.frog {
                crate::parse::FrogKind::Live => "rail-short",
                _ => "frog-wrong-feed",
            };
            let found = findings(&d);
            let hit = found.iter().find(|f| f.code == code && f.severity == Severity::Error);
            let hit = hit.unwrap_or_else(|| panic!("{name}, {}: {found:#?}", *turnout.name));
            assert!(hit.labels.iter().any(|l| l.span == turnout.span), "{name}, {}: {hit:#?}", *turnout.name);
            assert!(hit.help.as_ref().unwrap().contains("swap"), "{hit:#?}");
            count += 1;
        }
    }
    println!("{count} contacts swapped");
    assert!(count >= 15);
}

#[test]
fn any_insulated_joint_in_metal_is_a_short() {
    let mut count = 0;
    for (name, text) in EXAMPLES {
        let whole = design(name, text);
        for edge in whole.rails.graph.edge_indices() {
            let Connection::Insulated(joint) = whole.rails.graph[edge] else { continue };
            let mut d = whole.clone();
            d.rails.graph[edge] = Connection::Joined;
            let found = findings(&d);
            let hit = found.iter().find(|f| f.code == "rail-short" && f.severity == Severity::Error);
            let hit = hit.unwrap_or_else(|| panic!("{name}, J{}: {found:#?}", joint + 1));
            let joint = &d.rails.joints[joint];
            let span = d.document[joint.turnout].span;
            assert!(hit.labels.iter().any(|l| l.span == span), "{name}: {hit:#?}");
            assert!(hit.help.as_ref().unwrap().contains("insulated joint"), "{hit:#?}");
            count += 1;
        }
    }
    println!("{count} joints bridged");
    assert!(count >= 30);
}

#[test]
fn any_dropper_on_the_other_feed_is_an_error() {
    let mut count = 0;
    for (name, text) in EXAMPLES {
        let whole = design(name, text);
        let rails = whole.circuit.parts().filter(|(_, p)| p.pins.iter().any(|p| p.name == "dropper"));
        for (part, _) in rails {
            let mut d = whole.clone();
            let pin = PinRef { part, pin: 0 };
            let NetKind::Track(own) = d.circuit[d.circuit.pin(pin).net.unwrap()].kind else { unreachable!() };
            let net = net_of(&d, NetKind::Track(other(own)));
            rejoin(&mut d, pin, net);
            rewire(&mut d);
            let found = findings(&d);
            let hit = found.iter().find(|f| {
                matches!(f.code, "rail-short" | "rail-wrong-feed") && f.severity == Severity::Error
            });
            let hit = hit.unwrap_or_else(|| panic!("{name}, {}: {found:#?}", d.circuit[part].designation));
            let wire = d.wiring.at_pin(pin).next().unwrap().number;
            let help = hit.help.as_ref().unwrap();
            assert!(help.contains(&format!("move wire {wire} at {}", d.circuit[part].designation)), "{help}");
            count += 1;
        }
    }
    println!("{count} droppers moved");
    assert!(count >= 100);
}

#[test]
fn joined_sides_name_the_wire_that_joins_them() {
    let mut d = spoilt("sides-joined");
    rewire(&mut d);
    let name = d.circuit.pin_name(coil_pins(&d)[2]);
    let found = findings(&d);
    let help = found.iter().find(|f| f.code == "sides-joined").unwrap().help.clone().unwrap();
    assert!(help.contains(&format!("off {name}")), "{help}");
}

/// The order of findings never depends on chance.
#[test]
fn the_same_design_gives_the_same_findings() {
    let d = spoilt("rail-short");
    assert_eq!(findings(&d), findings(&d.clone()));
    assert!(findings(&d).len() >= 2);
}

/// Frogs of one turnout that always need the same may hang on one contact, those of two may not.
#[test]
fn a_contact_serves_frogs_of_one_turnout_that_lie_alike() {
    let d = example("quarry-tramway");
    assert!(!codes(&d).contains("contact-used-twice"));
    let shared = d.plan.changeovers.iter().filter(|c| matches!(&c.feeds, Feeds::Frogs(f) if f.len() > 1));
    for changeover in shared {
        assert!(changeover.turnout(&d.rails).is_some());
    }
    let found = findings(&spoilt("contact-used-twice"));
    let message = &found.iter().find(|f| f.code == "contact-used-twice").unwrap().message;
    assert!(message.contains("the frog of T1 and the frog of T2"), "{message}");
}

#[test]
fn a_loop_wired_the_wrong_way_round_names_joint_and_wires() {
    let errors =
        |d: &Design| findings(d).into_iter().filter(|f| f.severity == Severity::Error).collect::<Vec<_>>();
    let right = errors(&starter_with_a_loop());
    assert!(right.is_empty(), "{right:#?}");
    let found = errors(&loop_fed_the_wrong_way_round());
    let broken = found.iter().find(|f| f.code == "polarity-breaks").unwrap();
    assert!(broken.message.contains("joint J") && broken.message.contains("at T2."), "{}", broken.message);
    assert!(broken.help.as_ref().unwrap().contains("wire"), "{broken:#?}");
}
