//! Diagnostics as data: what is wrong, where, and how to mend it. [`render`] turns them into what
//! the terminal shows; nothing else in the crate prints one.

mod render;

pub use render::{render, render_all};

use crate::source::Span;

/// How bad it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The design would not work, or the file cannot be used. No book without `--draft`.
    Error,
    /// It would work, but the builder should know.
    Warning,
    /// A fact worth a line.
    Note,
}

/// A place in the layout file with the words that belong beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    pub span: Span,
    pub text: String,
}

/// One finding or one error in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    pub severity: Severity,
    /// A stable short name in words of the trade: `unknown-key`, `rail-short`.
    pub code: &'static str,
    /// What is wrong, in one sentence.
    pub message: String,
    /// Where: the first label is the place to look at, the others explain it.
    pub labels: Vec<Label>,
    /// How to mend it.
    pub help: Option<String>,
    /// The text that would be right in place of the first label's.
    pub replacement: Option<String>,
}

impl Diagnostic {
    pub fn new(severity: Severity, code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic {
            severity,
            code,
            message: message.into(),
            labels: Vec::new(),
            help: None,
            replacement: None,
        }
    }

    pub fn error(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(Severity::Error, code, message)
    }

    pub fn warning(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(Severity::Warning, code, message)
    }

    pub fn note(code: &'static str, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(Severity::Note, code, message)
    }

    pub fn label(mut self, span: Span, text: impl Into<String>) -> Diagnostic {
        self.labels.push(Label { span, text: text.into() });
        self
    }

    pub fn help(mut self, text: impl Into<String>) -> Diagnostic {
        self.help = Some(text.into());
        self
    }

    pub fn replacement(mut self, text: impl Into<String>) -> Diagnostic {
        self.replacement = Some(text.into());
        self
    }
}

/// In file order, errors before warnings at the same place, so that output never depends on the
/// order in which rules ran.
pub fn sort(diagnostics: &mut [Diagnostic]) {
    diagnostics.sort_by(|a, b| {
        let key = |d: &Diagnostic| (d.labels.first().map_or(usize::MAX, |l| l.span.start), d.severity);
        key(a).cmp(&key(b)).then_with(|| a.code.cmp(b.code)).then_with(|| a.message.cmp(&b.message))
    });
}
