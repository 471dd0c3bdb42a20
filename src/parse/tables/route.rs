//! `[route]`: push buttons that set several turnouts at once.

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{Control, Route, RouteSetting, Settable, TurnoutKind};
use crate::parse::reader::{Found, Table};
use crate::source::At;

/// A route with what its names stand for. `kinds` is by turnout, and so is whether both bars are
/// thrown at once.
pub fn route(
    table: &Table<'_>,
    turnouts: &Names,
    kinds: &[Option<TurnoutKind>],
    together: &[bool],
    found: &mut Found,
) -> Option<Route> {
    let settings = table.settings("sets", found)?;
    let sets: Vec<_> = settings
        .into_iter()
        .map(|(name, to)| {
            let at = At::new(name.value.as_str(), name.span);
            let has_blades = |t: usize| kinds.get(t).copied().flatten().is_none_or(|k| !k.bars().is_empty());
            let what = match turnouts.turnout(&name.value).filter(|t| has_blades(t.0)) {
                Some(turnout) => Settable::Turnout(turnout),
                None => Settable::Bars(turnouts.bars(&at, kinds, together, found)?),
            };
            let to = At::new(to.value.trim().to_owned(), to.span);
            Some(RouteSetting { name, what, to })
        })
        .collect();
    let sets = sets.into_iter().collect::<Option<Vec<_>>>()?;
    Some(Route { name: table.name.clone(), sets, span: table.name.span })
}

/// Reports routes that have the name of a control: both are written beside a knob of the panel.
pub fn names(routes: &[Option<Route>], controls: &[Option<Control>], found: &mut Found) {
    for route in routes.iter().flatten() {
        let Some(control) = controls.iter().flatten().find(|c| c.name.value == route.name.value) else {
            continue;
        };
        found.push(
            Diagnostic::error(
                "name-taken",
                format!("route and control have the same name, `{}`", route.name.value),
            )
            .label(route.name.span, "the route")
            .label(control.name.span, "the control")
            .help("give the route a name of its own: it stands beside its button on the panel"),
        );
    }
}
