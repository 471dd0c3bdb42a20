//! Text that is not TOML, told to people who have never heard of it.
//!
//! The parser mends as it goes, so one slip can echo: a bracket left open swallows the tables after
//! it. What is most probably an echo is left out; it shows soon enough once the slip is mended.

use toml::de::{DeTable, DeValue};

use super::reader::Found;
use crate::diag::Diagnostic;
use crate::source::Span;

/// What the parser stumbled over.
#[derive(Clone, Copy, PartialEq)]
enum Slip {
    Unquoted,
    OpenQuote,
    BadCharacter,
    Backslash,
    Twice,
    NoValue,
    OpenHeader,
    OpenBracket,
    NoComma,
    Trailing,
    BadKey,
    EmptyKey,
    Boolean,
    LoneReturn,
    TooDeep,
    Other,
}

/// The parser's messages begin with these words.
const SLIPS: &[(&str, Slip)] = &[
    ("string values must be quoted", Slip::Unquoted),
    ("invalid basic string, expected `\"`", Slip::OpenQuote),
    ("invalid literal string, expected `'`", Slip::OpenQuote),
    ("invalid multi-line basic string, expected `\"`", Slip::OpenQuote),
    ("invalid multi-line literal string, expected `'`", Slip::OpenQuote),
    ("invalid basic string", Slip::BadCharacter),
    ("invalid literal string", Slip::BadCharacter),
    ("missing escaped value", Slip::Backslash),
    ("duplicate key", Slip::Twice),
    ("key with no value", Slip::NoValue),
    ("unclosed table", Slip::OpenHeader),
    ("unclosed array table", Slip::OpenHeader),
    ("unclosed", Slip::OpenBracket),
    ("missing comma", Slip::NoComma),
    ("unexpected key or value", Slip::Trailing),
    ("invalid unquoted key", Slip::BadKey),
    ("unquoted keys cannot be empty", Slip::EmptyKey),
    ("invalid boolean", Slip::Boolean),
    ("carriage return", Slip::LoneReturn),
    ("recursion limit", Slip::TooDeep),
];

/// Findings that hold whatever the broken lines were meant to say: each is about one value alone.
const ABOUT_ONE_VALUE: &[&str] = &[
    "absurd-value",
    "missing-unit",
    "not-a-number",
    "not-supported-yet",
    "reserved-colour",
    "unknown-word",
    "unsafe-voltage",
    "wrong-form",
    "wrong-unit",
];

/// The parser's errors as diagnostics, and those of the findings that do not depend on what could
/// not be read.
pub fn explain(errors: &[toml::de::Error], tree: &DeTable<'_>, found: Found, text: &str) -> Found {
    let mut slips: Vec<(Slip, Span, &str)> = errors
        .iter()
        .map(|e| {
            let slip = SLIPS.iter().find(|(words, _)| e.message().starts_with(words)).map(|(_, slip)| *slip);
            let span = Span::from(e.span().unwrap_or_default());
            let span = inside(span, text);
            let word = text.get(span.range()).unwrap_or_default().to_ascii_lowercase();
            let slip = match slip.unwrap_or(Slip::Other) {
                // Any text that begins like true or false.
                Slip::Boolean if word != "true" && word != "false" => Slip::Unquoted,
                slip => slip,
            };
            (slip, span, e.message())
        })
        .collect();
    slips.sort_by_key(|(_, span, _)| *span);
    let open = leave_out_echoes(&mut slips, tree, text);

    let mut told: Found = Vec::new();
    let mut lines = Vec::new();
    let mut second_tables = Vec::new();
    for (slip, span, message) in slips {
        let line = line_of(span.start, text);
        let header = text[line.0..].trim_start().starts_with('[');
        // Everything in a table that is there twice is there twice.
        if slip == Slip::Twice && !header && second_tables.contains(&header_before(line.0, text)) {
            continue;
        }
        if slip == Slip::Twice && header {
            second_tables.push(line.0);
        }
        // The first slip of a line explains the rest of it.
        if lines.contains(&line) && slip != Slip::Unquoted {
            continue;
        }
        lines.push(line);
        let mut d = tell(slip, span, message, line, text);
        if open == Some(line.0)
            && let Some(help) = &mut d.help
        {
            help.push_str("; what follows could not be looked at and may hold more errors");
        }
        told.push(d);
    }
    told.extend(found.into_iter().filter(|d| {
        let Some(place) = d.labels.first().map(|l| l.span.start) else { return false };
        ABOUT_ONE_VALUE.contains(&d.code)
            && !lines.contains(&line_of(place, text))
            && open.is_none_or(|open| place < open)
    }));
    told
}

