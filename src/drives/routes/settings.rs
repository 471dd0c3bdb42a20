//! What a route sets, from the words of the file to the positions of tie bars.

use crate::diag::Diagnostic;
use crate::drives::{BarPlan, Pairing};
use crate::parse::{BarId, Document, RouteId, RouteSetting, Settable, TurnoutId, near};
use crate::source::Span;
use crate::track::{Formation, Position};

/// A tie bar that a route throws.
pub(super) struct Wanted {
    pub bar: BarId,
    pub position: Position,
    /// Whether the route does not name it: its control throws it together with one that is named.
    pub along: bool,
    /// Where the file says so.
    span: Span,
}

/// Everything a route throws; `None` if it cannot be done, which is reported.
pub(super) fn wanted(
    document: &Document,
    bars: &[BarPlan],
    route: RouteId,
    found: &mut Vec<Diagnostic>,
) -> Option<Vec<Wanted>> {
    let before = found.len();
    let spec = &document[route];
    let mut wanted: Vec<Wanted> = Vec::new();
    for setting in &spec.sets {
        let Some(positions) = positions(document, setting) else {
            found.push(no_such_position(document, setting));
            continue;
        };
        for (bar, position) in positions {
            match wanted.iter().find(|w| w.bar == bar) {
                Some(first) => found.push(
                    Diagnostic::error(
                        "set-twice",
                        format!("route `{}` sets {} twice", *spec.name, document[bar].name),
                    )
                    .label(setting.name.span, "again here")
                    .label(first.span, "first here")
                    .help("leave one of them out"),
                ),
                None => wanted.push(Wanted { bar, position, along: false, span: setting.name.span }),
            }
        }
        fits(document, bars, route, setting, found);
    }
    if found.len() > before {
        return None;
    }
    // What nothing throws is reported by itself; without a line there is nothing to feed.
    wanted.retain(|w| bars.iter().any(|b| b.bar == w.bar));
    go_along(document, bars, route, &mut wanted, found);
    forbidden(document, route, &wanted, found);
    (found.len() == before && !wanted.is_empty()).then_some(wanted)
}

fn positions(document: &Document, setting: &RouteSetting) -> Option<Vec<(BarId, Position)>> {
    match &setting.what {
        Settable::Turnout(turnout) => {
            let (setting, _) = Formation::of(&document[*turnout]).asked(&setting.to)?;
            Some(document.bars_of(*turnout).zip(setting).collect())
        }
        Settable::Bars(bars) => {
            let position = Position::from_word(&setting.to)?;
            Some(bars.iter().map(|b| (*b, position)).collect())
        }
    }
}

fn no_such_position(document: &Document, setting: &RouteSetting) -> Diagnostic {
    let legal = match &setting.what {
        Settable::Turnout(turnout) => Formation::of(&document[*turnout]).askable(),
        Settable::Bars(_) => Position::ALL.iter().map(|p| p.word().to_owned()).collect(),
    };
    let words = || legal.iter().map(String::as_str);
    let message = format!("{} has no position `{}`", *setting.name, setting.to.escape_debug());
    let d = Diagnostic::error("unknown-position", message).label(setting.to.span, "no such position");
    let d = d.help(format!("its positions are {}", near::list(words(), "and")));
    match near::nearest(&setting.to, words()) {
        Some(near) => d.replacement(format!("\"{near}\"")),
        None => d,
    }
}

/// Reports what a pulse from a button cannot throw.
fn fits(
    document: &Document,
    bars: &[BarPlan],
    route: RouteId,
    setting: &RouteSetting,
    found: &mut Vec<Diagnostic>,
) {
    let Some(positions) = positions(document, setting) else { return };
    let misfit = |(bar, _): &(BarId, Position)| {
        bars.iter().find(|b| b.bar == *bar && b.pairing != Pairing::SolenoidDischarge)
    };
    let Some(plan) = positions.iter().find_map(misfit) else { return };
    let (bar, control) = (&document[plan.bar], &document[plan.control]);
    let lever = control.name.as_str();
    let (reason, mend) = match plan.pairing {
        Pairing::SolenoidDischarge => return,
        Pairing::SolenoidDirect => (
            "its coils are fired straight from the supply, which a held button would leave on them"
                .to_owned(),
            "write fired-from = \"discharge unit\" for its drive, or leave it out of the route",
        ),
        Pairing::SolenoidDecoder | Pairing::MotorDecoder | Pairing::ServoDecoder => (
            format!("{lever} is an accessory decoder output, and nothing else may feed its lines"),
            "set routes at the command station, or give the turnout a control on the panel",
        ),
        Pairing::MotorReversing | Pairing::MotorSplit | Pairing::ServoToggle => (
            format!("{lever} stays where it is put and holds its drive there; a pulse cannot override it"),
            "leave it out of the route; routes are for solenoids fired from the discharge unit",
        ),
    };
    found.push(
        Diagnostic::error(
            "route-does-not-fit",
            format!("route `{}` cannot set {}: {reason}", *document[route].name, bar.name),
        )
        .label(setting.name.span, "set here")
        .label(control.with.span, format!("`{lever}` throws {}", bar.name))
        .help(mend),
    );
}

