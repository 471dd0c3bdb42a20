//! No text makes the reader or the renderer fail.

use proptest::prelude::*;

use super::super::{STARTER, parse};
use crate::diag::{Severity, render_all};
use crate::source::SourceFile;

/// Reads and renders; a document exactly if there is no error; the order is that of the file.
fn holds(text: &str) {
    let source = SourceFile::new("layout.toml", text);
    let (document, found) = parse(&source);
    assert_eq!(document.is_some(), found.iter().all(|d| d.severity != Severity::Error));
    let places: Vec<_> = found.iter().map(|d| d.labels[0].span.start).collect();
    assert!(places.is_sorted());
    for colour in [false, true] {
        assert_eq!(render_all(&found, &source, colour).is_empty(), found.is_empty());
    }
}

/// Pieces that are likely to hurt.
const PIECES: &[&str] = &[
    "",
    "\"",
    "'",
    "\"\"\"",
    "[",
    "]",
    "{",
    "}",
    "=",
    ",",
    ".",
    "\\",
    "#",
    "\n",
    "\r\n",
    "\r",
    "\t",
    "\0",
    "µ",
    "“",
    "−1",
    "1e999 V",
    "nan",
    "-",
    "0",
    "350",
    "true",
    "[[",
    "]]",
    "[turnout]",
    "[track.T1]",
    "x = 1\n",
    "\"T1.toe\"",
    "\"T1.\"",
    "\".toe\"",
    "\" V AC\"",
    "\"AC\"",
    "\"ÄC\"",
    "99999999999999999999",
    "format = 1\n",
    "2026-05-02",
    "\u{feff}",
    "\u{202e}",
    "🚂",
];

#[test]
fn awkward_files_are_read() {
    for text in
        ["", "\n", "\r", "\u{feff}", "format", "format = 1", "[", "[[turnout]]", "turnout = 1", "a.b.c = 1"]
    {
        holds(text);
    }
    holds(&STARTER.replace('\n', "\r\n"));
    holds(&STARTER.replace(' ', "\t"));
    holds(&format!("x = {}1", "[".repeat(5000)));
    holds(&format!("\u{feff}{STARTER}"));
}

#[test]
fn a_file_from_another_system_reads_the_same() {
    for text in [STARTER.replace('\n', "\r\n"), format!("\u{feff}{STARTER}")] {
        assert!(parse(&SourceFile::new("layout.toml", text)).0.is_some());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn any_text_is_read(text in ".{0,200}") {
        holds(&text);
    }

    #[test]
    fn any_soup_of_pieces_is_read(pieces in proptest::collection::vec(proptest::sample::select(PIECES), 0..40)) {
        holds(&pieces.concat());
    }

    #[test]
    fn any_damaged_file_is_read(
        wounds in proptest::collection::vec(
            (any::<proptest::sample::Index>(), 0usize..12, proptest::sample::select(PIECES)),
            1..4,
        ),
    ) {
        let mut text: Vec<char> = STARTER.chars().collect();
        for (at, length, piece) in wounds {
            let at = at.index(text.len() + 1);
            let end = (at + length).min(text.len());
            text.splice(at..end, piece.chars());
        }
        holds(&text.iter().collect::<String>());
    }
}
