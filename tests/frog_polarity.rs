//! Frog polarity against an independent walk over the rails (`support/walk.rs`), for every example
//! and for layouts that grow at random.

#[path = "support/grow.rs"]
mod grow;
#[path = "support/walk.rs"]
mod walk;

use proptest::prelude::*;
use underboard::Design;
use underboard::circuit::{Circuit, NetId, PartKind, PinRef};
use underboard::diag::Severity;
use underboard::parse::FrogKind;
use underboard::source::SourceFile;
use walk::{Wheel, walk, wheel_on_frog};

fn design(name: &str, text: &str) -> Design {
    let (design, found) = underboard::design(&SourceFile::new(name, text));
    let reversing: Vec<_> = found.iter().filter(|d| d.code == "reversing-connection").collect();
    assert!(reversing.is_empty(), "{name}: {reversing:#?}\n{text}");
    design.unwrap_or_else(|| panic!("{name}: {found:#?}\n{text}"))
}

/// "A" or "B": the pin of the track supply that is on this net.
fn pole(circuit: &Circuit, net: NetId) -> &'static str {
    let supply = circuit.parts.iter().find(|p| p.kind == PartKind::TrackSupply).expect("a track supply");
    let pin = supply.pins.iter().find(|p| p.net == Some(net));
    pin.unwrap_or_else(|| panic!("{} is not on the track supply", circuit[net].name)).name
}

/// The net of the part with this name, as printed.
fn net_of(circuit: &Circuit, name: &str) -> Option<NetId> {
    circuit.parts.iter().find(|p| p.designation == name)?.pins[0].net
}

/// Checks droppers and frogs; returns the number of frog positions compared.
fn compare(d: &Design) -> usize {
    let walked = walk(&d.document).unwrap_or_else(|e| panic!("{e}"));
    let circuit = &d.circuit;
    // The pole on which each part of the layout has its conductor 0, told by its first dropper.
    let mut zero: Vec<Option<&str>> = vec![None; d.document.turnouts.len() + d.document.tracks.len()];
    let other = |pole: &str| if pole == "A" { "B" } else { "A" };
    let turnouts =
        d.document.turnouts.iter().zip(&walked.turnouts).map(|(t, w)| (&t.name.value, "stock rail", w));
    let tracks = d.document.tracks.iter().zip(&walked.tracks).map(|(k, w)| (&k.name.value, "rail", w));
    for (name, what, (part, left)) in turnouts.chain(tracks) {
        for (side, conductor) in [("left", *left), ("right", 1 - *left)] {
            let Some(net) = net_of(circuit, &format!("{name} {side} {what}")) else { continue };
            let on = pole(circuit, net);
            let implied = if conductor == 0 { on } else { other(on) };
            let known = *zero[*part].get_or_insert(implied);
            assert_eq!(known, implied, "dropper of {name} {side} {what}");
        }
    }
    let mut compared = 0;
    for (i, turnout) in d.document.turnouts.iter().enumerate() {
        let frog = net_of(circuit, &format!("{} frog", *turnout.name));
        assert_eq!(frog.is_some(), *turnout.frog != FrogKind::Insulated, "{}", *turnout.name);
        let Some(frog) = frog else { continue };
        let mut contacts = circuit
            .contacts
            .iter()
            .filter(|c| circuit.pin(PinRef { part: c.part, pin: c.common }).net == Some(frog));
        let contact = contacts.next().unwrap_or_else(|| panic!("{} has no contact", *turnout.name));
        assert!(contacts.next().is_none(), "{} has two contacts", *turnout.name);
        assert_eq!(contact.turnout.0, i);
        let (part, left) = walked.turnouts[i];
        let [_, one, two] = turnout.kind.ports();
        let across = if turnout.normal == one { two } else { one };
        for (road, not, pin) in
            [(turnout.normal, across, contact.normal), (across, turnout.normal, contact.reverse)]
        {
            let conductor = match wheel_on_frog(*turnout.kind, road, not) {
                Wheel::Left => left,
                Wheel::Right => 1 - left,
            };
            let zero = zero[part].expect("each part of the layout has a dropper");
            let wanted = if conductor == 0 { zero } else { other(zero) };
            let net = circuit.pin(PinRef { part: contact.part, pin }).net.expect("the outer pin is wired");
            assert_eq!(pole(circuit, net), wanted, "frog of {} over {road:?}", *turnout.name);
            compared += 1;
        }
    }
    compared
}

