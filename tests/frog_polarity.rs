//! Frog polarity against wheels that are run over drawn rails (`support/plane.rs`), for every example
//! and for layouts of all kinds of turnouts that grow at random, sound and spoilt.

#[path = "support/grow.rs"]
mod grow;
#[path = "support/plane.rs"]
mod plane;
#[path = "support/spoil.rs"]
mod spoil;

use plane::{LEFT, RIGHT, draw, judge};
use proptest::prelude::*;
use underboard::Design;
use underboard::parse::{Port, TurnoutKind};
use underboard::proof::{Fault, prove};
use underboard::source::SourceFile;

fn design(name: &str, text: &str) -> Design {
    let (design, found) = underboard::design(&SourceFile::new(name, text));
    design.unwrap_or_else(|| panic!("{name}: {found:#?}\n{text}"))
}

/// Both find nothing.
fn sound(d: &Design, text: &str) {
    let verdict = judge(d);
    let proof = prove(&d.document, &d.rails, &d.plan, &d.circuit);
    assert!(proof.sampled.is_empty());
    assert_eq!(verdict.misused.is_empty(), proof.misused.is_empty(), "{text}");
    let dead = proof.faults.iter().any(|f| matches!(f, Fault::Dead { .. }));
    assert!(verdict.fine() && spoil::holds(d, &proof) && !dead, "{verdict:#?}\n{:#?}\n{text}", proof.faults);
}

#[test]
fn every_example() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let paths: Vec<_> = paths.iter().map(|p| p.join("layout.toml")).filter(|p| p.exists()).collect();
    assert!(paths.len() >= 4);
    for path in paths {
        let text = std::fs::read_to_string(&path).unwrap();
        sound(&design(&path.display().to_string(), &text), &text);
    }
}

/// What the drawing says of a frog over a road: the side of the wheel on it, seen along the drawing,
/// so that it must have the feed of the rail on that side.
fn wheel(kind: TurnoutKind, from: Port, to: Port, frog: &str) -> Option<usize> {
    let drawing = draw(kind);
    let road = drawing.roads.iter().find(|r| r.from == from && r.to == to).unwrap();
    [LEFT, RIGHT].into_iter().find(|h| road.passes[*h].iter().any(|f| drawing.names[*f] == frog))
}

/// Tables for plain turnouts as clubs print them, seen from the toe (domain text 9.2).
#[test]
fn the_drawing_gives_the_published_table_of_plain_turnouts() {
    use Port::*;
    for (kind, road, hand) in [
        (TurnoutKind::Right, Straight, RIGHT),
        (TurnoutKind::Right, Diverging, LEFT),
        (TurnoutKind::Left, Straight, LEFT),
        (TurnoutKind::Left, Diverging, RIGHT),
        (TurnoutKind::Wye, Left, RIGHT),
        (TurnoutKind::Wye, Right, LEFT),
        (TurnoutKind::CurvedLeft, Outer, LEFT),
        (TurnoutKind::CurvedLeft, Inner, RIGHT),
        (TurnoutKind::CurvedRight, Outer, RIGHT),
        (TurnoutKind::CurvedRight, Inner, LEFT),
    ] {
        assert_eq!(draw(kind).frogs.len(), 1);
        assert_eq!(wheel(kind, Toe, road, "frog"), Some(hand), "{kind:?} over {road:?}");
    }
}

/// The published truth table of the three-way (trade text 5.6).
#[test]
fn the_drawing_gives_the_published_table_of_the_three_way() {
    let kind = TurnoutKind::ThreeWay;
    assert_eq!(draw(kind).frogs.len(), 3);
    for (road, left, centre, right) in [
        (Port::Left, Some(RIGHT), Some(RIGHT), None),
        (Port::Straight, Some(LEFT), None, Some(RIGHT)),
        (Port::Right, None, Some(LEFT), Some(LEFT)),
    ] {
        let found = ["left frog", "centre frog", "right frog"].map(|f| wheel(kind, Port::Toe, road, f));
        assert_eq!(found, [left, centre, right], "{road:?}");
    }
}

/// The published table of the double slip (trade text 5.8); upper is left, looking from a and c.
#[test]
fn the_drawing_gives_the_published_table_of_the_double_slip() {
    let kind = TurnoutKind::DoubleSlip;
    assert_eq!(draw(kind).frogs.len(), 4);
    for (from, to, west, east) in [
        (Port::A, Port::B, RIGHT, LEFT),
        (Port::A, Port::D, RIGHT, RIGHT),
        (Port::C, Port::D, LEFT, RIGHT),
        (Port::C, Port::B, LEFT, LEFT),
    ] {
        let found = ["a-c frog", "b-d frog"].map(|f| wheel(kind, from, to, f));
        assert_eq!(found, [Some(west), Some(east)], "{from:?}-{to:?}");
    }
    // The obtuse crossings never change while the lines lie alike.
    for (from, to) in [(Port::A, Port::B), (Port::C, Port::D)] {
        assert_eq!(wheel(kind, from, to, "a-d crossing"), Some(LEFT));
        assert_eq!(wheel(kind, from, to, "c-b crossing"), Some(RIGHT));
    }
}

fn genes(most: usize) -> impl Strategy<Value = Vec<grow::Gene>> {
    proptest::collection::vec(any::<grow::Gene>(), 1..=most)
}

/// A thousand, or as many as `PROPTEST_CASES` says.
fn cases(usual: u32) -> ProptestConfig {
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|n| n.parse().ok());
    ProptestConfig { cases: asked.unwrap_or(usual), failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(cases(1000))]

    #[test]
    fn layouts_grown_at_random_are_sound(
        genes in genes(12),
        closings in proptest::collection::vec(any::<[u8; 2]>(), 0..7),
        dcc in any::<bool>(),
        each_section in any::<bool>(),
    ) {
        let text = grow::layout(&genes, &closings, grow::Soil { dcc, each_section });
        sound(&design("grown.toml", &text), &text);
    }

    /// One mistake: both see it, or neither has reason to.
    #[test]
    fn both_agree_on_a_mistake(
        genes in genes(6),
        closings in proptest::collection::vec(any::<[u8; 2]>(), 0..5),
        dcc in any::<bool>(),
        each_section in any::<bool>(),
        at in any::<u16>(),
    ) {
        let text = grow::layout(&genes, &closings, grow::Soil { dcc, each_section });
        let mut d = design("grown.toml", &text);
        let mistakes = spoil::all(&d);
        let mistake = mistakes[usize::from(at) % mistakes.len()].clone();
        let words = spoil::words(&d, &mistake);
        spoil::spoil(&mut d, &mistake);
        let verdict = judge(&d);
        let proof = prove(&d.document, &d.rails, &d.plan, &d.circuit);
        // A module whose inputs are swapped finds the right polarity all the same; the proof holds it
        // to the position that its description names.
        if spoil::inputs_of_a_module(&d, &mistake) {
            return Ok(());
        }
        prop_assert_eq!(verdict.fine(), spoil::holds(&d, &proof), "{}\n{:#?}\n{:#?}\n{}", words, verdict, proof.faults, text);
    }
}
