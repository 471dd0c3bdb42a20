//! `[control]`: what the operator touches.

use std::collections::BTreeMap;

use crate::diag::Diagnostic;
use crate::parse::bind::{Names, first_bar};
use crate::parse::document::{BarId, Control, Exclusive, TurnoutKind};
use crate::parse::reader::{Found, Table};
use crate::source::{At, Span};

pub fn control(table: &Table<'_>, throws: Option<Vec<At<BarId>>>, found: &mut Found) -> Option<Control> {
    let with = table.word("with", found);
    Some(Control { name: table.name.clone(), throws: throws?, with: with?, span: table.name.span })
}

/// The tie bars it throws. `kinds` is by turnout, and so is whether both bars are thrown at once.
pub fn throws(
    table: &Table<'_>,
    turnouts: &Names,
    kinds: &[Option<TurnoutKind>],
    together: &[bool],
    found: &mut Found,
) -> Option<Vec<At<BarId>>> {
    let names = table.names("throws", found)?;
    let mut bound: Vec<At<BarId>> = Vec::new();
    let mut right = true;
    for name in names {
        let Some(bars) = turnouts.bars(&name, kinds, together, found) else {
            right = false;
            continue;
        };
        for bar in bars {
            if let Some(first) = bound.iter().find(|t| t.value == bar) {
                found.push(
                    Diagnostic::error(
                        "thrown-twice",
                        format!("{} names turnout `{}` twice", table.what, name.value),
                    )
                    .label(name.span, "again here")
                    .label(first.span, "first here")
                    .help("leave one of them out"),
                );
                right = false;
                continue;
            }
            bound.push(At::new(bar, name.span));
        }
    }
    right.then_some(bound)
}

/// A control by its name, and what it throws.
pub type Lever<'a> = (&'a str, &'a [At<BarId>]);

/// Reports turnouts that two controls throw.
pub fn rivals(levers: &[Lever<'_>], found: &mut Found) {
    let mut thrown: BTreeMap<BarId, (&str, Span)> = BTreeMap::new();
    for (name, throws) in levers {
        for turnout in *throws {
            let Some((first, span)) = thrown.insert(turnout.value, (name, turnout.span)) else { continue };
            found.push(
                Diagnostic::error(
                    "thrown-twice",
                    format!("controls `{first}` and `{name}` throw the same turnout"),
                )
                .label(turnout.span, format!("`{name}` throws it"))
                .label(span, format!("`{first}` throws it already"))
                .help("a turnout has one control; to throw several together, list them under one"),
            );
        }
    }
}

/// Reports controls that set together what must not be set together: both tie bars of a three-way
/// turnout, or settings that exclude each other.
pub fn forbidden(
    levers: &[Lever<'_>],
    turnouts: &Names,
    kinds: &[Option<TurnoutKind>],
    exclusive: &[Exclusive],
    found: &mut Found,
) {
    for (name, throws) in levers {
        for (place, kind) in kinds.iter().enumerate().filter(|(_, k)| **k == Some(TurnoutKind::ThreeWay)) {
            let first = first_bar(kinds, place);
            let of = |bar: usize| throws.iter().find(|t| t.value == BarId(bar));
            let (Some(left), Some(right)) = (of(first), of(first + 1)) else { continue };
            let three_way = turnouts.name(place);
            let bars: Vec<_> =
                kind.iter().flat_map(|k| k.bars()).map(|b| format!("\"{three_way}.{b}\"")).collect();
            found.push(
                Diagnostic::error(
                    "thrown-together",
                    format!("control `{name}` throws both tie bars of the three-way `{three_way}` at once"),
                )
                .label(right.span, "with both reverse, a train derails")
                .label(left.span, "the other one")
                .help(format!("give each a control of its own: throws = {}", bars.join(" and throws = "))),
            );
        }
        for out in exclusive {
            let mut set = out
                .settings
                .iter()
                .filter_map(|s| Some((s, throws.iter().find(|t| s.bars.contains(&t.value))?)));
            let (Some((one, first)), Some((other, second))) = (set.next(), set.next()) else { continue };
            found.push(
                Diagnostic::error(
                    "thrown-together",
                    format!("control `{name}` sets `{}` and `{}` at once", one.name, other.name),
                )
                .label(second.span, out.reason)
                .label(first.span, format!("throws `{}`", one.name))
                .help(format!(
                    "give each a control of its own: throws = \"{}\" and throws = \"{}\"",
                    one.name, other.name
                )),
            );
        }
    }
}
