//! Diagnostics as the terminal shows them.

use annotate_snippets::{AnnotationKind, Group, Level, Patch, Renderer, Snippet};

use super::{Diagnostic, Severity};
use crate::source::{SourceFile, Span};

/// One diagnostic with the lines of the file it speaks of, and how to mend them. With `colour`,
/// ANSI sequences mark severity and places. No line ends in a blank; there is no newline at the end.
pub fn render(diagnostic: &Diagnostic, source: &SourceFile, colour: bool) -> String {
    let d = diagnostic;
    let level = match d.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let title = level.primary_title(&d.message).id(d.code);
    let mut groups = Vec::new();
    if d.labels.is_empty() {
        groups.push(Group::with_title(title));
    } else {
        let annotations = d.labels.iter().enumerate().map(|(i, label)| {
            let kind = if i == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
            kind.span(clamp(label.span, &source.text)).label(&label.text)
        });
        groups.push(
            title.element(Snippet::source(source.text.as_str()).path(&source.name).annotations(annotations)),
        );
    }
    match (&d.help, &d.replacement, d.labels.first()) {
        (help, Some(replacement), Some(label)) => {
            let help = help.as_deref().unwrap_or("write");
            let patch = Patch::new(clamp(label.span, &source.text), replacement.as_str());
            let snippet = Snippet::source(source.text.as_str()).path(&source.name).patch(patch);
            groups.push(Level::HELP.secondary_title(help).element(snippet));
        }
        (Some(help), _, _) => groups.push(Group::with_title(Level::HELP.secondary_title(help))),
        (None, _, _) => {}
    }
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let text = renderer.render(&groups);
    text.lines().map(str::trim_end).collect::<Vec<_>>().join("\n")
}

/// All of them, with an empty line between two.
pub fn render_all(diagnostics: &[Diagnostic], source: &SourceFile, colour: bool) -> String {
    diagnostics.iter().map(|d| render(d, source, colour)).collect::<Vec<_>>().join("\n\n")
}

/// A stretch that exists in the text and begins and ends between characters.
fn clamp(span: Span, text: &str) -> std::ops::Range<usize> {
    let floor = |at: usize| {
        let mut at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let start = floor(span.start);
    start..floor(span.end).max(start)
}
