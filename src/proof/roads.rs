//! Which roads over a turnout a train may use.

use crate::drives::{Changeover, Decider};
use crate::parse::{Document, TurnoutId};
use crate::track::{Formation, Position};

/// Roads that the bars lie for and that what decides from outside serves. `foreign` are the
/// changeovers of the turnout's frogs that follow none of its own bars. What has no position is of
/// no concern and may lie as it likes.
pub(super) fn roads_set<'a>(
    document: &Document,
    turnout: TurnoutId,
    foreign: impl Iterator<Item = &'a Changeover> + Clone,
    position: impl Fn(Decider) -> Option<Position>,
) -> Vec<usize> {
    let formation = Formation::of(&document[turnout]);
    let lies = |road: usize| {
        let mut bars = document.bars_of(turnout).zip(formation.setting(road));
        bars.all(|(bar, wanted)| position(Decider::Bar(bar)).is_none_or(|p| p == wanted))
    };
    let served = |road: usize| {
        let mut deciding = foreign.clone();
        deciding.all(|c| position(c.decider).is_none_or(|p| c.roads[p as usize].contains(&road)))
    };
    (0..formation.roads().len()).filter(|r| lies(*r) && served(*r)).collect()
}
