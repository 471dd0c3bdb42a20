//! Positions as people ask for them: "T1=reverse", "T5=left", "T6=a-d".

use super::report::Failure;
use crate::Design;
use crate::drives::{Changeover, Decider, Feeds};
use crate::parse::{BarId, TurnoutId, near};
use crate::proof::Positions;
use crate::track::{Formation, Position};

/// The positions that such words ask for. What no word names lies normal.
///
/// A name is that of a turnout, a tie bar ("T5.left"), a control (all it throws) or a reversing
/// section. A position is `normal` or `reverse`, or for a turnout the road to be used: its far port
/// ("left", "diverging") or both its ends ("a-d").
///
/// # Errors
/// Unknown names and positions, a turnout asked for twice in different ways, and settings in which
/// no road is set.
pub fn asked(design: &Design, words: &[String]) -> Result<Positions, Failure> {
    let mut positions = Positions::new();
    for word in words {
        let Some((name, position)) = word.split_once('=') else {
            return Err(wrong(
                format!("`{word}` does not say in which position"),
                "write a name and a position, as in T1=reverse".into(),
            ));
        };
        for (decider, position) in one(design, name.trim(), position.trim())? {
            if positions.insert(decider, position).is_some_and(|before| before != position) {
                return Err(wrong(
                    format!("{name} cannot lie in two positions at once"),
                    "ask for one of them".into(),
                ));
            }
        }
    }
    forbidden(design, &positions)?;
    Ok(positions)
}

fn one(design: &Design, name: &str, word: &str) -> Result<Vec<(Decider, Position)>, Failure> {
    let document = &design.document;
    let position = Position::from_word(word);
    let all = |bars: Vec<BarId>| match position {
        Some(p) => Ok(bars.into_iter().map(|b| (Decider::Bar(b), p)).collect()),
        None => Err(wrong(
            format!("{name} has no position `{word}`"),
            "its positions are normal and reverse".into(),
        )),
    };
    if let Some(turnout) = document.turnouts.iter().position(|t| *t.name == name) {
        return turnout_position(design, TurnoutId(turnout), word);
    }
    if let Some(bar) = document.bars.iter().position(|b| b.name == name) {
        return all(vec![BarId(bar)]);
    }
    if let Some(control) = document.controls.iter().find(|c| *c.name == name) {
        return all(control.throws.iter().map(|t| t.value).collect());
    }
    let zone = |d: &Changeover| match d.feeds {
        Feeds::Zone(pole) => design.rails[pole.zone].name == name,
        Feeds::Frogs(_) => false,
    };
    if let (Some(changeover), Some(p)) = (design.plan.changeovers.iter().find(|c| zone(c)), position) {
        return Ok(vec![(changeover.decider, p)]);
    }
    let names = document
        .turnouts
        .iter()
        .map(|t| t.name.as_str())
        .chain(document.bars.iter().map(|b| b.name.as_str()))
        .chain(document.controls.iter().map(|c| c.name.as_str()));
    let help = match near::nearest(name, names) {
        Some(near) => format!("did you mean {near}?"),
        None => "name a turnout, a tie bar such as T5.left, a control or a reversing section".into(),
    };
    Err(wrong(format!("there is no turnout `{name}` in this layout"), help))
}

fn turnout_position(design: &Design, id: TurnoutId, word: &str) -> Result<Vec<(Decider, Position)>, Failure> {
    let spec = &design.document[id];
    let formation = Formation::of(spec);
    let Some((setting, road)) = formation.asked(word) else {
        let positions = formation.askable();
        return Err(wrong(
            format!("{} has no position `{word}`", *spec.name),
            format!("its positions are {}", near::list(positions.iter().map(String::as_str), "and")),
        ));
    };
    let bars = design.document.bars_of(id).map(Decider::Bar);
    let mut wanted: Vec<(Decider, Position)> = bars.zip(setting).collect();
    let Some(road) = road else { return Ok(wanted) };
    let foreign = |c: &&Changeover| c.foreign_to(&design.document, &design.rails) == Some(id);
    for changeover in design.plan.changeovers.iter().filter(foreign) {
        let position = Position::ALL.into_iter().find(|p| changeover.roads[*p as usize].contains(&road));
        wanted.extend(position.map(|p| (changeover.decider, p)));
    }
    Ok(wanted)
}

/// Whether some turnout would lie so that no train may use it.
fn forbidden(design: &Design, positions: &Positions) -> Result<(), Failure> {
    let reverse = |b: &BarId| positions.get(&Decider::Bar(*b)) == Some(&Position::Reverse);
    for out in &design.document.exclusive {
        let set: Vec<&str> =
            out.settings.iter().filter(|s| s.bars.iter().any(reverse)).map(|s| s.name.as_str()).collect();
        if set.len() > 1 {
            return Err(wrong(
                format!("{} must never be set together: {}", set.join(" and "), out.reason),
                format!("ask for one of them; the others of {} lie normal", *out.of),
            ));
        }
    }
    for (i, spec) in design.document.turnouts.iter().enumerate() {
        let bars: Vec<BarId> = design.document.bars_of(TurnoutId(i)).collect();
        let at = |b: &BarId| positions.get(&Decider::Bar(*b)).copied().unwrap_or(Position::Normal);
        let setting: Vec<Position> = bars.iter().map(at).collect();
        let formation = Formation::of(spec);
        if let Some(reason) = formation.why_forbidden(&setting) {
            let words: Vec<String> = bars
                .iter()
                .zip(&setting)
                .map(|(b, p)| format!("{} {}", design.document[*b].name, p.word()))
                .collect();
            let roads: Vec<String> = formation.roads().iter().map(|r| r.name()).collect();
            return Err(wrong(
                format!("{} must never be set: {reason}", words.join(" with ")),
                format!("ask for one of the roads of {}: {}", *spec.name, roads.join(", ")),
            ));
        }
    }
    Ok(())
}

fn wrong(message: String, help: String) -> Failure {
    Failure::new(message).help(help)
}
