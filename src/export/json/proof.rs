//! `proof.json`: what was examined, how, and what came of it.

use super::rails::{PoleView, decider, pole};
use crate::Design;
use crate::check::View;
use crate::drives::fed;
use crate::proof::{Culprit, Fault, When};
use crate::track::Formation;
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct ProofView {
    format: u32,
    layout: String,
    /// "proved" or "failed".
    result: &'static str,
    /// "exact", or "sampled" if any group was too large.
    method: &'static str,
    /// Groups of rails that hang on the same tie bars and switches.
    groups: usize,
    /// The most tie bars and switches in a group.
    largest_group: usize,
    positions_examined: usize,
    sampled: Vec<SampledView>,
    shorts: Vec<ShortView>,
    dead_rails: Vec<DeadView>,
    wrong_feeds: Vec<WrongView>,
    frogs: Vec<FrogView>,
    broken_roads: Vec<BrokenView>,
    never_set: Vec<NeverView>,
    transit: TransitView,
}

#[derive(Serialize)]
struct SampledView {
    turnouts: Vec<String>,
    positions: usize,
    seed: u64,
}

/// When something is so: in every one of these cases.
#[derive(Serialize)]
struct WhenView {
    words: String,
    cases: Vec<Vec<(String, String)>>,
}

#[derive(Serialize)]
struct ShortView {
    between: [PoleView; 2],
    when: WhenView,
    path: String,
    mend: Vec<String>,
}

#[derive(Serialize)]
struct DeadView {
    rails: Vec<String>,
    when: WhenView,
    a_train_can_get_there: bool,
}

#[derive(Serialize)]
struct WrongView {
    rails: Vec<String>,
    found: PoleView,
    when: WhenView,
    mend: Vec<String>,
}

#[derive(Serialize)]
struct FrogView {
    frog: String,
    road: String,
    needs: PoleView,
    found: Option<PoleView>,
    when: WhenView,
    mend: Vec<String>,
}

#[derive(Serialize)]
struct BrokenView {
    joint: String,
    rails: [String; 2],
    when: WhenView,
    mend: Vec<String>,
}

/// A short in a setting that no train may use anyway.
#[derive(Serialize)]
struct NeverView {
    turnout: String,
    between: [PoleView; 2],
    when: WhenView,
    reason: &'static str,
}

#[derive(Serialize)]
struct TransitView {
    /// Frogs that are one metal with their blades: a short while these move, unless the contact
    /// changes at mid-travel.
    moving: Vec<MovingView>,
    /// Joints on which a wheel joins two feeds.
    bridged: Vec<BridgedView>,
}

#[derive(Serialize)]
struct MovingView {
    follows: String,
    feeds: String,
    between: [PoleView; 2],
    can_be_set_to_mid_travel: bool,
}

#[derive(Serialize)]
struct BridgedView {
    joint: String,
    between: [PoleView; 2],
}

pub(super) fn view(design: &Design) -> ProofView {
    let proof = &design.proof;
    let rails = &design.rails;
    let names = |r: &[crate::track::RailId]| r.iter().map(|r| rails[*r].name.clone()).collect::<Vec<_>>();
    let view = View::of(
        &design.document,
        rails,
        &design.plan,
        &design.sizing,
        &design.circuit,
        &design.wiring,
        proof,
    );
    let mend = |culprits: &[Culprit]| culprits.iter().map(|c| view.mend(c)).collect::<Vec<_>>();
    let mut all = ProofView {
        format: super::FORMAT,
        layout: design.document.layout.name.value.clone(),
        result: if proof.holds() { "proved" } else { "failed" },
        method: if proof.sampled.is_empty() { "exact" } else { "sampled" },
        groups: proof.components,
        largest_group: proof.largest,
        positions_examined: proof.examined,
        sampled: proof
            .sampled
            .iter()
            .map(|s| SampledView {
                turnouts: s.deciders.iter().map(|d| decider(design, *d)).collect(),
                positions: s.settings,
                seed: s.seed,
            })
            .collect(),
        shorts: Vec::new(),
        dead_rails: Vec::new(),
        wrong_feeds: Vec::new(),
        frogs: Vec::new(),
        broken_roads: Vec::new(),
        never_set: proof
            .misused
            .iter()
            .map(|m| NeverView {
                turnout: design.document[m.turnout].name.value.clone(),
                between: [pole(design, m.poles.0), pole(design, m.poles.1)],
                when: when_view(design, &m.when),
                reason: m.reason,
            })
            .collect(),
        transit: transit(design),
    };
    for fault in &proof.faults {
        match fault {
            Fault::Short { poles, when, path, culprits } => all.shorts.push(ShortView {
                between: [pole(design, poles.0), pole(design, poles.1)],
                when: when_view(design, when),
                path: view.way(path),
                mend: mend(culprits),
            }),
            Fault::Dead { rails, when, reached } => all.dead_rails.push(DeadView {
                rails: names(rails),
                when: when_view(design, when),
                a_train_can_get_there: *reached,
            }),
            Fault::WrongFeed { rails, found, when, culprits, .. } => all.wrong_feeds.push(WrongView {
                rails: names(rails),
                found: pole(design, *found),
                when: when_view(design, when),
                mend: mend(culprits),
            }),
            Fault::FrogWrong { frog, road, wanted, found, when, culprits } => {
                let need = &rails[*frog];
                all.frogs.push(FrogView {
                    frog: rails[need.rail].name.clone(),
                    road: Formation::of(&design.document[need.turnout]).roads()[*road].name(),
                    needs: pole(design, *wanted),
                    found: found.map(|p| pole(design, p)),
                    when: when_view(design, when),
                    mend: mend(culprits),
                });
            }
            Fault::Broken { joint, when, culprits } => {
                let spec = &rails.joints[*joint];
                all.broken_roads.push(BrokenView {
                    joint: format!("J{}", joint + 1),
                    rails: [spec.inside, spec.outside].map(|r| rails[r].name.clone()),
                    when: when_view(design, when),
                    mend: mend(culprits),
                });
            }
        }
    }
    all
}

fn when_view(design: &Design, when: &When) -> WhenView {
    let case = |positions: &Vec<crate::track::Position>| {
        when.deciders.iter().zip(positions).map(|(d, p)| (decider(design, *d), p.word().to_owned())).collect()
    };
    WhenView {
        words: when.words(&design.document, &design.plan),
        cases: when.cases.iter().map(case).collect(),
    }
}

fn transit(design: &Design) -> TransitView {
    let moving = crate::proof::moving(&design.rails, &design.plan, &design.circuit);
    let bridged = crate::proof::bridged(&design.rails);
    TransitView {
        moving: moving
            .into_iter()
            .map(|m| MovingView {
                follows: design.document[m.bar].name.clone(),
                feeds: fed(&design.document, &design.rails, &design.plan.changeover(m.changeover).feeds),
                between: [pole(design, m.poles.0), pole(design, m.poles.1)],
                can_be_set_to_mid_travel: m.can_be_set,
            })
            .collect(),
        bridged: bridged
            .into_iter()
            .map(|b| BridgedView {
                joint: format!("J{}", b.joint + 1),
                between: [pole(design, b.inside), pole(design, b.outside)],
            })
            .collect(),
    }
}
