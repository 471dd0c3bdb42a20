use super::*;
use crate::parse::Colour;
use crate::source::SourceFile;
use crate::units::Length;

const EXAMPLES: [(&str, &str); 7] = [
    ("single-turnout", include_str!("../../examples/single-turnout/layout.toml")),
    ("quarry-tramway", include_str!("../../examples/quarry-tramway/layout.toml")),
    ("branch-terminus", include_str!("../../examples/branch-terminus/layout.toml")),
    ("dockside-yard", include_str!("../../examples/dockside-yard/layout.toml")),
    ("fiddle-yard", include_str!("../../examples/fiddle-yard/layout.toml")),
    ("station-throat", include_str!("../../examples/station-throat/layout.toml")),
    ("formations", include_str!("formations.toml")),
];

fn design(name: &str) -> Design {
    let (_, text) = EXAMPLES.into_iter().find(|(n, _)| *n == name).expect("an example");
    let (design, found) = crate::design(&SourceFile::new(name, text));
    design.unwrap_or_else(|| panic!("{name}: {found:#?}"))
}

fn designs() -> impl Iterator<Item = (&'static str, Design)> {
    EXAMPLES.into_iter().map(|(name, _)| (name, design(name)))
}

#[test]
fn every_row_has_a_cell_for_each_column() {
    for (name, design) in designs() {
        for table in all(&design) {
            let columns = table.columns.len();
            assert!(table.rows.iter().all(|r| r.len() == columns), "{name}: {}", table.slug);
            let mut headings: Vec<_> = table.columns.iter().map(|c| c.heading).collect();
            headings.sort_unstable();
            headings.dedup();
            assert_eq!(headings.len(), columns, "{name}: {} names a column twice", table.slug);
        }
    }
}

/// A terminal clamps one wire on each side (the rule of `hardware`).
#[test]
fn every_wire_end_on_a_strip_is_listed_once_and_alone_on_its_side() {
    for (name, design) in designs() {
        let rows = terminals::rows(&design);
        let mut listed: Vec<usize> =
            rows.iter().flat_map(|r| r.external.iter().chain(&r.internal)).map(|w| w.number).collect();
        listed.sort_unstable();
        let terminal = |end| usize::from(matches!(end, crate::hardware::End::Terminal(_)));
        let mut ends: Vec<usize> = design
            .wiring
            .wires
            .iter()
            .flat_map(|w| vec![w.number; terminal(w.from) + terminal(w.to)])
            .collect();
        ends.sort_unstable();
        assert_eq!(listed, ends, "{name}");
        let full = rows.iter().find(|r| r.external.len() > 1 || r.internal.len() > 1);
        assert!(full.is_none(), "{name}: {full:#?}");
    }
}

#[test]
fn wires_from_the_panel_are_external_and_those_to_drives_internal() {
    let design = design("quarry-tramway");
    let rows = terminals::rows(&design);
    let row = |strip: &str, number| rows.iter().find(|r| r.strip == strip && r.number == number);
    let at = row("XB1", 1).expect("the strip has a terminal");
    assert_eq!((at.external[0].far_end.as_str(), at.internal[0].far_end.as_str()), ("XP:1", "M1:C"));
    let frog = rows.iter().find(|r| r.net == "frog T1").expect("T1 has a live frog");
    assert_eq!((frog.external[0].far_end.as_str(), frog.internal[0].far_end.as_str()), ("T1 frog", "M1:11"));
    assert_eq!(frog.purpose, "frog of T1");
}

#[test]
fn jumpers_are_seen_from_both_sides() {
    for (name, design) in designs() {
        let ends: usize = terminals::rows(&design).iter().map(|r| r.jumpers.len()).sum();
        assert_eq!(ends, 2 * design.wiring.jumpers.len(), "{name}");
    }
}

#[test]
fn the_cut_list_holds_every_wire_and_every_bus() {
    for (name, design) in designs() {
        let rows = wires::rows(&design);
        let on_board = |p: &crate::circuit::Part| {
            p.kind == crate::circuit::PartKind::Bus && p.place != crate::circuit::Place::Panel
        };
        let buses = design.circuit.parts().filter(|(_, p)| on_board(p)).count();
        assert!(buses >= 2 * design.document.boards.len(), "{name}");
        assert_eq!(rows.len(), design.wiring.wires.len() + buses, "{name}");
        assert!(rows.iter().all(|r| r.length > Length::new(0.0) && !r.purpose.is_empty()), "{name}");
    }
}

#[test]
fn metres_add_up_and_a_tenth_is_added() {
    for (name, design) in designs() {
        let (cut, rows) = (wires::rows(&design), lengths::rows(&design));
        let all: f64 = cut.iter().map(|w| w.length.metres()).sum();
        let listed: f64 = rows.iter().map(|r| r.cut.metres()).sum();
        assert!((all - listed).abs() < 1e-9, "{name}: {all} m cut, {listed} m listed");
        assert_eq!(rows.iter().map(|r| r.pieces).sum::<usize>(), cut.len(), "{name}");
        for r in &rows {
            let spare = r.buy.metres() - 1.1 * r.cut.metres();
            assert!((-1e-6..1.0).contains(&spare), "{name}: {r:?}");
        }
    }
}

