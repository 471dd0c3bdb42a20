//! `[ladder]`: turnouts one behind the other, to parallel roads.

use super::measure::{Measure, least_ladder};
use super::outline::{Group, Outline};
use crate::diag::Diagnostic;
use crate::parse::document::Port;
use crate::parse::reader::{Found, Table};
use crate::parse::words::Hand;

pub fn outline(table: &Table<'_>, gauge: f64, found: &mut Found) -> Outline {
    let hand = table.word::<Hand>("hand", found).map(|at| at.value);
    let roads = table.count("roads", found);
    let m = Measure::of(table, gauge, 3.0, least_ladder(), found);
    if let Some(few) = roads.filter(|n| *n < 2) {
        let d = Diagnostic::error("too-few-roads", format!("{} fans out to nothing", table.what));
        let what = if few == 1 { "one road needs no turnout" } else { "no road at all" };
        found.push(
            d.label(table.place("roads"), what)
                .help("write how many roads there are, 2 or more; for a single road write a [track]"),
        );
    }
    let mut o = Outline { whole: hand.is_some() && roads.is_some_and(|n| n > 1), ..Outline::default() };
    let turnouts = roads.unwrap_or(2).max(2) - 1;
    for i in 0..turnouts {
        let member = o.member(
            (i + 1).to_string(),
            hand.unwrap_or(Hand::Right),
            m.spot(i as f64 * m.rung(), 0.0, false),
        );
        if i == 0 {
            o.end("toe", member, Port::Toe);
        } else {
            o.link(format!("link-{i}"), (member - 1, Port::Straight), (member, Port::Toe), m.rung_link());
        }
        o.end(format!("road-{}", i + 1), member, Port::Diverging);
        o.controls.push((o.members[member].name.clone(), vec![member]));
    }
    o.end(format!("road-{}", turnouts + 1), turnouts - 1, Port::Straight);
    o.groups = vec![Group { name: "", members: (0..turnouts).collect(), alike: turnouts == 1 }];
    o
}
