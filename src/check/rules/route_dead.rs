//! The button of a route does not reach a coil that the route sets.
//!
//! Bad: a diode the wrong way round: the button cannot drive the line.
//!
//! Good: from the button a link to every line of the route, each diode with its ring at the line.

use crate::check::presses::{Press, presses};
use crate::check::words::list;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "route-dead",
    title: "The button of a route does not throw all that the route sets.",
    why: "The turnout stays as it was, and the train runs where it should not.",
    mend: "Look for the link from this button to the line: it is missing, or its diode is the wrong way round.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    presses(view).iter().filter_map(|press| dead(view, press)).collect()
}

fn dead(view: &View, press: &Press) -> Option<Diagnostic> {
    let missing: Vec<String> = press
        .wanted
        .iter()
        .filter(|coil| !press.fired.contains_key(coil))
        .map(|(bar, position)| format!("{} {}", view.document[*bar].name, position.word()))
        .collect();
    if missing.is_empty() {
        return None;
    }
    let route = &view.document[press.route];
    let message = format!("the button of route `{}` does not throw {}", *route.name, list(&missing));
    Some(
        Diagnostic::error(RULE.code, message)
            .label(route.span, format!("sets {}", press.words(view)))
            .help("join the button to the line by its link, the ring (K) of a diode at the line"),
    )
}