/// The proof and the checks of the rails agree with the walk that all is well.
fn no_fault(d: &Design, text: &str) {
    let proof = underboard::proof::prove(&d.document, &d.rails, &d.circuit);
    assert!(proof.faults.is_empty() && proof.left_out.is_empty(), "{proof:#?}\n{text}");
    let view =
        underboard::check::View::of(&d.document, &d.rails, &d.plan, &d.sizing, &d.circuit, &d.wiring, &proof);
    // What a supply or a contact can bear is not what is grown here.
    let sized = ["overloaded", "wire-overloaded", "fuse-above-wire"];
    let errors: Vec<_> = underboard::check::check(&view)
        .into_iter()
        .filter(|f| f.severity == Severity::Error && !sized.contains(&f.code))
        .collect();
    assert!(errors.is_empty(), "{errors:#?}\n{text}");
}

#[test]
fn every_frog_of_the_examples() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut names: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    names.sort();
    let mut compared = 0;
    for path in names.iter().map(|p| p.join("layout.toml")).filter(|p| p.exists()) {
        let text = std::fs::read_to_string(&path).unwrap();
        let d = design(&path.display().to_string(), &text);
        compared += compare(&d);
        no_fault(&d, &text);
    }
    assert!(compared >= 38, "only {compared} positions compared");
}

/// Tables for plain turnouts as clubs print them, seen from the toe (domain text 9.2).
#[test]
fn the_walks_own_geometry_gives_the_published_table() {
    use underboard::parse::{Port::*, TurnoutKind};
    for (kind, road, other, wheel) in [
        (TurnoutKind::Right, Straight, Diverging, Wheel::Right),
        (TurnoutKind::Right, Diverging, Straight, Wheel::Left),
        (TurnoutKind::Left, Straight, Diverging, Wheel::Left),
        (TurnoutKind::Left, Diverging, Straight, Wheel::Right),
        (TurnoutKind::Wye, Left, Right, Wheel::Right),
        (TurnoutKind::Wye, Right, Left, Wheel::Left),
    ] {
        assert_eq!(wheel_on_frog(kind, road, other), wheel, "{kind:?} over {road:?}");
    }
}

#[test]
fn a_train_that_comes_back_turned_round_is_noticed() {
    let text = "format = 1\n[layout]\nname = \"Loop\"\ncontrol = \"dc\"\n\
        [turnout]\nT1 = { kind = \"left\", frog = \"live\" }\n\
        [track]\nlead = { from = \"buffer\", to = \"T1.toe\" }\n\
        balloon = { from = \"T1.straight\", to = \"T1.diverging\" }\n\
        [drive.motor]\nkind = \"slow-motion\"\ncontacts = 1\n\
        [control.S1]\nthrows = \"T1\"\nwith = \"maintained toggle\"\n";
    let (design, found) = underboard::design(&SourceFile::new("loop.toml", text));
    assert!(found.iter().any(|d| d.code == "reversing-connection" && d.message.contains("balloon")));
    assert!(walk(&design.unwrap().document).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_frog_of_layouts_grown_at_random(
        genes in proptest::collection::vec(any::<[u8; 8]>(), 1..14),
        closings in proptest::collection::vec(any::<[u8; 2]>(), 0..6),
        each_section in any::<bool>(),
    ) {
        let text = grow::layout(&genes, &closings, each_section);
        let d = design("grown.toml", &text);
        let with_frog = d.document.turnouts.iter().filter(|t| *t.frog != FrogKind::Insulated).count();
        prop_assert_eq!(compare(&d), 2 * with_frog);
        no_fault(&d, &text);
    }
}

/// What grows is more than trees: with closings, tracks between turnouts close rings.
#[test]
fn grown_layouts_have_rings() {
    let genes: Vec<grow::Gene> = (0..10u8).map(|i| [i, i / 2, i, i, 1, i, i.wrapping_mul(7), i]).collect();
    let closings = [[1, 0], [3, 1], [5, 2]];
    let d = design("grown.toml", &grow::layout(&genes, &closings, false));
    let between = d
        .document
        .tracks
        .iter()
        .filter(|k| [*k.from, *k.to].iter().all(|e| matches!(e, underboard::parse::TrackEnd::Port(..))));
    let rings = between.count() + 1 - d.document.turnouts.len();
    assert!(rings >= 2, "{rings} rings");
}
