//! In which positions of tie bars and selectors something is so.

use crate::drives::{Decider, Plan};
use crate::parse::Document;
use crate::track::Position;

/// A set of positions, told with as few deciders as decide it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// The bars and selectors that matter, in order. None: it is so in every position.
    pub deciders: Vec<Decider>,
    /// Positions of [`When::deciders`], one list for each case.
    pub cases: Vec<Vec<Position>>,
}

/// Positions of the deciders of a component: bit `i` is set where decider `i` lies reverse.
pub(super) type Setting = u128;

impl When {
    /// In every position of everything.
    pub fn always() -> When {
        When { deciders: Vec::new(), cases: vec![Vec::new()] }
    }

    /// Deciders whose position makes no difference are left out.
    pub(super) fn of(deciders: &[Decider], settings: &[Setting]) -> When {
        let mut left: Vec<Setting> = settings.to_vec();
        left.sort_unstable();
        let matters: Vec<usize> = (0..deciders.len())
            .filter(|bit| left.iter().any(|s| left.binary_search(&(s ^ (1 << bit))).is_err()))
            .collect();
        let mut cases: Vec<Vec<Position>> =
            left.iter().map(|s| matters.iter().map(|bit| position(*s, *bit)).collect()).collect();
        cases.sort_unstable();
        cases.dedup();
        When { deciders: matters.into_iter().map(|bit| deciders[bit]).collect(), cases }
    }

    pub fn is_always(&self) -> bool {
        self.deciders.is_empty()
    }

    /// "in every position", "with T1 reverse", "with T1 normal and T2 reverse, or …".
    pub fn words(&self, document: &Document, plan: &Plan) -> String {
        if self.is_always() {
            return "in every position".into();
        }
        let case = |positions: &Vec<Position>| {
            let each: Vec<String> = self
                .deciders
                .iter()
                .zip(positions)
                .map(|(d, p)| decider_words(document, plan, *d, *p))
                .collect();
            format!("with {}", each.join(" and "))
        };
        let shown: Vec<String> = self.cases.iter().take(SHOWN).map(case).collect();
        let more = match self.cases.len().saturating_sub(SHOWN) {
            0 => String::new(),
            more => format!(", or in {more} other settings"),
        };
        format!("{}{more}", shown.join(", or "))
    }
}

/// "T1 reverse", "the switch of loop at over T2.left"
fn decider_words(document: &Document, plan: &Plan, decider: Decider, position: Position) -> String {
    match decider {
        Decider::Bar(bar) => format!("{} {}", document[bar].name, position.word()),
        Decider::Selector(id) => {
            let selector = plan.selector(id);
            format!("{} set for {}", selector.name, selector.positions[position as usize])
        }
    }
}

/// Cases written out in full.
const SHOWN: usize = 3;

pub(super) fn position(setting: Setting, bit: usize) -> Position {
    if setting >> bit & 1 == 0 { Position::Normal } else { Position::Reverse }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::parse::BarId;

    #[test]
    fn deciders_that_make_no_difference_are_left_out() {
        let bars = [3, 5].map(|b| Decider::Bar(BarId(b)));
        assert_eq!(When::of(&bars, &[0, 1, 2, 3]), When::always());
        let reverse = When { deciders: vec![bars[1]], cases: vec![vec![Position::Reverse]] };
        assert_eq!(When::of(&bars, &[3, 2]), reverse);
        let differ = When::of(&bars, &[1, 2]);
        assert_eq!(differ.deciders, bars);
        assert_eq!(
            differ.cases,
            [[Position::Normal, Position::Reverse], [Position::Reverse, Position::Normal]]
        );
    }
}
