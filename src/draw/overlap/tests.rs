//! The smallest picture of each fault, and its nearest innocent relative.

use super::*;
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::geom::{Rect, point};

const PEN: Stroke = Stroke::solid(0.35, Ink::BLACK);

fn scene() -> Scene {
    Scene::new("s", "S", 100.0, 100.0)
}

/// A wire through the points, its ends held by pins.
fn held(scene: &mut Scene, net: &str, points: &[(f64, f64)]) {
    loose(scene, net, points);
    for (x, y) in [points[0], points[points.len() - 1]] {
        scene.pin(point(x, y), format!("{x}:{y}"), net);
    }
}

fn loose(scene: &mut Scene, net: &str, points: &[(f64, f64)]) {
    scene.wire(points.iter().map(|&(x, y)| point(x, y)).collect(), PEN, net, None);
}

fn kinds(scene: &Scene) -> Vec<FaultKind> {
    let mut kinds: Vec<FaultKind> = check(scene).faults.iter().map(|f| f.kind).collect();
    kinds.dedup();
    kinds
}

fn word(scene: &mut Scene, x: f64, y: f64) {
    scene.text(point(x, y), 2.5, Anchor::Start, "word");
}

#[test]
fn a_text_must_lie_on_the_page() {
    let mut s = scene();
    word(&mut s, 95.0, 50.0);
    assert_eq!(kinds(&s), [FaultKind::OutsidePage]);
    let mut s = scene();
    s.text(point(99.9, 50.0), 2.5, Anchor::End, "word");
    assert!(kinds(&s).is_empty());
}

#[test]
fn ink_must_lie_on_the_page() {
    let mut s = scene();
    s.line(point(50.0, 50.0), point(101.0, 50.0), PEN, Role::Decoration);
    assert_eq!(kinds(&s), [FaultKind::OutsidePage]);
}

#[test]
fn a_text_must_not_be_smaller_than_the_series_allows() {
    let mut s = scene();
    s.text(point(10.0, 10.0), 1.7, Anchor::Start, "small");
    assert_eq!(kinds(&s), [FaultKind::TextTooSmall]);
}

#[test]
fn a_character_without_glyph_is_found() {
    let mut s = scene();
    s.text(point(10.0, 10.0), 2.5, Anchor::Start, "earth \u{23da}");
    assert_eq!(kinds(&s), [FaultKind::MissingGlyph]);
}

#[test]
fn texts_must_not_overlap() {
    let mut s = scene();
    word(&mut s, 10.0, 10.0);
    word(&mut s, 14.0, 11.0);
    assert_eq!(kinds(&s), [FaultKind::TextOnText]);
    let mut s = scene();
    word(&mut s, 10.0, 10.0);
    word(&mut s, 10.0, 13.0);
    assert!(kinds(&s).is_empty());
}

#[test]
fn a_line_through_a_text_is_found_and_one_under_it_is_not() {
    for role in [Role::Decoration, Role::Symbol, Role::Rail { rail: "A".into() }] {
        let mut s = scene();
        word(&mut s, 10.0, 10.0);
        s.line(point(5.0, 9.0), point(30.0, 9.0), PEN, role.clone());
        assert_eq!(kinds(&s), [FaultKind::TextCrossed], "{role:?}");
        let mut s = scene();
        word(&mut s, 10.0, 10.0);
        s.line(point(5.0, 10.75), point(30.0, 10.75), PEN, role);
        assert!(kinds(&s).is_empty());
    }
}

#[test]
fn the_edge_of_a_white_wire_counts() {
    let draw = |edge| {
        let mut s = scene();
        word(&mut s, 10.0, 10.0);
        let pen = Stroke { width: 0.35, ink: Ink::WHITE, dash: Dash::Solid, edge };
        s.line(point(5.0, 10.1), point(30.0, 10.1), pen, Role::Decoration);
        kinds(&s)
    };
    assert!(draw(None).is_empty());
    assert_eq!(draw(Some(Ink::BLACK)), [FaultKind::TextCrossed]);
}

#[test]
fn a_leader_may_end_at_its_text() {
    let mut s = scene();
    word(&mut s, 10.0, 10.0);
    s.line(point(12.0, 20.0), point(12.0, 10.2), Stroke::solid(0.25, Ink::BLACK), Role::Decoration);
    assert!(kinds(&s).is_empty());
}

#[test]
fn a_box_around_a_text_is_no_fault_unless_painted_over_it() {
    let around = Rect::new(8.0, 5.0, 20.0, 8.0);
    let mut s = scene();
    s.rect(around, Some(PEN), Some(Ink::WHITE), Role::Symbol);
    word(&mut s, 10.0, 10.0);
    assert!(kinds(&s).is_empty());
    let mut s = scene();
    word(&mut s, 10.0, 10.0);
    s.rect(around, Some(PEN), Some(Ink::WHITE), Role::Symbol);
    assert_eq!(kinds(&s), [FaultKind::TextCovered]);
}

#[test]
fn a_circle_may_hold_a_letter_but_not_cut_one() {
    let draw = |radius| {
        let mut s = scene();
        s.circle(point(20.0, 20.0), radius, Some(PEN), None, Role::Symbol);
        s.text(point(20.0, 21.75), 3.5, Anchor::Middle, "M");
        kinds(&s)
    };
    assert!(draw(5.0).is_empty());
    assert_eq!(draw(2.0), [FaultKind::TextCrossed]);
}

#[test]
fn a_wire_must_not_end_in_the_air() {
    let mut s = scene();
    loose(&mut s, "a", &[(10.0, 10.0), (30.0, 10.0)]);
    s.pin(point(10.0, 10.0), "1", "a");
    assert_eq!(kinds(&s), [FaultKind::LooseEnd]);
    s.pin(point(30.0, 10.0), "2", "a");
    assert!(kinds(&s).is_empty());
}

