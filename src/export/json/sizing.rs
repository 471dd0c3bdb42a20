//! The view that `sizing.json` is.

use super::branches::{self, BranchView, SchemeView, ServosView, SharingView, TrackView};
use super::margins::{self, LossView, MarginView, RemedyView};
use super::{FORMAT, rounded};
use crate::Design;
use crate::drives::sizing::{LOOK_FIRST, Sizing, left_out_of};
use crate::parse::Word;
use serde::Serialize;

#[derive(Serialize)]
pub struct SizingView {
    format: u32,
    layout: String,
    wires: Vec<ClassView>,
    loads: Vec<LoadView>,
    stresses: Vec<StressView>,
    branches: Vec<BranchView>,
    sharing: Vec<SharingView>,
    track: Vec<TrackView>,
    schemes: Vec<SchemeView>,
    servos: Option<ServosView>,
    left_out: Vec<LeftOutView>,
    margins: Vec<MarginView>,
    losses: Vec<LossView>,
    remedies: Vec<RemedyView>,
    figures: Vec<FigureView>,
}

#[derive(Serialize)]
struct ClassView {
    kind: &'static str,
    size: String,
    area_mm2: f64,
}

#[derive(Serialize)]
struct LoadView {
    what: String,
    current_a: f64,
    limit_a: f64,
    pulse: bool,
    belongs_to: &'static str,
}

#[derive(Serialize)]
struct StressView {
    what: String,
    voltage_v: f64,
    rating_v: f64,
}

#[derive(Serialize)]
struct LeftOutView {
    part: &'static str,
    text: &'static str,
    look_first: &'static str,
}

#[derive(Serialize)]
struct FigureView {
    part: &'static str,
    name: String,
    value: String,
    inputs: Vec<InputView>,
    formula: &'static str,
    source: &'static str,
    note: String,
}

#[derive(Serialize)]
struct InputView {
    name: String,
    value: String,
}

pub fn view(design: &Design) -> SizingView {
    let sizing = &design.sizing;
    SizingView {
        format: FORMAT,
        layout: design.document.layout.name.value.clone(),
        wires: sizing
            .wires()
            .map(|(class, size)| ClassView {
                kind: class.word(),
                size: size.label(),
                area_mm2: rounded(size.area().mm2()),
            })
            .collect(),
        loads: sizing
            .loads
            .iter()
            .map(|l| LoadView {
                what: l.what.clone(),
                current_a: rounded(l.current.amps()),
                limit_a: rounded(l.limit.amps()),
                pulse: l.pulse,
                belongs_to: l.belongs_to.map_or("track", |u| u.word()),
            })
            .collect(),
        stresses: sizing
            .stresses
            .iter()
            .map(|s| StressView {
                what: s.what.clone(),
                voltage_v: rounded(s.voltage.volts()),
                rating_v: rounded(s.rating.volts()),
            })
            .collect(),
        branches: branches::branches(sizing),
        sharing: branches::sharing(sizing),
        track: branches::track(sizing),
        schemes: branches::schemes(sizing),
        servos: branches::servos(sizing),
        left_out: left_out(sizing),
        margins: margins::margins(design),
        losses: margins::losses(design),
        remedies: margins::remedies(design),
        figures: sizing
            .figures
            .iter()
            .map(|f| FigureView {
                part: f.part,
                name: f.name.clone(),
                value: f.value.clone(),
                inputs: f
                    .inputs
                    .iter()
                    .map(|(name, value)| InputView { name: name.clone(), value: value.clone() })
                    .collect(),
                formula: f.formula,
                source: f.source,
                note: f.note.clone(),
            })
            .collect(),
    }
}

/// Once for each kind of drive that has figures, in their order.
fn left_out(sizing: &Sizing) -> Vec<LeftOutView> {
    let mut parts: Vec<&'static str> = sizing.figures.iter().map(|f| f.part).collect();
    parts.dedup();
    let view = |part| left_out_of(part).map(|text| LeftOutView { part, text, look_first: LOOK_FIRST });
    parts.into_iter().filter_map(view).collect()
}
