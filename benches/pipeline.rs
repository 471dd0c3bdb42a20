//! How long each station of the pipeline takes: the examples, and a railway of a hundred turnouts.
//!
//! `cargo bench` measures; `cargo bench -- --test` only runs everything once. The goals and the
//! figures last measured are in DEVELOPERS.md.

#[path = "support/railway.rs"]
mod railway;

use divan::{Bencher, black_box};
use underboard::book::{BookOptions, book};
use underboard::check::{View, check};
use underboard::diag::Severity;
use underboard::draw::scene::Scene;
use underboard::draw::sheets;
use underboard::export::{csv::csv, markdown::markdown, pdf::pdf, svg::svg};
use underboard::source::SourceFile;
use underboard::{Design, circuit, drives, firing, hardware, parse, proof, tables, track};

const LAYOUTS: [&str; 5] =
    ["single-turnout", "quarry-tramway", "dockside-yard", "branch-terminus", "hundred-turnouts"];

fn main() {
    divan::main();
}

fn source(name: &str) -> SourceFile {
    let text = match name {
        "hundred-turnouts" => railway::railway(100 / railway::TURNOUTS_ON_A_BOARD),
        example => {
            let path = format!("{}/examples/{example}/layout.toml", env!("CARGO_MANIFEST_DIR"));
            std::fs::read_to_string(path).unwrap()
        }
    };
    SourceFile::new(name, text)
}

fn design(name: &str) -> Design {
    let (design, diagnostics) = underboard::design(&source(name));
    let errors: Vec<_> = diagnostics.iter().filter(|d| d.severity == Severity::Error).collect();
    assert!(errors.is_empty(), "{name}: {errors:#?}");
    design.unwrap()
}

fn scenes(name: &str) -> Vec<Scene> {
    sheets::draw(&design(name), false)
}

#[divan::bench(args = LAYOUTS)]
fn s1_parse(bencher: Bencher, name: &str) {
    let source = source(name);
    bencher.bench(|| parse::parse(black_box(&source)));
}

#[divan::bench(args = LAYOUTS)]
fn s2_track(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| track::build(black_box(&d.document)));
}

#[divan::bench(args = LAYOUTS)]
fn s3_drives(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| {
        let (plan, _) = drives::plan(black_box(&d.document), &d.rails);
        let runs = drives::Runs::of(&d.document);
        drives::sizing::size(&d.document, &plan, &runs, None)
    });
}

#[divan::bench(args = LAYOUTS)]
fn s4_circuit_and_wiring(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| {
        let circuit = circuit::build(black_box(&d.document), &d.rails, &d.plan, &d.sizing);
        hardware::wire(&d.document, &d.rails, &circuit, &d.sizing, &d.runs)
    });
}

/// Choosing the bank and wires by simulation, and firing the finished circuit.
#[divan::bench(args = LAYOUTS)]
fn s5_firing(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| choose_and_fire(black_box(&d)));
}

fn choose_and_fire(d: &Design) -> (usize, usize) {
    let (fired, found) = firing::choose(&d.document, &d.plan, &d.sizing, &d.circuit, &d.wiring);
    let firing = firing::fire(&d.document, &d.plan, &d.sizing, &d.circuit, &d.wiring);
    (fired.map_or(0, |f| f.margins.len()) + found.len(), firing.units.len())
}

/// The same for a hundred solenoids on five boards, with everything before it that sizes. The goal is
/// 200 ms.
#[divan::bench]
fn sizing_of_a_hundred_solenoids(bencher: Bencher) {
    let mut text = railway::railway(100 / railway::TURNOUTS_ON_A_BOARD);
    for drive in ["motor", "servo"] {
        text = text.replace(&format!("drive = \"{drive}\""), "drive = \"coil\"");
    }
    let text = text.replace("maintained toggle", "momentary toggle");
    let d = underboard::design(&SourceFile::new("solenoids", text)).0.unwrap();
    assert_eq!(d.firing.units[0].margins().len(), 100);
    bencher.bench(|| {
        let (draft, _) = drives::sizing::size(black_box(&d.document), &d.plan, &d.runs, None);
        (draft.figures.len(), choose_and_fire(&d))
    });
}

#[divan::bench(args = LAYOUTS)]
fn s5_proof_and_check(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| {
        let proof = proof::prove(black_box(&d.document), &d.rails, &d.plan, &d.circuit);
        check(&View::of(&d.document, &d.rails, &d.plan, &d.sizing, &d.circuit, &d.wiring, &proof))
    });
}

/// The proof alone, of railways of loops and ladders: it grows with the turnouts, not with their
/// settings. The goal is 100 ms for two hundred.
#[divan::bench(args = [40, 100, 200])]
fn proof_of_turnouts(bencher: Bencher, turnouts: usize) {
    let source = SourceFile::new("railway", railway::railway(turnouts / railway::TURNOUTS_ON_A_BOARD));
    let d = underboard::design(&source).0.unwrap();
    assert!(d.document.turnouts.len() == turnouts && d.proof.faults.is_empty());
    bencher.bench(|| proof::prove(black_box(&d.document), &d.rails, &d.plan, &d.circuit));
}

#[divan::bench(args = LAYOUTS)]
fn s6_draw(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| sheets::draw(black_box(&d), false));
}

#[divan::bench(args = LAYOUTS)]
fn s7_svg(bencher: Bencher, name: &str) {
    let scenes = scenes(name);
    bencher.bench(|| black_box(&scenes).iter().map(|s| svg(s).len()).sum::<usize>());
}

#[divan::bench(args = LAYOUTS)]
fn s7_pdf(bencher: Bencher, name: &str) {
    let scenes = scenes(name);
    bencher.bench(|| pdf("bench", black_box(&scenes)).unwrap());
}

#[divan::bench(args = LAYOUTS)]
fn s7_tables(bencher: Bencher, name: &str) {
    let d = design(name);
    bencher.bench(|| {
        let tables = tables::all(black_box(&d));
        tables.iter().map(|t| csv(t).len() + markdown(t).len()).sum::<usize>()
    });
}

/// From the text to SVG sheets and tables: what a builder waits for after each change.
#[divan::bench(args = LAYOUTS)]
fn whole_svg_and_tables(bencher: Bencher, name: &str) {
    let source = source(name);
    bencher.bench(|| {
        let design = underboard::design(black_box(&source)).0.unwrap();
        let sheets: usize = sheets::draw(&design, false).iter().map(|s| svg(s).len()).sum();
        let tables: usize = tables::all(&design).iter().map(|t| csv(t).len() + markdown(t).len()).sum();
        sheets + tables
    });
}

/// From the text to every file of the book, but for pictures of pixels.
#[divan::bench(args = LAYOUTS)]
fn whole_book(bencher: Bencher, name: &str) {
    let source = source(name);
    bencher.bench(|| {
        let design = underboard::design(black_box(&source)).0.unwrap();
        book(&design, &BookOptions::default()).unwrap()
    });
}
