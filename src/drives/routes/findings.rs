//! What a builder should know of routes that can be wired.

use super::RoutePlan;
use crate::diag::Diagnostic;
use crate::drives::BarPlan;
use crate::parse::{ControlId, ControlKind, Document};
use crate::track::Position;

/// What goes along with a route, and what it leaves in a train's way.
pub(super) fn of_route(document: &Document, plan: &RoutePlan, found: &mut Vec<Diagnostic>) {
    let spec = &document[plan.route];
    for bar in &plan.along {
        let Some(control) = document.controls.iter().find(|c| c.throws.iter().any(|t| t.value == *bar))
        else {
            continue;
        };
        let name = &document[*bar].name;
        found.push(
            Diagnostic::note(
                "route-takes-along",
                format!("route `{}` throws {name} as well, which it does not name", *spec.name),
            )
            .label(spec.span, "this route")
            .label(control.span, format!("throws {name} together with what it names")),
        );
    }
    for name in plan.leaves_named(document) {
        found.push(
            Diagnostic::note(
                "route-leaves",
                format!("route `{}` leaves {name} as it stands, and its track runs into {name}", *spec.name),
            )
            .label(spec.span, "this route")
            .help(format!("set {name} too, or see to it before the train comes")),
        );
    }
}

/// Reports buttons that do the same.
pub(super) fn alike(document: &Document, routes: &[RoutePlan], found: &mut Vec<Diagnostic>) {
    for (i, plan) in routes.iter().enumerate() {
        let Some(first) = routes[..i].iter().find(|r| r.bars == plan.bars) else { continue };
        let (spec, other) = (&document[plan.route], &document[first.route]);
        found.push(
            Diagnostic::warning(
                "routes-alike",
                format!("routes `{}` and `{}` set the same", *other.name, *spec.name),
            )
            .label(spec.span, plan.settings(document))
            .label(other.span, "and so does this")
            .help("leave one of them out, or correct what it sets"),
        );
    }
}

/// Reports lines that only route buttons could work, and none does.
pub(super) fn lines_without_button(
    document: &Document,
    bars: &[BarPlan],
    routes: &[RoutePlan],
    found: &mut Vec<Diagnostic>,
) {
    for (i, control) in document.controls.iter().enumerate() {
        let id = ControlId(i);
        let planned = bars.iter().any(|b| b.control == id);
        if *control.with != ControlKind::RouteButtons || !planned {
            continue;
        }
        let idle: Vec<&str> =
            super::idle_lines(document, routes, id).into_iter().map(Position::word).collect();
        let throws = control.throws.iter().map(|t| document[t.value].name.as_str());
        let what = throws.collect::<Vec<_>>().join(" and ");
        let (positions, label) = match idle.as_slice() {
            [] => continue,
            ["normal"] => ("normal", "once reverse it can never go back to normal"),
            ["reverse"] => ("reverse", "it stays normal for ever"),
            _ => ("normal or reverse", "nothing throws it"),
        };
        found.push(
            Diagnostic::warning("line-without-button", format!("no route sets {what} {positions}"))
                .label(control.with.span, label)
                .help("add a route that does, or give it a control of its own"),
        );
    }
}
