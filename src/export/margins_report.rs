//! What firing the discharge unit in simulation showed, as sections of `sizing.md`.

use super::markdown::pipe_table;
use crate::Design;
use crate::drives::sizing::{STRONGEST, WEAKEST, trigger_words};
use crate::firing::{MARGIN, Unit};

/// Nothing at all without a discharge unit.
pub(super) fn margins_report(design: &Design) -> String {
    let mut text = String::new();
    for unit in &design.firing.units {
        text += &margins(design, unit);
        text += &losses(design, unit);
    }
    if let Some(fired) = design.sizing.fired().filter(|f| !f.remedies.is_empty()) {
        let rows: Vec<Vec<String>> =
            fired.remedies.iter().map(|r| vec![r.words.clone(), format!("{:.2}", r.margin)]).collect();
        let table = pipe_table(&["Change", "Lowest margin then"], &[false, true], &rows);
        text += &format!("\n### What would help\n\n{table}");
    }
    text
}

fn margins(design: &Design, unit: &Unit) -> String {
    let rows: Vec<Vec<String>> = unit
        .least_of_each_bar()
        .into_iter()
        .map(|l| {
            let (coil, needs) = (l.coil, l.coil.needs);
            vec![
                design.document[coil.bar].name.clone(),
                design.circuit.drive_name(coil.bar).to_owned(),
                trigger_words(&design.document, l.shot.trigger),
                l.shot.coils.len().to_string(),
                format!("{} / {}", coil.energy, needs.energy),
                format!("{} / {}", coil.peak, needs.current),
                format!("{} / {}", coil.above, needs.time),
                format!("{:.2}", coil.margin()),
                format!(
                    "{}, {}",
                    coil.least(),
                    if coil.margin() >= MARGIN { "enough" } else { "too little" }
                ),
            ]
        })
        .collect();
    let headings = [
        "Bar",
        "Drive",
        "Worst control",
        "Coils at once",
        "Energy gets / needs",
        "Peak current gets / needs",
        "Time at that current gets / needs",
        "Margin",
        "Decided by",
    ];
    let numbers = [false, false, false, true, true, true, true, true, false];
    format!(
        "\n## Margin of every motor\n\nEach coil of each control was fired in simulation in the weakest corner: \
         {WEAKEST}. The margin is what the coil gets of what it needs, of whatever it has least of; {MARGIN:.2} is \
         asked for. The strongest corner, for contacts: {STRONGEST}.\n\n{}",
        pipe_table(&headings, &numbers, &rows)
    )
}

fn losses(design: &Design, unit: &Unit) -> String {
    let worst = unit.worst();
    let rows: Vec<Vec<String>> = worst
        .losses
        .iter()
        .map(|l| vec![l.place.clone(), l.energy.to_string(), format!("{:.1} %", l.share * 100.0)])
        .collect();
    let words = trigger_words(&design.document, worst.trigger);
    let table = pipe_table(&["Place", "Energy", "Share of the loss"], &[false, true, true], &rows);
    format!("\n### Where energy is lost: {words}, weakest corner\n\n{table}")
}
