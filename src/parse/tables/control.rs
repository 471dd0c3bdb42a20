//! `[control]`: what the operator touches.

use std::collections::BTreeMap;

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{Control, TurnoutId};
use crate::parse::reader::{Found, Table};
use crate::source::{At, Span};

pub fn control(table: &Table<'_>, turnouts: &Names, found: &mut Found) -> Option<Control> {
    let throws = throws(table, turnouts, found);
    let with = table.word("with", found);
    Some(Control { name: table.name.clone(), throws: throws?, with: with?, span: table.name.span })
}

fn throws(table: &Table<'_>, turnouts: &Names, found: &mut Found) -> Option<Vec<At<TurnoutId>>> {
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
pub fn rivals(controls: &[Option<Control>], found: &mut Found) {
    let mut thrown: BTreeMap<TurnoutId, (&Control, Span)> = BTreeMap::new();
    for control in controls.iter().flatten() {
        for turnout in &control.throws {
            let Some((first, span)) = thrown.insert(turnout.value, (control, turnout.span)) else { continue };
            let (a, b) = (&first.name.value, &control.name.value);
            found.push(
                Diagnostic::error("thrown-twice", format!("controls `{a}` and `{b}` throw the same turnout"))
                    .label(turnout.span, format!("`{b}` throws it"))
                    .label(span, format!("`{a}` throws it already"))
                    .help("a turnout has one control; to throw several together, list them under one"),
            );
        }
    }
}
