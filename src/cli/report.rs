//! What the terminal shows: results, findings, failures.

use std::fmt::Display;
use std::io::Write;

use annotate_snippets::{Level, Renderer};
use anstream::{AutoStream, ColorChoice};

use super::{Colouring, Outcome};
use crate::diag::{self, Diagnostic, Severity};
use crate::source::SourceFile;

/// Why a command cannot be carried out, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failure {
    pub message: String,
    pub help: Option<String>,
}

impl Failure {
    pub fn new(message: impl Into<String>) -> Failure {
        Failure { message: message.into(), help: None }
    }

    pub fn help(mut self, help: impl Into<String>) -> Failure {
        self.help = Some(help.into());
        self
    }
}

pub struct Terminal {
    colour: bool,
}

impl Terminal {
    pub fn new(colouring: Colouring) -> Terminal {
        let colour = match colouring {
            Colouring::Always => true,
            Colouring::Never => false,
            Colouring::Auto => AutoStream::choice(&std::io::stderr()) != ColorChoice::Never,
        };
        Terminal { colour }
    }

    /// Findings with the lines they speak of, then how many there are.
    pub fn findings(&self, findings: &[Diagnostic], source: &SourceFile) {
        if findings.is_empty() {
            return;
        }
        self.complain(&diag::render_all(findings, source, self.colour));
        self.complain(&format!("\n{}", count(findings)));
    }

    /// A result. A reader that has gone away (`| head`) is no failure.
    pub fn result(&self, text: impl Display) {
        let _ = writeln!(std::io::stdout(), "{text}");
    }

    /// A line that belongs to the findings.
    pub fn remark(&self, text: &str) {
        self.complain(text);
    }

    /// A result that ends as it is.
    pub fn raw_result(&self, text: &str) {
        let _ = std::io::stdout().write_all(text.as_bytes());
    }

    pub fn fail(&self, failure: &Failure) -> Outcome {
        let renderer = if self.colour { Renderer::styled() } else { Renderer::plain() };
        let render = |level: Level<'static>, text: &str| {
            // Titles are one line; a list of files below them is printed as it is.
            let (first, rest) =
                text.split_once('\n').map_or((text, None), |(first, rest)| (first, Some(rest)));
            let group = annotate_snippets::Group::with_title(level.primary_title(first));
            let mut lines = renderer.render(&[group]);
            if let Some(rest) = rest {
                lines.push('\n');
                lines.push_str(rest);
            }
            lines
        };
        self.complain(&render(Level::ERROR, &failure.message));
        if let Some(help) = &failure.help {
            self.complain(&render(Level::HELP, help));
        }
        Outcome::Unusable
    }

    fn complain(&self, text: &str) {
        let _ = writeln!(std::io::stderr(), "{text}");
    }
}

/// "2 errors, 1 warning"
fn count(findings: &[Diagnostic]) -> String {
    let counts = [(Severity::Error, "error"), (Severity::Warning, "warning"), (Severity::Note, "note")];
    let words: Vec<String> = counts
        .into_iter()
        .map(|(severity, word)| (findings.iter().filter(|d| d.severity == severity).count(), word))
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| plural(n, word))
        .collect();
    words.join(", ")
}

/// "1 file", "2 files"
pub fn plural(n: usize, word: &str) -> String {
    if n == 1 { format!("1 {word}") } else { format!("{n} {word}s") }
}
