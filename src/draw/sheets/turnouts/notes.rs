//! Cautions and notes under the bands.

use super::super::Book;
use crate::draw::page::{Page, caution_strip};
use crate::drives::{BarPlan, Decider, Pairing, Selector, SelectorKind};
use crate::parse::{BarId, FrogKind, TurnoutId};
use crate::track::{Formation, Position};

pub(super) fn draw(book: &Book, page: &mut Page, bands: &[(BarPlan, f64)]) {
    let document = &book.design.document;
    let has = |pairings: &[Pairing]| bands.iter().any(|(p, _)| pairings.contains(&p.pairing));
    let mut cautions = Vec::new();
    if has(&[Pairing::SolenoidDischarge]) {
        cautions
            .push("Stored charge: switch off, wait a minute, measure the capacitor, then work.".to_owned());
    }
    let live = |plan: &BarPlan| {
        book.design.plan.feeds_frogs(plan.bar) && *document.turnout_of(plan.bar).frog == FrogKind::Live
    };
    let names: Vec<&str> =
        bands.iter().filter(|(p, _)| live(p)).map(|(p, _)| document[p.bar].name.as_str()).collect();
    if !names.is_empty() {
        cautions.push(format!(
            "Live frogs ({}): set the contact to change at mid-travel, while no blade touches, else A meets B.",
            names.join(", ")
        ));
    }
    let mut turnouts: Vec<TurnoutId> = bands.iter().map(|(p, _)| document[p.bar].turnout).collect();
    turnouts.dedup();
    cautions.extend(turnouts.into_iter().flat_map(|t| forbidden(book, t)));
    let here = |bar: &BarId| bands.iter().any(|(p, _)| p.bar == *bar);
    for out in document.exclusive.iter().filter(|e| e.settings.iter().any(|s| s.bars.iter().any(here))) {
        let names: Vec<&str> = out.settings.iter().map(|s| s.name.as_str()).collect();
        cautions.push(format!(
            "Never set {} reverse together: {}. Mark it on the panel.",
            names.join(" and "),
            out.reason
        ));
    }
    let mut note =
        "Contacts are drawn with every turnout normal: 11 common, 12 closed in normal, 14 in reverse. \
                    If a frog proves wrong, swap 12 and 14 at the track strip."
            .to_owned();
    if bands.iter().any(|(p, _)| book.design.plan.following(Decider::Bar(p.bar)).count() > 1) {
        note.push_str(" 21, 22, 24 and so on likewise.");
    }
    if has(&[Pairing::MotorReversing, Pairing::MotorSplit]) {
        note.push_str(" If a motor runs the wrong way, swap its two wires at the board strip.");
    }
    if bands.iter().any(|(p, _)| !document.drive_of(p.bar).typical.is_empty()) {
        note.push_str(" Drive values: typical, measure yours.");
    }
    write(page, &cautions, &note);
}

/// What the page has room for: the cautions come first.
fn write(page: &mut Page, cautions: &[String], note: &str) {
    let caution: Vec<&str> = cautions.iter().map(String::as_str).collect();
    let area = page.note_area;
    if caution_strip(&mut page.scene, area, &caution, &[note]).is_err() {
        let mut most = caution.len();
        while most > 0 && caution_strip(&mut page.scene, area, &caution[..most], &[]).is_err() {
            most -= 1;
        }
    }
}

/// Settings in which no train may use a turnout, once for each way one control throws both bars.
fn forbidden(book: &Book, turnout: TurnoutId) -> Vec<String> {
    let document = &book.design.document;
    let bars: Vec<_> = document.bars_of(turnout).collect();
    let controls: Vec<_> = bars.iter().map(|b| book.design.plan.of(*b).map(|p| p.control)).collect();
    let one_control = controls.len() > 1 && controls.windows(2).all(|w| w[0].is_some() && w[0] == w[1]);
    let formation = Formation::of(&document[turnout]);
    let settings = formation.forbidden().iter().filter(|(setting, _)| {
        // One control throws all bars together: settings in which they differ do not occur.
        !(one_control && setting.windows(2).any(|w| w[0] != w[1]))
    });
    settings
        .map(|(setting, why)| {
            let names: Vec<&str> = bars.iter().map(|b| document[*b].name.as_str()).collect();
            let what = match (*setting, names.as_slice()) {
                ([Position::Reverse, Position::Reverse], [a, b]) => format!("{a} and {b} both reverse"),
                _ => names
                    .iter()
                    .zip(*setting)
                    .map(|(name, p)| format!("{name} {}", p.word()))
                    .collect::<Vec<_>>()
                    .join(" with "),
            };
            format!("Never set {what}: {why}. Mark it on the panel.")
        })
        .collect()
}

/// Under the bands of switches and modules.
pub(super) fn of_selectors(page: &mut Page, selectors: &[&Selector]) {
    let mut cautions = Vec::new();
    let mut notes = Vec::new();
    for selector in selectors.iter().filter(|s| s.kind == SelectorKind::Switch) {
        cautions.push(format!(
            "Mark on the panel: the switch of {} stands for {} (12) or {} (14). Set it before the train comes.",
            selector.name, selector.positions[0], selector.positions[1]
        ));
    }
    if selectors.iter().any(|s| s.kind == SelectorKind::Module) {
        notes.push(
            "A module changes X and Y over by itself while a wheel shorts the joint. It must trip before the booster \
             does: read its sheet.",
        );
    }
    if !cautions.is_empty() {
        notes.push("If a frog or section proves wrong, swap 12 and 14, or 22 and 24.");
    }
    write(page, &cautions, &notes.join(" "));
}
