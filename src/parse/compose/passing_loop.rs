//! `[passing-loop]`: two turnouts toes outward, two tracks between them.

use super::measure::{Measure, least_loop};
use super::outline::{Group, Outline};
use crate::diag::Diagnostic;
use crate::parse::document::Port;
use crate::parse::reader::{Found, Table};
use crate::parse::words::Hand;
use crate::units::Length;

pub fn outline(table: &Table<'_>, gauge: f64, found: &mut Found) -> Outline {
    let hand = table.word::<Hand>("hand", found).map(|at| at.value);
    let length = table.quantity::<Length>("length", found).map(|at| at.value);
    let together = table.flag("together", found).unwrap_or(false);
    let m = Measure::of(table, gauge, 3.0, least_loop(), found);
    if table.means("toe") && !table.means("length") {
        found.push(
            Diagnostic::error("missing-key", format!("{} has `toe` but no `length`", table.what))
                .label(table.place("toe"), "tells only where one of its turnouts lies")
                .help("give the length of the straight track between the two turnouts as well"),
        );
    }
    let mut o = Outline { whole: hand.is_some(), ..Outline::default() };
    let hand = hand.unwrap_or(Hand::Right);
    let from = o.member("from", hand, m.spot(0.0, 0.0, false));
    // Who comes the other way has the loop on the other hand.
    let far = length.and_then(|l| m.spot(2.0 * m.length() + l.mm(), 0.0, true));
    let to = o.member("to", hand.other(), far);
    o.link("main", (from, Port::Straight), (to, Port::Straight), length);
    o.link("loop", (from, Port::Diverging), (to, Port::Diverging), length.map(|l| m.around(l)));
    o.end("from", from, Port::Toe);
    o.end("to", to, Port::Toe);
    o.groups = vec![Group { name: "", members: vec![from, to], alike: together }];
    o.controls = match together {
        true => vec![(String::new(), vec![from, to])],
        false => vec![("from".into(), vec![from]), ("to".into(), vec![to])],
    };
    if table.has("together") && !table.means("with") {
        found.push(
            Diagnostic::error("missing-key", format!("{} has `together` but no `with`", table.what))
                .label(table.place("together"), "tells how many controls, but not of which kind")
                .help("write `with` as well, or leave `together` out and describe the controls under [control.NAME]"),
        );
    }
    o
}