/// What a control throws together goes together: adds what the route does not name, and reports
/// what it would have otherwise.
fn go_along(
    document: &Document,
    bars: &[BarPlan],
    route: RouteId,
    wanted: &mut Vec<Wanted>,
    found: &mut Vec<Diagnostic>,
) {
    let control_of = |bar: BarId| bars.iter().find(|b| b.bar == bar).map(|b| b.control);
    for i in 0..wanted.len() {
        let Some(control) = control_of(wanted[i].bar) else { continue };
        let first = wanted.iter().position(|w| control_of(w.bar) == Some(control));
        let Some(first) = first.filter(|f| *f < i) else { continue };
        let (one, other) = (&wanted[first], &wanted[i]);
        if one.position == other.position {
            continue;
        }
        let words = |w: &Wanted| format!("{} {}", document[w.bar].name, w.position.word());
        found.push(
            Diagnostic::error(
                "route-contradicts",
                format!(
                    "route `{}` sets {} and {}, but `{}` throws them together",
                    *document[route].name,
                    words(one),
                    words(other),
                    *document[control].name
                ),
            )
            .label(other.span, words(other))
            .label(one.span, words(one))
            .label(document[control].span, "both on this control's lines")
            .help("give each a control of its own, or set both alike"),
        );
    }
    for i in 0..wanted.len() {
        let Some(control) = control_of(wanted[i].bar) else { continue };
        for plan in bars.iter().filter(|b| b.control == control) {
            if wanted.iter().all(|w| w.bar != plan.bar) {
                let (position, span) = (wanted[i].position, wanted[i].span);
                wanted.push(Wanted { bar: plan.bar, position, along: true, span });
            }
        }
    }
}

/// Reports settings in which no train may run.
fn forbidden(document: &Document, route: RouteId, wanted: &[Wanted], found: &mut Vec<Diagnostic>) {
    let at = |bar: &BarId| wanted.iter().find(|w| w.bar == *bar);
    let name = document[route].name.as_str();
    for turnout in (0..document.turnouts.len()).map(TurnoutId) {
        let bars: Vec<Option<&Wanted>> = document.bars_of(turnout).map(|b| at(&b)).collect();
        let Some(bars) = bars.into_iter().collect::<Option<Vec<_>>>() else { continue };
        let setting: Vec<Position> = bars.iter().map(|w| w.position).collect();
        let formation = Formation::of(&document[turnout]);
        let Some(reason) = formation.why_forbidden(&setting) else { continue };
        let words: Vec<String> =
            bars.iter().map(|w| format!("{} {}", document[w.bar].name, w.position.word())).collect();
        let roads: Vec<String> = formation.roads().iter().map(|r| r.name()).collect();
        let message = format!("route `{name}` sets {}: {reason}", words.join(" with "));
        let d = Diagnostic::error("route-forbidden", message);
        let d = bars.iter().fold(d, |d, w| d.label(w.span, format!("{} here", w.position.word())));
        found.push(
            d.help(format!("set one of its roads: {}", near::list(roads.iter().map(String::as_str), "or"))),
        );
    }
    let reverse = |bar: &BarId| at(bar).filter(|w| w.position == Position::Reverse);
    for out in &document.exclusive {
        let mut set = out.settings.iter().filter_map(|s| Some((s, s.bars.iter().find_map(reverse)?)));
        let (Some((one, first)), Some((other, second))) = (set.next(), set.next()) else { continue };
        let message = format!("route `{name}` sets `{}` and `{}` at once", one.name, other.name);
        found.push(
            Diagnostic::error("route-forbidden", message)
                .label(second.span, out.reason)
                .label(first.span, format!("sets `{}`", one.name))
                .help("set one of them, and the other normal"),
        );
    }
}
