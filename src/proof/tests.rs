use super::{Culprit, Fault, When, prove, sides};
use crate::Design;
use crate::diag::Diagnostic;
use crate::drives::Decider;
use crate::parse::BarId;
use crate::source::SourceFile;
use crate::track::{Connection, Position};
use std::fmt::Write;

/// A layout file of turnouts ("T1", kind, frog) and tracks (name, from, to, what else), each
/// turnout with a toggle.
pub(crate) fn layout(turnouts: &[(&str, &str, &str)], tracks: &[(&str, &str, &str, &str)]) -> String {
    let mut text = String::from("format = 1\n[layout]\nname = \"Test\"\ncontrol = \"dcc\"\n[turnout]\n");
    for (name, kind, frog) in turnouts {
        let normal = if *kind == "wye" { ", normal = \"left\"" } else { "" };
        writeln!(text, "{name} = {{ kind = \"{kind}\", frog = \"{frog}\"{normal} }}").unwrap();
    }
    text += "[track]\n";
    for (name, from, to, more) in tracks {
        writeln!(text, "{name} = {{ from = \"{from}\", to = \"{to}\"{more} }}").unwrap();
    }
    text += "[drive.motor]\nkind = \"slow-motion\"\ncontacts = 1\n";
    for (name, _, _) in turnouts {
        let control = name.replace('T', "S");
        writeln!(text, "[control.{control}]\nthrows = \"{name}\"\nwith = \"maintained toggle\"").unwrap();
    }
    text
}

/// A yard ladder of so many turnouts with live frogs.
pub(crate) fn ladder(count: usize) -> String {
    let names: Vec<String> = (1..=count).map(|n| format!("T{n}")).collect();
    let turnouts: Vec<(&str, &str, &str)> = names.iter().map(|n| (n.as_str(), "left", "live")).collect();
    let mut tracks = vec![("lead".to_owned(), "off the layout".to_owned(), "T1.toe".to_owned())];
    for n in 1..=count {
        tracks.push((format!("road-{n}"), format!("T{n}.diverging"), "buffer".into()));
        let next = if n < count { format!("T{}.toe", n + 1) } else { "buffer".into() };
        tracks.push((format!("link-{n}"), format!("T{n}.straight"), next));
    }
    let tracks: Vec<(&str, &str, &str, &str)> =
        tracks.iter().map(|(n, f, t)| (n.as_str(), f.as_str(), t.as_str(), "")).collect();
    layout(&turnouts, &tracks)
}

fn design(text: &str) -> (Design, Vec<Diagnostic>) {
    let (design, found) = crate::design(&SourceFile::new("test.toml", text));
    (design.unwrap_or_else(|| panic!("{found:#?}\n{text}")), found)
}

fn faults(d: &Design) -> Vec<Fault> {
    prove(&d.document, &d.rails, &d.plan, &d.circuit).faults
}

fn reversing(text: &str) -> Vec<String> {
    let (_, found) = design(text);
    found.into_iter().filter(|d| d.code == "reversing-connection").map(|d| d.message).collect()
}

fn assert_consistent(text: &str) {
    assert_eq!(reversing(text), Vec::<String>::new());
    assert_eq!(faults(&design(text).0), Vec::new(), "{text}");
}

const ENDS: [(&str, &str, &str, &str); 2] =
    [("lead", "off the layout", "T1.toe", ""), ("far", "T2.toe", "buffer", "")];

/// Plain geometry of an oval, a passing loop and a crossover: left stays left (domain text 9.3; no
/// source beyond geometry is needed).
#[test]
fn oval_passing_loop_and_crossover_are_consistent() {
    let two = |a, b, frog| [("T1", a, frog), ("T2", b, frog)];
    for frog in ["live", "isolated-with-wire", "insulated"] {
        let oval = [("ring", "T1.straight", "T1.toe", ""), ("siding", "T1.diverging", "buffer", "")];
        assert_consistent(&layout(&[("T1", "left", frog)], &oval));
        let ring_loop = [
            ("one", "T1.straight", "T2.straight", ""),
            ("two", "T1.diverging", "T2.diverging", ""),
            ("back", "T1.toe", "T2.toe", ""),
        ];
        assert_consistent(&layout(&two("left", "right", frog), &ring_loop));
        let passing = [
            ENDS[0],
            ENDS[1],
            ("one", "T1.straight", "T2.straight", ""),
            ("two", "T1.diverging", "T2.diverging", ""),
        ];
        assert_consistent(&layout(&two("left", "right", frog), &passing));
        let crossover = [
            ENDS[0],
            ENDS[1],
            ("link", "T1.diverging", "T2.diverging", ""),
            ("on-1", "T1.straight", "buffer", ""),
            ("on-2", "T2.straight", "off the layout", ""),
        ];
        assert_consistent(&layout(&two("left", "left", frog), &crossover));
    }
}