#[test]
fn a_wire_may_go_on_as_another_but_a_third_needs_a_dot() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 10.0), (50.0, 10.0)]);
    loose(&mut s, "a", &[(30.0, 10.0), (30.0, 40.0)]);
    s.pin(point(30.0, 40.0), "3", "a");
    assert_eq!(kinds(&s), [FaultKind::MissingDot]);
    s.circle(point(30.0, 10.0), 0.7, None, Some(Ink::BLACK), Role::Junction { net: "a".into() });
    assert!(kinds(&s).is_empty());
    let mut s = scene();
    loose(&mut s, "a", &[(10.0, 10.0), (30.0, 10.0)]);
    loose(&mut s, "a", &[(30.0, 10.0), (30.0, 30.0)]);
    s.pin(point(10.0, 10.0), "1", "a");
    s.pin(point(30.0, 30.0), "2", "a");
    assert!(kinds(&s).is_empty());
}

#[test]
fn four_wires_must_not_meet_at_one_dot() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 30.0), (50.0, 30.0)]);
    held(&mut s, "a", &[(30.0, 10.0), (30.0, 50.0)]);
    s.circle(point(30.0, 30.0), 0.7, None, Some(Ink::BLACK), Role::Junction { net: "a".into() });
    assert_eq!(kinds(&s), [FaultKind::FourWay]);
}

#[test]
fn wires_are_level_or_upright() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 10.0), (30.0, 12.0)]);
    assert_eq!(kinds(&s), [FaultKind::Oblique]);
}

#[test]
fn different_nets_must_not_share_a_segment() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 10.0), (30.0, 10.0)]);
    held(&mut s, "b", &[(15.0, 10.2), (15.0, 10.1), (45.0, 10.1)]);
    assert!(kinds(&s).contains(&FaultKind::SharedSegment));
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 10.0), (30.0, 10.0)]);
    held(&mut s, "b", &[(10.0, 12.5), (30.0, 12.5)]);
    assert!(kinds(&s).is_empty());
}

#[test]
fn two_numbered_wires_of_a_net_must_not_share_a_segment() {
    let mut s = scene();
    for (x, number) in [(10.0, "1"), (20.0, "2")] {
        let (a, b) = (point(x, 10.0), point(x + 30.0, 10.0));
        s.wire(vec![a, b], PEN, "a", Some(number));
        s.pin(a, format!("{number}a"), "a");
        s.pin(b, format!("{number}b"), "a");
    }
    assert_eq!(kinds(&s), [FaultKind::SharedSegment]);
}

#[test]
fn different_nets_may_cross_but_not_touch() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 30.0), (50.0, 30.0)]);
    held(&mut s, "b", &[(30.0, 10.0), (30.0, 50.0)]);
    let report = check(&s);
    assert!(report.faults.is_empty());
    assert_eq!((report.metrics.crossings, report.metrics.bends, report.metrics.wires), (1, 0, 2));
    assert!((report.metrics.length - 80.0).abs() < 1e-9);
    // An end on the other wire, a bend on it, and an end so near that the inks meet.
    for points in [
        vec![(30.0, 10.0), (30.0, 30.0)],
        vec![(30.0, 10.0), (30.0, 30.0), (40.0, 30.0), (40.0, 50.0)],
        vec![(30.0, 10.0), (30.0, 29.8)],
    ] {
        let mut s = scene();
        held(&mut s, "a", &[(10.0, 30.0), (50.0, 30.0)]);
        held(&mut s, "b", &points);
        assert!(kinds(&s).contains(&FaultKind::Touch), "{points:?}");
    }
}

#[test]
fn a_wire_must_keep_clear_of_pins_and_dots_of_other_nets() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 30.0), (50.0, 30.0)]);
    s.pin(point(30.0, 30.0), "XB1:4", "b");
    assert_eq!(kinds(&s), [FaultKind::Touch]);
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 30.0), (50.0, 30.0)]);
    s.circle(point(30.0, 30.8), 0.7, None, Some(Ink::BLACK), Role::Junction { net: "b".into() });
    assert_eq!(kinds(&s), [FaultKind::Touch]);
}

#[test]
fn a_wire_meets_a_symbol_only_at_a_pin_of_its_net() {
    let draw = |from: f64, net: &str| {
        let mut s = scene();
        let ends = crate::draw::symbols::resistor::resistor(
            &mut s,
            point(30.0, 30.0),
            crate::draw::symbols::Axis::Horizontal,
        );
        s.pin(ends.a, "R1:1", "a");
        held(&mut s, net, &[(10.0, 30.0), (from, 30.0)]);
        kinds(&s)
    };
    assert!(draw(30.0, "a").is_empty());
    assert_eq!(draw(40.0, "a"), [FaultKind::ThroughSymbol]);
    assert!(draw(30.0, "b").contains(&FaultKind::Touch));
    let mut s = scene();
    s.circle(point(30.0, 30.0), 5.0, Some(PEN), None, Role::Symbol);
    held(&mut s, "a", &[(10.0, 32.5), (50.0, 32.5)]);
    assert_eq!(kinds(&s), [FaultKind::ThroughSymbol]);
}

#[test]
fn bends_are_counted_where_the_wire_turns() {
    let mut s = scene();
    held(&mut s, "a", &[(10.0, 10.0), (20.0, 10.0), (30.0, 10.0), (30.0, 40.0), (50.0, 40.0)]);
    assert_eq!(check(&s).metrics.bends, 2);
}
