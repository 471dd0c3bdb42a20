//! The reading of whole files.

mod checks;
mod compose;
mod formations;
mod messages;
mod robust;
mod text;

use super::{Document, STARTER, parse};
use crate::diag::{Diagnostic, render_all};
use crate::source::SourceFile;

fn read(text: &str) -> (Option<Document>, Vec<Diagnostic>) {
    parse(&SourceFile::new("layout.toml", text))
}

/// The starter file with some of its text replaced.
fn starter_with(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(STARTER.to_string(), |text, (old, new)| {
        assert!(text.contains(old), "the starter has no `{old}`");
        text.replacen(old, new, 1)
    })
}

/// What the terminal shows for the changed starter.
fn shown(changes: &[(&str, &str)]) -> String {
    let source = SourceFile::new("layout.toml", starter_with(changes));
    render_all(&parse(&source).1, &source, false)
}

/// The codes found in the changed starter.
fn codes(changes: &[(&str, &str)]) -> Vec<&'static str> {
    read(&starter_with(changes)).1.iter().map(|d| d.code).collect()
}