/// If a bracket stays open to the end of the file, everything after its line is an echo of it.
/// Returns where that line begins.
fn leave_out_echoes(slips: &mut Vec<(Slip, Span, &str)>, tree: &DeTable<'_>, text: &str) -> Option<usize> {
    let end = slips.iter().find(|(slip, ..)| *slip == Slip::OpenBracket)?.1.end;
    let mut open = Vec::new();
    brackets(tree, end, text, &mut open);
    let Some(outermost) = open.iter().min().copied() else {
        // The parser gives up at a key without a value, so the tree has no bracket after it.
        let given_up = slips.iter().find(|(slip, ..)| *slip == Slip::NoValue)?.1;
        slips.retain(|(_, span, _)| *span <= given_up);
        return Some(line_of(given_up.start, text).0);
    };
    let line = line_of(outermost, text);
    let innermost = open.into_iter().filter(|at| line_of(*at, text) == line).max().unwrap_or(outermost);
    slips.retain(|(slip, span, _)| {
        let here = line_of(span.start, text);
        here.0 < line.0 || (here == line && matches!(slip, Slip::OpenQuote | Slip::Unquoted))
    });
    // A quote left open on the line hides the bracket that closes it.
    if slips.iter().all(|(_, span, _)| line_of(span.start, text) != line) {
        slips.push((Slip::OpenBracket, Span { start: innermost, end: innermost + 1 }, ""));
    }
    Some(line.0)
}

/// Where lists and inline tables begin that end at `end`, by the parser's mending.
fn brackets(table: &DeTable<'_>, end: usize, text: &str, open: &mut Vec<usize>) {
    let mut values: Vec<_> = table.values().collect();
    while let Some(value) = values.pop() {
        let span = value.span();
        if span.end == end && text.get(span.clone()).is_some_and(|t| t.starts_with(['[', '{'])) {
            open.push(span.start);
        }
        match value.get_ref() {
            DeValue::Array(list) => values.extend(list.iter()),
            DeValue::Table(table) => values.extend(table.values()),
            _ => {}
        }
    }
}

fn tell(slip: Slip, span: Span, message: &str, line: (usize, usize), text: &str) -> Diagnostic {
    let word = text.get(span.range()).unwrap_or_default();
    let syntax = |message: String, label: &str| Diagnostic::error("syntax", message).label(span, label);
    if let Some((date, (message, label))) = date_at(span.start, line, text) {
        let label_span = Span { start: date, end: date + "2026-05-02".len() };
        return Diagnostic::error("syntax", format!("a date {message}"))
            .label(label_span, label)
            .help("write year, month and day, such as 2026-05-02");
    }
    match slip {
        Slip::Unquoted if word.is_empty() => {
            syntax("a value is missing after `=`".into(), "nothing here").help("write a value, or delete the line")
        }
        Slip::Unquoted => {
            let d = syntax(format!("`{}` stands without quotes", word.escape_debug()), "a text needs quotes");
            let bare = word.trim_matches(['“', '”', '„', '‘', '’', '"', '\'']);
            if bare.is_empty() || bare.contains(['"', '\\']) {
                d.help("put straight quotes round it: \"…\"")
            } else {
                d.help("put straight quotes round it").replacement(format!("\"{bare}\""))
            }
        }
        Slip::OpenQuote => syntax("a text has no closing quote".into(), "the line ends, the text does not")
            .help("close it with the kind of quote it begins with"),
        Slip::BadCharacter => syntax("a text has a character in it that cannot be printed".into(), "here")
            .help("type the text anew"),
        Slip::Backslash => syntax("a backslash in a text has a meaning of its own".into(), "after a backslash")
            .help("write it twice, as in \"a\\\\b\", if you mean a backslash"),
        Slip::Twice => twice(span, word, line, text),
        Slip::NoValue => syntax("a key has no value".into(), "`=` and a value are missing")
            .help("write `key = value`, one to a line"),
        Slip::OpenHeader => syntax("the header of a table is not closed".into(), "`]` should stand here")
            .help("close it with `]`; a name with blanks in it stands in quotes, as in [control.\"yard 1\"]"),
        Slip::OpenBracket => {
            let close = if word == "{" { "}" } else { "]" };
            syntax(format!("a `{word}` is never closed"), "opened here").help(format!("close it with `{close}`"))
        }
        Slip::NoComma => {
            syntax("a comma or a closing bracket is missing".into(), "before this").help("put commas between entries")
        }
        Slip::Trailing => syntax("the line should end here".into(), "too much").help(
            "write one `key = value` to a line; in numbers use a point, not a comma; after a text with a unit \
             close the quotes",
        ),
        Slip::BadKey => syntax("a key has a character in it that needs quotes".into(), "this one").help(
            "keys are letters a to z, figures, `-` and `_`, then `=`; a name with anything else stands in quotes",
        ),
        Slip::EmptyKey => syntax("a name is missing".into(), "before this").help("give the key or the table a name"),
        Slip::Boolean => syntax(format!("`{word}` must be in small letters"), "true or false")
            .help("write")
            .replacement(word.to_ascii_lowercase()),
        Slip::LoneReturn => syntax("a line does not end as lines do".into(), "a lone carriage return")
            .help("save the file with ordinary line endings"),
        Slip::TooDeep => syntax("brackets within brackets, too many of them".into(), "here")
            .help("a layout file needs three at most"),
        Slip::Other => syntax("this cannot be read".into(), message)
            .help("numbers with units, texts and names all stand in quotes; only dates, counts, true and false do not"),
    }
}

