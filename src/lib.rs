//! From a layout file to a wiring book.
//!
//! Data flows one way, and the modules are its stations:
//!
//! ```text
//! layout.toml ─ parse ─ track ─ drives + electrics ─ circuit ─ hardware ─ firing ─┬─ proof ─ check ─┐
//!               Document  Rails   Plan, Sizing       Circuit   Wiring    Firing   ├─ draw ─ Sheets ─┼─ export ─ bytes
//!                                 └ once more, with what firing chose ───┘        └─ tables ────────┘
//! ```
//!
//! [`Design`] holds the product of every station up to the wiring; [`design`] makes it:
//!
//! ```
//! let source = underboard::source::SourceFile::new("starter.toml", underboard::parse::STARTER);
//! let (design, diagnostics) = underboard::design(&source);
//! // One thing is worth a note: the contacts of live frogs have to be set at mid-travel.
//! assert!(diagnostics.iter().all(|d| d.severity == underboard::diag::Severity::Note));
//! let design = design.unwrap();
//! assert!(design.circuit.nets.len() > 3);
//! ```

pub mod book;
pub mod check;
pub mod circuit;
pub mod cli;
pub mod diag;
pub mod draw;
pub mod drives;
pub mod electrics;
pub mod export;
pub mod firing;
pub mod geom;
pub mod hardware;
pub mod parse;
pub mod proof;
pub mod source;
pub mod tables;
pub mod track;
pub mod units;

use circuit::Circuit;
use diag::Diagnostic;
use drives::{Plan, Runs, Sizing};
use firing::Firing;
use hardware::Wiring;
use parse::Document;
use proof::RailProof;
use source::SourceFile;
use track::Rails;

/// A layout, worked out from the track to the last wire. Whatever is checked, drawn or listed is
/// read from here.
#[derive(Clone, Debug)]
pub struct Design {
    pub document: Document,
    pub rails: Rails,
    pub plan: Plan,
    pub runs: Runs,
    pub sizing: Sizing,
    pub circuit: Circuit,
    pub wiring: Wiring,
    pub firing: Firing,
    pub proof: RailProof,
}

/// Works a layout out. There is no design only if the file cannot be used at all; the diagnostics
/// hold what is wrong with the file and what the stations found.
pub fn design(source: &SourceFile) -> (Option<Design>, Vec<Diagnostic>) {
    let (document, mut diagnostics) = parse::parse(source);
    let design = document.map(|document| {
        let (rails, found) = track::build(&document);
        diagnostics.extend(found);
        let (plan, found) = drives::plan(&document, &rails);
        diagnostics.extend(found);
        let runs = Runs::of(&document);
        let carry_out = |sizing: &Sizing| {
            let circuit = circuit::build(&document, &rails, &plan, sizing);
            let wiring = hardware::wire(&document, &rails, &circuit, sizing, &runs);
            (circuit, wiring)
        };
        // The discharge unit is chosen by firing the circuit, so there has to be one first: the same
        // parts and wires, of provisional values.
        let (mut sizing, mut found) = drives::sizing::size(&document, &plan, &runs, None);
        let (mut circuit, mut wiring) = carry_out(&sizing);
        let (fired, weak) = firing::choose(&document, &plan, &sizing, &circuit, &wiring);
        if fired.is_some() {
            (sizing, found) = drives::sizing::size(&document, &plan, &runs, fired.as_ref());
            (circuit, wiring) = carry_out(&sizing);
        }
        diagnostics.extend(found.into_iter().chain(weak));
        let firing = firing::fire(&document, &plan, &sizing, &circuit, &wiring);
        let proof = proof::prove(&document, &rails, &plan, &circuit);
        let view = check::View::of(&document, &rails, &plan, &sizing, &circuit, &wiring, &proof);
        diagnostics.extend(check::check(&view));
        Design { document, rails, plan, runs, sizing, circuit, wiring, firing, proof }
    });
    diag::sort(&mut diagnostics);
    (design, diagnostics)
}
