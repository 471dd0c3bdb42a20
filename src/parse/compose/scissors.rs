//! `[scissors]`: two crossovers of opposite hand over a diamond.

use super::measure::{Measure, least_scissors};
use super::outline::{Group, Member, Outline};
use crate::parse::document::{Port, TurnoutKind};
use crate::parse::reader::{Found, Table};
use crate::parse::words::Hand;

pub fn outline(table: &Table<'_>, gauge: f64, found: &mut Found) -> Outline {
    let m = Measure::of(table, gauge, 4.25, least_scissors(), found);
    let mut o = Outline { whole: true, ..Outline::default() };
    let far = m.crossover();
    let a = o.member("a", Hand::Right, m.spot(0.0, 0.0, false));
    let b = o.member("b", Hand::Right, m.spot(far, -m.spacing, true));
    let c = o.member("c", Hand::Left, m.spot(0.0, -m.spacing, false));
    let d = o.member("d", Hand::Left, m.spot(far, 0.0, true));
    // With c and d normal, a–b is the only diagonal that can be in use; so the frogs in the middle
    // follow diagonal c–d.
    o.members.push(Member {
        name: "x".into(),
        kind: TurnoutKind::Diamond,
        spot: m.spot(far / 2.0, -m.spacing / 2.0, false),
        decided_by: Some(c),
    });
    let x = o.members.len() - 1;
    for (name, member, port) in [("a", a, Port::A), ("b", b, Port::B), ("c", c, Port::C), ("d", d, Port::D)] {
        o.link(format!("{name}-x"), (member, Port::Diverging), (x, port), m.scissors_link());
        o.end(name, member, Port::Toe);
    }
    o.link("a-d", (a, Port::Straight), (d, Port::Straight), m.scissors_line());
    o.link("c-b", (c, Port::Straight), (b, Port::Straight), m.scissors_line());
    o.groups = vec![
        Group { name: "ab", members: vec![a, b], alike: true },
        Group { name: "cd", members: vec![c, d], alike: true },
    ];
    o.controls = vec![("ab".into(), vec![a, b]), ("cd".into(), vec![c, d])];
    o.exclusive = Some((
        vec![0, 1],
        "the diagonals cross: trains would meet, and the frogs in the middle suit one only",
    ));
    o
}
