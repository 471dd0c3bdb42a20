//! The button of a route fires a coil that the route does not set.
//!
//! Bad: a wire link where a diode belongs: the line that two routes share drives the other route's
//! button backwards, and by that its other lines.
//!
//! Good: a diode in every link by which another driver of the line would come to lines not its own.

use crate::check::presses::{Press, presses};
use crate::check::words::list;
use crate::check::{Rule, View};
use crate::diag::Diagnostic;

pub const RULE: Rule = Rule {
    code: "route-sneak",
    title: "The button of a route throws something that the route does not set.",
    why: "Current takes a way back through a line that routes share, and throws turnouts that nobody asked for.",
    mend: "Put a diode into each link that is named, its ring (K) at the line; or turn round the one that is the \
           wrong way.",
    check,
};

fn check(view: &View) -> Vec<Diagnostic> {
    presses(view).iter().filter_map(|press| sneak(view, press)).collect()
}

fn sneak(view: &View, press: &Press) -> Option<Diagnostic> {
    let foreign: Vec<_> = press.fired.iter().filter(|(coil, _)| !press.wanted.contains(coil)).collect();
    let (_, way) = foreign.first()?;
    let names = list(
        foreign
            .iter()
            .map(|((bar, position), _)| format!("{} {}", view.document[*bar].name, position.word())),
    );
    let by: Vec<&str> = way.iter().map(|p| view.circuit[*p].designation.as_str()).collect();
    let route = &view.document[press.route];
    let message =
        format!("the button of route `{}` also throws {names}, by way of {}", *route.name, list(&by));
    Some(
        Diagnostic::error(RULE.code, message)
            .label(route.span, format!("sets {}", press.words(view)))
            .help("put a diode into each of these links, its ring (K) at the line"),
    )
}
