//! What carries and marks the wires: strips, jumpers, joints, markers.

use super::PartRow;
use crate::Design;
use crate::hardware::End;

pub fn rows(design: &Design) -> Vec<PartRow> {
    let mut rows = strips(design);
    rows.extend(jumpers(design));
    rows.extend(joints(design));
    rows.extend(markers(design));
    rows
}

fn strips(design: &Design) -> Vec<PartRow> {
    let wiring = &design.wiring;
    let strips = wiring.strips.iter().enumerate();
    strips
        .map(|(s, strip)| {
            let on_strip = |e| matches!(e, End::Terminal(t) if t.strip.0 == s);
            let thickest = wiring
                .wires
                .iter()
                .filter(|w| on_strip(w.from) || on_strip(w.to))
                .map(|w| w.size)
                .max_by(|a, b| a.area().total_cmp(&b.area()));
            let size = thickest.map(|s| format!(", for wire up to {}", s.label())).unwrap_or_default();
            let ways = strip.terminals.len();
            PartRow {
                quantity: 1,
                description: "terminal strip, a wire on each side of every terminal".into(),
                rating: format!("{ways} {}{size}", if ways == 1 { "terminal" } else { "terminals" }),
                designations: vec![strip.designation.clone()],
                note: strip.title.clone(),
            }
        })
        .collect()
}

fn jumpers(design: &Design) -> Option<PartRow> {
    let jumpers = &design.wiring.jumpers;
    let mut strips: Vec<String> =
        jumpers.iter().map(|j| design.wiring.strips[j.from.strip.0].designation.clone()).collect();
    strips.dedup();
    (!jumpers.is_empty()).then(|| PartRow {
        quantity: jumpers.len(),
        description: "jumper for neighbouring terminals".into(),
        rating: "to fit the strip".into(),
        designations: strips,
        note: "sold for the strip, so that no screw holds two wires".into(),
    })
}

fn joints(design: &Design) -> Option<PartRow> {
    let joints = design.rails.joints.len();
    (joints > 0).then(|| PartRow {
        quantity: joints,
        description: "insulating rail joiner".into(),
        rating: "for the rail used".into(),
        designations: (1..=joints).map(|n| format!("J{n}")).collect(),
        note: "or a cut, filled so that it cannot close".into(),
    })
}

fn markers(design: &Design) -> Option<PartRow> {
    let wires = design.wiring.wires.len();
    (wires > 0).then(|| PartRow {
        quantity: 2 * wires,
        description: "wire marker or label".into(),
        rating: format!("numbers 1 to {wires}, two of each"),
        designations: Vec::new(),
        note: "one at each end".into(),
    })
}