#[test]
fn a_reversing_loop_and_a_triangle_are_reported_with_their_tracks() {
    let looped =
        layout(&[("T1", "left", "live")], &[ENDS[0], ("balloon", "T1.straight", "T1.diverging", "")]);
    let messages = reversing(&looped);
    assert_eq!(messages.len(), 1);
    assert!(messages[0].contains("balloon"), "{messages:?}");
    let (d, _) = design(&looped);
    assert_eq!(faults(&d), [], "it is made a reversing section");

    let triangle = layout(
        &[("T1", "wye", "insulated"), ("T2", "wye", "insulated"), ("T3", "wye", "insulated")],
        &[
            ("tail-1", "T1.toe", "buffer", ""),
            ("tail-2", "T2.toe", "buffer", ""),
            ("tail-3", "T3.toe", "buffer", ""),
            ("leg-12", "T1.left", "T2.right", ""),
            ("leg-23", "T2.left", "T3.right", ""),
            ("leg-31", "T3.left", "T1.right", ""),
        ],
    );
    let messages = reversing(&triangle);
    assert_eq!(messages.len(), 1, "one leg closes it");
    for leg in ["leg-12", "leg-23", "leg-31"] {
        assert!(messages[0].contains(leg), "{messages:?}");
    }
    let (d, _) = design(&triangle);
    assert_eq!(faults(&d), [], "one leg is made a reversing section");
    // Without its joints, metal joins the feeds: the proof sees that by itself.
    let (mut d, _) = design(&triangle);
    for edge in d.rails.graph.edge_indices().collect::<Vec<_>>() {
        if matches!(d.rails.graph[edge], Connection::Insulated(_)) {
            d.rails.graph[edge] = Connection::Joined;
        }
    }
    assert!(faults(&d).iter().any(|f| matches!(f, Fault::Short { .. })), "all metal: a short");
}

/// Two live frogs heel to heel without a joint (mistake M5 of the trade text): alike when both are
/// set straight or both across depends on the formation; a crossover shorts in just some settings.
#[test]
fn frogs_joined_heel_to_heel_short_in_some_settings_only() {
    let text = layout(
        &[("T1", "left", "live"), ("T2", "left", "live")],
        &[
            ENDS[0],
            ENDS[1],
            ("link", "T1.diverging", "T2.diverging", ", droppers = false"),
            ("on-1", "T1.straight", "buffer", ""),
            ("on-2", "T2.straight", "buffer", ""),
        ],
    );
    let (mut d, _) = design(&text);
    let link: Vec<_> = d
        .rails
        .graph
        .edge_indices()
        .filter(|e| match d.rails.graph[*e] {
            Connection::Insulated(j) => d.rails.joints[j].port == crate::parse::Port::Diverging,
            _ => false,
        })
        .collect();
    for edge in link {
        d.rails.graph[edge] = Connection::Joined;
    }
    let proof = prove(&d.document, &d.rails, &d.plan, &d.circuit);
    let shorts: Vec<&When> = proof
        .faults
        .iter()
        .filter_map(|f| match f {
            Fault::Short { when, .. } => Some(when),
            _ => None,
        })
        .collect();
    assert!(!shorts.is_empty(), "{:#?}", proof.faults);
    // Each rail of the link runs from one frog to the other's stock rail. With both turnouts across
    // every frog agrees with that rail; with one of them straight it does not.
    for when in &shorts {
        assert!(!when.is_always());
        let across = vec![Position::Reverse; when.deciders.len()];
        assert!(!when.cases.contains(&across), "set across, all agree: {when:?}");
    }
}

#[test]
fn a_rail_without_dropper_beyond_a_joint_is_dead() {
    let tracks = [
        ENDS[0],
        ("main", "T1.straight", "buffer", ""),
        ("spur", "T1.diverging", "buffer", ", droppers = false"),
    ];
    let (d, _) = design(&layout(&[("T1", "left", "live")], &tracks));
    let found = faults(&d);
    let [Fault::Dead { rails, when, reached: true }] = found.as_slice() else { panic!("{found:#?}") };
    assert!(when.is_always());
    // The left heel's right rail meets the frog.
    assert_eq!(
        rails.iter().map(|r| d.rails.rails[r.0].name.as_str()).collect::<Vec<_>>(),
        ["spur right rail"]
    );

    // With an insulated frog the same spur is switched on by its own road.
    let (d, _) = design(&layout(&[("T1", "left", "insulated")], &tracks));
    let found = faults(&d);
    let [Fault::Dead { rails, when, reached: false }] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(when.deciders, [Decider::Bar(BarId(0))]);
    assert_eq!(when.cases, [[Position::Normal]]);
    assert_eq!(rails.len(), 1, "{found:#?}");
}

#[test]
fn the_culprit_of_a_swap_is_the_contact() {
    let (mut d, _) = design(&ladder(3));
    let contact = d.circuit.contacts[1].clone();
    let [n, r] = Position::ALL.map(|p| contact.outer(p));
    let [at_n, at_r] = [n, r].map(|p| d.circuit.pin(p).net);
    d.circuit.parts[n.part.0].pins[n.pin].net = at_r;
    d.circuit.parts[r.part.0].pins[r.pin].net = at_n;
    let found = faults(&d);
    let [Fault::Short { when, path, culprits, .. }] = found.as_slice() else { panic!("{found:#?}") };
    assert!(when.is_always());
    assert_eq!(*culprits, [Culprit::Contact { contact: 1, positions: Position::ALL.to_vec() }]);
    assert!(path.len() > 4);
}

#[test]
fn the_settings_looked_at_grow_with_the_turnouts() {
    for count in [1, 10, 40] {
        let (d, _) = design(&ladder(count));
        let proof = prove(&d.document, &d.rails, &d.plan, &d.circuit);
        assert_eq!(proof.examined, 2 * count, "each frog in its two positions");
        assert!(proof.faults.is_empty() && proof.sampled.is_empty());
    }
}

#[test]
fn the_sides_of_a_sound_design_are_apart() {
    let (d, _) = design(&ladder(2));
    assert_eq!(sides::joined(&d.circuit), None);
}