/// Where a date without quotes that is in no calendar begins, round this byte of a line, and what is
/// wrong with it.
fn date_at(at: usize, line: (usize, usize), text: &str) -> Option<(usize, (&'static str, String))> {
    let in_date = |c: char| c.is_ascii_digit() || c == '-';
    let before = text.get(line.0..at)?;
    let start = line.0 + before.trim_end_matches(in_date).len();
    let rest = text.get(start..line.1)?;
    let token = &rest[..rest.find(|c| !in_date(c)).unwrap_or(rest.len())];
    // Only a value, no text that happens to look like one.
    let is_value = text[line.0..start].trim_end().ends_with('=');
    super::value::no_such_day(token).filter(|_| is_value).map(|wrong| (start, wrong))
}

/// The place where the same key or header stands before. The parser does not tell, so the lines
/// before it are searched.
fn twice(span: Span, word: &str, line: (usize, usize), text: &str) -> Diagnostic {
    let d = Diagnostic::error("syntax", format!("`{}` is there twice", word.escape_debug()))
        .label(span, "again here")
        .help("a name or a key can stand once only; rename or delete one of the two");
    let this = &text[line.0..line.1];
    let starts = |part: &str| {
        let part = part.trim_start();
        part.strip_prefix(word).is_some_and(|rest| rest.trim_start().starts_with('='))
    };
    let before = || {
        text[..line.0].split_inclusive('\n').rev().scan(line.0, |at, l| {
            *at -= l.len();
            Some((*at, l))
        })
    };
    let header = this.trim_start().starts_with('[');
    let first = if header {
        let head = |l: &str| l.split_once(']').map(|(head, _)| head.trim().to_string());
        before()
            .find(|(_, l)| l.trim_start().starts_with('[') && head(l) == head(this))
            .or_else(|| before().find(|(_, l)| starts(l)))
    } else if let Some(open) = this[..span.start - line.0].rfind('{') {
        // Inside an inline table: on the same line.
        let mut at = line.0 + open + 1;
        this[open + 1..].split_inclusive(',').find_map(|part| {
            let place = at;
            at += part.len();
            starts(part).then_some((place, part))
        })
    } else {
        let parent = &text[header_before(line.0, text)..];
        let parent = parent.strip_prefix('[').and_then(|p| p.split_once(']')).map_or("", |(name, _)| name);
        let own_header = format!("[{parent}.{word}]");
        before()
            .take_while(|(_, l)| !l.trim_start().starts_with('['))
            .find(|(_, l)| starts(l))
            .or_else(|| before().find(|(_, l)| l.starts_with(&own_header)))
    };
    match first.and_then(|(at, l)| {
        l.rfind(word).filter(|_| l.starts_with('[')).or_else(|| l.find(word)).map(|offset| at + offset)
    }) {
        Some(start) if start != span.start => d.label(Span { start, end: start + word.len() }, "first here"),
        _ => d,
    }
}

/// Beginning and end of the line that holds this byte; the end is before its line break.
fn line_of(at: usize, text: &str) -> (usize, usize) {
    let start = text[..at].rfind('\n').map_or(0, |n| n + 1);
    let end = text[at..].find('\n').map_or(text.len(), |n| at + n);
    (start, end)
}

/// Where the last line before `at` begins that is a header; 0 if there is none.
fn header_before(at: usize, text: &str) -> usize {
    let mut start = at;
    for line in text[..at].split_inclusive('\n').rev() {
        start -= line.len();
        if line.trim_start().starts_with('[') {
            return start;
        }
    }
    0
}

/// The span, moved so that it lies between characters of the text.
fn inside(span: Span, text: &str) -> Span {
    let floor = |at: usize| (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let start = floor(span.start);
    Span { start, end: floor(span.end).max(start) }
}
