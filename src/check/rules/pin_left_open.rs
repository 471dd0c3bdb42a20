//! A pin that should have a wire has none.
//!
//! Bad: a toggle with one of its outer pins open: the turnout goes one way only.
//!
//! Good: every pin is joined, but for spare channels of a controller, the unused pole of a split
//! supply, a booster's accessory output and the second output of a module that feeds a frog.

use crate::check::{Rule, View};
use crate::circuit::{Part, PartKind};
use crate::diag::Diagnostic;
use crate::parse::TurnoutId;
use crate::track::RailPlace;

pub const RULE: Rule = Rule {
    code: "pin-left-open",
    title: "A pin has no wire.",
    why: "What it belongs to works half, or not at all.",
    mend: "Join the pin, as the circuit sheet of its kind shows.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    for (id, part) in view.circuit.parts().filter(|(_, p)| !is_of_unplanned(view, p)) {
        for pin in part.pins.iter().filter(|p| p.net.is_none() && !may_stay_open(part, p.name)) {
            let message = format!("nothing is joined to {}:{}", part.designation, pin.name);
            let diagnostic =
                Diagnostic::warning(RULE.code, message).help("join it, or use a part without it");
            found.push(match view.part_span(id) {
                Some(span) => diagnostic.label(span, part.reason.clone()),
                None => diagnostic,
            });
        }
    }
    found
}

/// Whether it belongs to a turnout that is not wired, because nothing throws it or its control does
/// not fit, or that no route sets one way: that has been reported.
fn is_of_unplanned(view: &View, part: &Part) -> bool {
    if let PartKind::Drive { bar, .. } | PartKind::Relay { bar, .. } = part.kind {
        let control = view.plan.of(bar).map(|p| p.control);
        return control.is_some_and(|c| !view.plan.idle_lines(view.document, c).is_empty());
    }
    let PartKind::Rail { rail } = part.kind else { return false };
    let unplanned = |t: TurnoutId| view.document.bars_of(t).any(|bar| view.plan.of(bar).is_none());
    matches!(view.rails[rail].place, RailPlace::Frog(t, _) if unplanned(t))
}

fn may_stay_open(part: &Part, pin: &str) -> bool {
    match part.kind {
        PartKind::ServoController { .. } => !matches!(pin, "+" | "−"),
        PartKind::TrackSupply => matches!(pin, "a" | "b"),
        PartKind::PlugInSupply => part.pins.len() > 2,
        // For a frog one of its two outputs will do.
        PartKind::ReverserModule { .. } => matches!(pin, "X" | "Y"),
        _ => false,
    }
}