/// Every part that is bought appears once; a pair of buttons or studs counts as two.
#[test]
fn the_parts_list_leaves_nothing_out() {
    use crate::circuit::{PartKind, Place};
    for (name, design) in designs() {
        let rows = parts::rows(&design);
        let listed: Vec<&String> = rows.iter().flat_map(|r| &r.designations).collect();
        for (_, part) in design.circuit.parts() {
            // Wire links are of the wire that is bought anyway.
            let track = matches!(part.kind, PartKind::Rail { .. } | PartKind::Link { .. })
                || part.kind == PartKind::Bus && part.place != Place::Panel;
            let times = listed.iter().filter(|d| **d == &part.designation).count();
            assert_eq!(times, usize::from(!track), "{name}: {}", part.designation);
        }
        assert!(rows.iter().all(|r| r.quantity > 0), "{name}");
    }
}

#[test]
fn droppers_have_a_wire_of_their_own() {
    for (name, design) in designs() {
        let rows = droppers::rows(&design);
        let mut wires: Vec<usize> = rows.iter().filter_map(|r| r.wire).collect();
        wires.sort_unstable();
        wires.dedup();
        assert_eq!(wires.len(), rows.len(), "{name}");
        assert!(rows.iter().all(|r| r.feed.is_some() && !r.conductor.is_empty()), "{name}");
    }
}

#[test]
fn joints_are_numbered_as_in_the_drawings() {
    for (name, design) in designs() {
        let rows = joints::rows(&design);
        assert_eq!(rows.len(), design.rails.joints.len(), "{name}");
        assert!(rows.iter().enumerate().all(|(i, r)| r.number == format!("J{}", i + 1)), "{name}");
        assert!(rows.iter().all(|r| !r.reason.is_empty()), "{name}");
    }
}

#[test]
fn ends_of_every_kind_have_their_words() {
    let design = design("formations");
    let rows = joints::rows(&design);
    let at = |turnout: &str| -> Vec<(&str, &str)> {
        use crate::parse::Word;
        rows.iter().filter(|r| r.turnout == turnout).map(|r| (r.end.word(), r.side)).collect()
    };
    // The acute frogs of a diamond end in the inner rails of either end.
    assert_eq!(at("D1"), [("a", "left"), ("b", "left"), ("c", "right"), ("d", "right")]);
    let three = [("straight", "left"), ("straight", "right"), ("left", "right"), ("right", "left")];
    assert_eq!(at("T2"), three);
    assert_eq!(at("T4"), [], "insulated frogs need no joints");
    assert_eq!(at("T5"), [("outer", "left"), ("inner", "right")]);
}

/// The obtuse crossings keep their feed and have droppers; the other frogs have none.
#[test]
fn fixed_crossings_and_the_rails_over_insulated_frogs_have_droppers() {
    let design = design("formations");
    let rows = droppers::rows(&design);
    let conductor = |rail: &str| rows.iter().find(|r| r.rail == rail).map(|r| r.conductor.as_str());
    assert_eq!(conductor("D1 a-d crossing"), Some("branch A"));
    assert_eq!(conductor("D1 c-b crossing"), Some("branch B"));
    assert_eq!(conductor("D1 a-c frog"), None);
    assert_eq!(conductor("T4 right rail of road c-d"), Some("branch B"));
    assert_eq!(conductor("T6 left stock rail"), Some("dock A"));
}

#[test]
fn modules_cut_outs_and_relays_have_ratings() {
    let design = design("formations");
    let rows = parts::rows(&design);
    let rating = |what: &str| {
        let found = rows.iter().find(|r| r.description.starts_with(what));
        found.map_or_else(|| panic!("no {what}: {rows:#?}"), |r| (r.quantity, r.rating.as_str()))
    };
    assert_eq!(rating("automatic reverser module"), (1, "14 V, at least 3 A"));
    assert_eq!(rating("electronic cut-out"), (1, "14 V; cuts off below the 3 A of the booster"));
    assert_eq!(rating("booster").0, 2);
    let relays: Vec<_> = rows.iter().filter(|r| r.description.starts_with("relay")).collect();
    assert!(relays.iter().all(|r| r.rating.ends_with("contact at least 3 A")), "{relays:#?}");
}

#[test]
fn a_wire_is_for_the_frogs_that_it_feeds() {
    let design = design("formations");
    let rows = wires::rows(&design);
    let purpose = |to: &str| rows.iter().find(|r| r.to == to).map(|r| r.purpose.as_str());
    assert_eq!(purpose("T2 centre frog"), Some("T2 left frog and T2 centre frog"));
    assert_eq!(purpose("T5 frog"), Some("frog of T5"));
}

/// Each board's bus is on the cut list once for each section that it carries.
#[test]
fn every_section_has_its_pair_of_buses() {
    let design = design("formations");
    let marks: Vec<String> = wires::rows(&design).into_iter().map(|r| r.mark).collect();
    for bus in ["W1A", "W1B", "W1A2", "W1B2", "W1A3", "W1B3"] {
        assert_eq!(marks.iter().filter(|m| *m == bus).count(), 1, "{bus}");
    }
}

/// IEC 60757.
#[test]
fn colours_by_code_and_word() {
    assert_eq!(colour_words(Colour::Red), "RD red");
    assert_eq!(colour_words(Colour::Violet), "VT violet");
}
