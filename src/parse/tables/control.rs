//! `[control]`: what the operator touches.

use std::collections::BTreeMap;

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{BarId, Control, TurnoutKind};
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

/// Reports turnouts that two controls throw.
pub fn rivals(tables: &[Table<'_>], throws: &[Option<Vec<At<BarId>>>], found: &mut Found) {
    let mut thrown: BTreeMap<BarId, (&str, Span)> = BTreeMap::new();
    for (table, throws) in tables.iter().zip(throws) {
        let name = table.name.value.as_str();
        for turnout in throws.iter().flatten() {
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
