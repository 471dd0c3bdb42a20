//! `[crossover]`: two turnouts, diverging road to diverging road.

use super::measure::{Measure, least_crossover};
use super::outline::{Group, Outline};
use crate::parse::document::Port;
use crate::parse::reader::{Found, Table};
use crate::parse::words::Hand;

pub fn outline(table: &Table<'_>, gauge: f64, found: &mut Found) -> Outline {
    let hand = table.word::<Hand>("hand", found).map(|at| at.value);
    let m = Measure::of(table, gauge, 3.0, least_crossover(), found);
    let mut o = Outline { whole: hand.is_some(), ..Outline::default() };
    // A right-hand one leads from a to b, a left-hand one from c to d. The line of the first goes on
    // to d or b, that of the second to c or a.
    let (first, second, beyond, before, side) = match hand.unwrap_or(Hand::Right) {
        Hand::Right => ("a", "b", "d", "c", -1.0),
        Hand::Left => ("c", "d", "b", "a", 1.0),
    };
    let hand = hand.unwrap_or(Hand::Right);
    let one = o.member(first, hand, m.spot(0.0, 0.0, false));
    let two = o.member(second, hand, m.spot(m.crossover(), side * m.spacing, true));
    o.link("link", (one, Port::Diverging), (two, Port::Diverging), m.crossover_link());
    o.end(first, one, Port::Toe);
    o.end(second, two, Port::Toe);
    o.end(beyond, one, Port::Straight);
    o.end(before, two, Port::Straight);
    o.ends.sort();
    o.groups = vec![Group { name: "", members: vec![one, two], alike: true }];
    o.controls = vec![(String::new(), vec![one, two])];
    o
}
