//! The sizing as a Markdown report: every figure with what it takes to check it by hand.

use super::margins_report::margins_report;
use super::markdown::{escape, pipe_table};
use super::sizing_tables;
use crate::Design;
use crate::drives::sizing::{Figure, LOOK_FIRST, Sizing, left_out_of};

/// `sizing.md`
pub fn sizing_report(design: &Design) -> String {
    let sizing = &design.sizing;
    let name = escape(&design.document.layout.name);
    let mut text = format!(
        "# Sizing of {name}\n\nEvery value in the drawings with its inputs, formula and source. Values are \
         rounded to three digits where they are printed, not where they are used.\n"
    );
    text += &wires(sizing);
    text += &loads(sizing);
    text += &stresses(sizing);
    text.extend(sizing_tables::all(sizing).iter().map(|table| table.text()));
    text += &margins_report(design);
    let mut part = "";
    for figure in &sizing.figures {
        if figure.part != part {
            part = figure.part;
            text += &format!("\n## Figures: {part}\n");
            if let Some(left_out) = left_out_of(part) {
                text += &format!("\n{left_out}\n\n{LOOK_FIRST}\n");
            }
        }
        text += &figure_text(figure);
    }
    text
}

fn wires(sizing: &Sizing) -> String {
    let rows: Vec<Vec<String>> = sizing
        .wires()
        .map(|(class, size)| vec![class.word().to_owned(), size.label(), size.area().to_string()])
        .collect();
    section("Wire sizes", &["Wires", "Size", "Copper"], &[false, false, true], &rows)
}

fn loads(sizing: &Sizing) -> String {
    let rows: Vec<Vec<String>> = sizing
        .loads
        .iter()
        .map(|l| {
            let (what, pulse) = (l.what.clone(), if l.pulse { "short pulses" } else { "lasting" });
            let verdict = if l.current <= l.limit { "enough" } else { "too much" };
            vec![what, l.current.to_string(), l.limit.to_string(), pulse.to_owned(), verdict.to_owned()]
        })
        .collect();
    section(
        "Currents and what must bear them",
        &["Part", "Current", "Bears", "How long", "Verdict"],
        &[false, true, true, false, false],
        &rows,
    )
}

fn stresses(sizing: &Sizing) -> String {
    let rows: Vec<Vec<String>> = sizing
        .stresses
        .iter()
        .map(|s| {
            let verdict = if s.voltage <= s.rating { "enough" } else { "too much" };
            vec![s.what.clone(), s.voltage.to_string(), s.rating.to_string(), verdict.to_owned()]
        })
        .collect();
    section(
        "Highest voltages",
        &["Part", "Voltage", "Rated for", "Verdict"],
        &[false, true, true, false],
        &rows,
    )
}

/// Nothing at all for an empty list.
fn section(title: &str, headings: &[&str], numbers: &[bool], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    format!("\n## {title}\n\n{}", pipe_table(headings, numbers, rows))
}

fn figure_text(figure: &Figure) -> String {
    let mut text = format!("\n### {}: {}\n\n", escape(&figure.name), escape(&figure.value));
    for (name, value) in &figure.inputs {
        text += &format!("- {}: {}\n", escape(name), escape(value));
    }
    if !figure.inputs.is_empty() {
        text.push('\n');
    }
    for (what, words) in [("Formula", figure.formula), ("Source", figure.source), ("Note", &figure.note)] {
        if !words.is_empty() {
            text += &format!("{what}: {}  \n", escape(words));
        }
    }
    text
}
