//! The diode matrix: from the buttons of the routes over a link each to the lines that they work.

use super::Builder;
use crate::circuit::{NetId, NetKind, PartKind, Place};
use crate::drives::{Line, Matrix};
use crate::parse::ControlKind;

/// `lines` are those of every control that is fired from the discharge unit.
pub(super) fn build(b: &mut Builder, plus: NetId, lines: &[(Line, NetId)]) {
    let matrix = Matrix::of(b.document, b.plan);
    for (index, plan) in b.plan.routes.iter().enumerate() {
        let spec = &b.document[plan.route];
        let (name, route) = (spec.name.value.clone(), plan.route);
        let reason = format!("sets {}", plan.settings(b.document));
        let kind = PartKind::RouteButton { route };
        let button = b.part(kind, name.clone(), Place::Panel, "push button", reason, &["1", "2"]);
        let fed = b.net(format!("route {name}"), NetKind::Route(route));
        b.connect(plus, button, "1");
        b.connect(fed, button, "2");
        for line in &plan.lines {
            let Some((_, net)) = lines.iter().find(|(l, _)| l == line) else { continue };
            let words = format!("{} {}", *b.document[line.control].name, line.position.word());
            let reason = format!("from {name} to {words}");
            let (kind, value, [from, to]) = if matrix.is_diode(index, *line) {
                (PartKind::Diode { route }, diode_value(b), ["A", "K"])
            } else {
                (PartKind::Link { route }, "wire link".to_owned(), ["1", "2"])
            };
            let link = b.numbered(kind, 1, Place::Panel, value, reason, &[from, to]);
            b.connect(fed, link, from);
            b.connect(*net, link, to);
        }
    }
    // What only buttons could work and none does: reported with the plan.
    for (line, net) in lines {
        let alone = *b.document[line.control].with == ControlKind::RouteButtons;
        if alone && !matrix.lines.contains(line) {
            b.undo(*net);
        }
    }
}

/// The mean current hardly counts: a pulse lasts some hundredths of a second. 3 A and 100 V are
/// common and leave room (common practice, no source).
fn diode_value(b: &Builder) -> String {
    let surge = b.sizing.fired().and_then(|f| f.diode_surge);
    match surge {
        Some(surge) => format!("diode, 3 A, 100 V, surge {surge}"),
        None => "diode, 3 A, 100 V".to_owned(),
    }
}
