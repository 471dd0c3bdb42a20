//! What would help where nothing on offer is enough, tried out one by one.

use super::Shot;
use super::choose::Search;
use crate::drives::WireClass;
use crate::drives::sizing::{BankChoice, Remedy};
use crate::units::WireSize;

/// Changes that lift the worst shot's margin, the best first.
pub(super) fn ranked(
    search: &Search,
    shot: &Shot,
    choice: BankChoice,
    sizes: &[(WireClass, WireSize)],
) -> Vec<Remedy> {
    let tried = |words: String, choice: BankChoice, sizes: &[(WireClass, WireSize)]| {
        let shots = search.weak(&[shot.trigger], choice, sizes);
        let (margin, rank) = shots.first().map_or((0.0, -1.0), |s| (s.margin(), s.rank()));
        (rank, Remedy { words, margin })
    };
    let mut remedies = Vec::new();
    for class in [WireClass::Return, WireClass::Command] {
        let Some(at) = sizes.iter().position(|(c, _)| *c == class) else { continue };
        // Beyond the builder's stock and the usual clamps: twice the copper, as a second wire beside it.
        let mut better = sizes.to_vec();
        better[at].1 = WireSize::mm2(sizes[at].1.area().mm2() * 2.0);
        let words = format!("the {} doubled (a second wire beside each)", class.word());
        remedies.push(tried(words, choice, &better));
    }
    let larger = BankChoice { each: choice.each, count: choice.count * 2 };
    remedies.push(tried(format!("a bank of {}", larger.words()), larger, sizes));
    let coils = shot.coils.len();
    if coils > 1 {
        let ways = [
            (coils.div_ceil(2), "a second unit, each firing half of the turnouts over wires of its own"),
            (1, "the turnouts thrown one after another, each by a control of its own"),
        ];
        for (together, words) in ways {
            let margin = search.in_parts(shot.trigger, choice, sizes, together);
            remedies.push((margin, Remedy { words: words.to_owned(), margin }));
        }
    }
    let now = shot.rank();
    remedies.retain(|(rank, _)| *rank > now + 0.005);
    remedies.sort_by(|a, b| b.0.total_cmp(&a.0));
    remedies.into_iter().map(|(_, remedy)| remedy).collect()
}
