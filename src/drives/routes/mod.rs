//! Routes: which lines each button works, what goes along with them, and which links need a diode.
//!
//! A control has a line for each position, with all its coils on it. A route's button feeds every
//! line that it sets.

mod findings;
mod settings;
#[cfg(test)]
mod tests;

use super::BarPlan;
use crate::diag::Diagnostic;
use crate::electrics::matrix::Incidence;
use crate::parse::{BarId, ControlId, ControlKind, Document, RouteDiodes, RouteId, TurnoutId};
use crate::track::{Position, left_unset};

use super::Plan;

/// A control's line for one position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Line {
    pub control: ControlId,
    pub position: Position,
}

/// What a route's button does.
#[derive(Clone, Debug, PartialEq)]
pub struct RoutePlan {
    pub route: RouteId,
    /// Every tie bar that is thrown, those that go along among them, in the order of the file.
    pub bars: Vec<(BarId, Position)>,
    /// Those it does not name: their control throws them together with one that it names.
    pub along: Vec<BarId>,
    /// In drawing order.
    pub lines: Vec<Line>,
    /// What it leaves as it stands, although its track runs into it.
    pub leaves: Vec<TurnoutId>,
}

/// The routes that can be wired, and what is wrong with the others.
pub(super) fn of(document: &Document, bars: &[BarPlan]) -> (Vec<RoutePlan>, Vec<Diagnostic>) {
    let mut found = Vec::new();
    let mut routes: Vec<RoutePlan> = Vec::new();
    for route in (0..document.routes.len()).map(RouteId) {
        let Some(wanted) = settings::wanted(document, bars, route, &mut found) else { continue };
        let set: std::collections::BTreeMap<BarId, Position> =
            wanted.iter().map(|w| (w.bar, w.position)).collect();
        let mut lines: Vec<Line> = Vec::new();
        for plan in bars {
            let line = set.get(&plan.bar).map(|p| Line { control: plan.control, position: *p });
            lines.extend(line.filter(|l| !lines.contains(l)));
        }
        let along: Vec<BarId> = wanted.iter().filter(|w| w.along).map(|w| w.bar).collect();
        let leaves = left_unset(document, &set);
        routes.push(RoutePlan { route, bars: set.into_iter().collect(), along, lines, leaves });
    }
    for plan in &routes {
        findings::of_route(document, plan, &mut found);
    }
    findings::alike(document, &routes, &mut found);
    if routes.len() == document.routes.len() {
        findings::lines_without_button(document, bars, &routes, &mut found);
    }
    (routes, found)
}

/// The positions of a control that only route buttons could set, and none does.
fn idle_lines(document: &Document, routes: &[RoutePlan], control: ControlId) -> Vec<Position> {
    let worked = |position: &Position| {
        let line = Line { control, position: *position };
        routes.iter().any(|r| r.lines.contains(&line))
    };
    if *document[control].with != ControlKind::RouteButtons {
        return Vec::new();
    }
    Position::ALL.into_iter().filter(|p| !worked(p)).collect()
}

impl Plan {
    /// The positions of a control that only route buttons could set, and none does.
    pub fn idle_lines(&self, document: &Document, control: ControlId) -> Vec<Position> {
        idle_lines(document, &self.routes, control)
    }
}

impl RoutePlan {
    /// "T1 reverse, T2 normal": by tie bar, in the order of the file.
    pub fn settings(&self, document: &Document) -> String {
        let words = |(bar, p): &(BarId, Position)| format!("{} {}", document[*bar].name, p.word());
        self.bars.iter().map(words).collect::<Vec<_>>().join(", ")
    }

    /// What it leaves as it stands: turnouts, or one bar of a turnout whose other bar it sets.
    pub fn leaves_named(&self, document: &Document) -> Vec<String> {
        let is_set = |bar: &BarId| self.bars.iter().any(|(b, _)| b == bar);
        let names = |turnout: &TurnoutId| {
            let (set, unset): (Vec<BarId>, Vec<BarId>) = document.bars_of(*turnout).partition(is_set);
            match set.is_empty() {
                true => vec![document[*turnout].name.value.clone()],
                false => unset.into_iter().map(|b| document[b].name.clone()).collect(),
            }
        };
        self.leaves.iter().flat_map(names).collect()
    }
}

/// Buttons and lines, with what joins them.
pub struct Matrix {
    /// Every line that a button works, in drawing order.
    pub lines: Vec<Line>,
    incidence: Incidence,
    every_link: bool,
}

impl Matrix {
    pub fn of(document: &Document, plan: &Plan) -> Matrix {
        let all = plan
            .controls()
            .into_iter()
            .flat_map(|control| Position::ALL.map(|position| Line { control, position }));
        let worked = |line: &Line| plan.routes.iter().any(|r| r.lines.contains(line));
        let lines: Vec<Line> = all.filter(worked).collect();
        let place = |line: &Line| lines.iter().position(|l| l == line);
        let buttons = plan.routes.iter().map(|r| r.lines.iter().filter_map(place).collect()).collect();
        let own = lines.iter().map(|l| *document[l.control].with != ControlKind::RouteButtons).collect();
        let incidence = Incidence { buttons, own };
        Matrix { lines, incidence, every_link: document.panel.route_diodes == RouteDiodes::EveryLink }
    }

    /// Whether the link of a route to one of its lines is a diode, or else a wire.
    pub fn is_diode(&self, route: usize, line: Line) -> bool {
        let place = self.lines.iter().position(|l| *l == line);
        self.every_link || place.is_some_and(|l| self.incidence.needs_diode(route, l))
    }
}
