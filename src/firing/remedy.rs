//! What would help where nothing on offer is enough, tried out one by one.

use super::choose::Search;
use super::shot::Shot;
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
    let margin = |choice: BankChoice, sizes: &[(WireClass, WireSize)]| {
        search.weak(&[shot.trigger], choice, sizes).first().map_or(0.0, Shot::margin)
    };
    let mut remedies = Vec::new();
    for class in [WireClass::Return, WireClass::Command] {
        let Some(at) = sizes.iter().position(|(c, _)| *c == class) else { continue };
        // Beyond the builder's stock and the usual clamps: twice the copper, as a second wire beside it.
        let double = WireSize::mm2(sizes[at].1.area().mm2() * 2.0);
        let mut better = sizes.to_vec();
        better[at].1 = double;
        let words = format!("the {} doubled (a second wire beside each)", class.word());
        remedies.push(Remedy { words, margin: margin(choice, &better) });
    }
    let larger = BankChoice { each: choice.each, count: choice.count * 2 };
    let words = format!("a bank of {}", larger.words());
    remedies.push(Remedy { words, margin: margin(larger, sizes) });
    if shot.coils.len() > 1 {
        let alone = search.alone(shot.trigger, choice, sizes);
        remedies.push(Remedy {
            words: "the turnouts thrown one after another, each by a control of its own".into(),
            margin: alone,
        });
    }
    let now = shot.margin();
    remedies.retain(|r| r.margin > now * 1.005);
    remedies.sort_by(|a, b| b.margin.total_cmp(&a.margin));
    remedies
}
