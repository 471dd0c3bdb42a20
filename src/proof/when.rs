//! In which positions of the turnouts something is so.

use crate::parse::{Document, TurnoutId};
use crate::track::Position;

/// A set of positions, told with as few turnouts as decide it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct When {
    /// The turnouts that matter, in the order of the file. None: it is so in every position.
    pub turnouts: Vec<TurnoutId>,
    /// Positions of [`When::turnouts`], one list for each case.
    pub cases: Vec<Vec<Position>>,
}

impl When {
    /// In every position of every turnout.
    pub fn always() -> When {
        When { turnouts: Vec::new(), cases: vec![Vec::new()] }
    }

    /// From settings: bit `i` of a setting is set where turnout `i` lies reverse. Turnouts whose
    /// position makes no difference are left out.
    pub(super) fn of(turnouts: &[TurnoutId], settings: &[u32]) -> When {
        let mut left: Vec<u32> = settings.to_vec();
        left.sort_unstable();
        let matters: Vec<usize> = (0..turnouts.len())
            .filter(|bit| left.iter().any(|s| left.binary_search(&(s ^ (1 << bit))).is_err()))
            .collect();
        let mut cases: Vec<Vec<Position>> =
            left.iter().map(|s| matters.iter().map(|bit| position(*s, *bit)).collect()).collect();
        cases.sort_unstable();
        cases.dedup();
        When { turnouts: matters.into_iter().map(|bit| turnouts[bit]).collect(), cases }
    }

    pub fn is_always(&self) -> bool {
        self.turnouts.is_empty()
    }

    /// "in every position", "with T1 reverse", "with T1 normal and T2 reverse, or …".
    pub fn words(&self, document: &Document) -> String {
        if self.is_always() {
            return "in every position".into();
        }
        let case = |positions: &Vec<Position>| {
            let each: Vec<String> = self
                .turnouts
                .iter()
                .zip(positions)
                .map(|(t, p)| format!("{} {}", *document[*t].name, p.word()))
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

/// Cases written out in full.
const SHOWN: usize = 3;

pub(super) fn position(setting: u32, bit: usize) -> Position {
    if setting >> bit & 1 == 0 { Position::Normal } else { Position::Reverse }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn turnouts_that_make_no_difference_are_left_out() {
        let turnouts = [TurnoutId(3), TurnoutId(5)];
        assert_eq!(When::of(&turnouts, &[0, 1, 2, 3]), When::always());
        let reverse = When { turnouts: vec![TurnoutId(5)], cases: vec![vec![Position::Reverse]] };
        assert_eq!(When::of(&turnouts, &[3, 2]), reverse);
        let differ = When::of(&turnouts, &[1, 2]);
        assert_eq!(differ.turnouts, turnouts);
        assert_eq!(
            differ.cases,
            [[Position::Normal, Position::Reverse], [Position::Reverse, Position::Normal]]
        );
    }
}
