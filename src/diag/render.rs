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

#[cfg(test)]
mod tests {
    use insta::assert_snapshot;

    use super::*;

    fn span(start: usize, end: usize) -> Span {
        Span { start, end }
    }

    #[test]
    fn a_note_without_a_place_is_one_line() {
        let d = Diagnostic::note("spare-contact", "drive `coil` has a contact to spare");
        let text = render(&d, &SourceFile::new("a.toml", "x = 1\n"), false);
        assert_eq!(text, "note[spare-contact]: drive `coil` has a contact to spare");
    }

    #[test]
    fn labels_help_and_replacement_are_shown() {
        let source = SourceFile::new("a.toml", "x = 1\ny = 2\n");
        let d = Diagnostic::warning("odd", "two things")
            .label(span(10, 11), "this")
            .label(span(4, 5), "because of this")
            .help("write")
            .replacement("3");
        assert_snapshot!(render(&d, &source, false), @r"
        warning[odd]: two things
         --> a.toml:2:5
          |
        1 | x = 1
          |     - because of this
        2 | y = 2
          |     ^ this
          |
        help: write
          |
        2 - y = 2
        2 + y = 3
          |
        ");
    }

    #[test]
    fn tabs_and_other_line_endings_keep_the_marks_in_place() {
        let source = SourceFile::new("a.toml", "x = 1\r\n\ty = \"µ\"\r\n");
        let d = Diagnostic::error("odd", "wrong").label(span(12, 16), "this");
        assert_snapshot!(render(&d, &source, false), @r#"
        error[odd]: wrong
         --> a.toml:2:6
          |
        2 |     y = "µ"
          |         ^^^ this
        "#);
    }

    #[test]
    fn any_place_in_any_text_is_shown() {
        for text in ["", "\n", "\r\n", "x", "µ🚂", "a\r\nb\tc", "a\rb"] {
            let source = SourceFile::new("a.toml", text);
            for start in 0..=text.len() + 2 {
                for end in 0..=text.len() + 2 {
                    let d = Diagnostic::error("odd", "wrong")
                        .label(span(start, end), "this")
                        .label(span(end, start), "that")
                        .help("write")
                        .replacement("z");
                    assert!(render(&d, &source, false).starts_with("error[odd]: wrong\n"));
                }
            }
        }
    }

    #[test]
    fn colour_only_adds_escapes() {
        let source = SourceFile::new("a.toml", "x = 1\n");
        let d = Diagnostic::error("odd", "wrong").label(span(4, 5), "this");
        let colour = render(&d, &source, true);
        assert!(colour.contains("\u{1b}["));
        assert_eq!(anstream::adapter::strip_str(&colour).to_string(), render(&d, &source, false));
    }
}
