//! `[control]`: what the operator touches.

use std::collections::BTreeMap;

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{Control, TurnoutId};
use crate::parse::reader::{Found, Table};
use crate::source::{At, Span};

pub fn control(table: &Table<'_>, throws: Option<Vec<At<TurnoutId>>>, found: &mut Found) -> Option<Control> {
    let with = table.word("with", found);
    Some(Control { name: table.name.clone(), throws: throws?, with: with?, span: table.name.span })
}

/// The turnouts it throws.
pub fn throws(table: &Table<'_>, turnouts: &Names, found: &mut Found) -> Option<Vec<At<TurnoutId>>> {
    let names = table.names("throws", found)?;
    let mut bound: Vec<At<TurnoutId>> = Vec::new();
    let mut right = true;
    for name in names {
        let Some(id) = turnouts.bind(&name, found).map(|at| At::new(TurnoutId(at.value), at.span)) else {
            right = false;
            continue;
        };
        if let Some(first) = bound.iter().find(|t| t.value == id.value) {
            found.push(
                Diagnostic::error(
                    "thrown-twice",
                    format!("{} names turnout `{}` twice", table.what, name.value),
                )
                .label(id.span, "again here")
                .label(first.span, "first here")
                .help("leave one of them out"),
            );
            right = false;
            continue;
        }
        bound.push(id);
    }
    right.then_some(bound)
}

/// Reports turnouts that two controls throw.
pub fn rivals(tables: &[Table<'_>], throws: &[Option<Vec<At<TurnoutId>>>], found: &mut Found) {
    let mut thrown: BTreeMap<TurnoutId, (&str, Span)> = BTreeMap::new();
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
