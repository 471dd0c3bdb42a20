//! Whatever is in the file: an answer, never a panic.

use proptest::prelude::*;
use underboard::book::{BookOptions, book};
use underboard::source::SourceFile;

/// The library's part of `build`.
fn work_out(text: &str) -> bool {
    let (design, findings) = underboard::design(&SourceFile::new("layout.toml", text));
    let Some(design) = design else {
        assert!(!findings.is_empty(), "a file that cannot be used is complained about");
        return false;
    };
    let files = book(&design, &BookOptions { draft: true, png: None });
    files.unwrap_or_else(|error| panic!("{error}")).len() > 10
}

const EXAMPLES: [&str; 4] = [
    include_str!("../../examples/single-turnout/layout.toml"),
    include_str!("../../examples/quarry-tramway/layout.toml"),
    include_str!("../../examples/branch-terminus/layout.toml"),
    include_str!("../../examples/dockside-yard/layout.toml"),
];

/// Words of the layout file, each of which may stand where another is expected.
const WORDS: [&[&str]; 7] = [
    &["left", "right", "wye"],
    &["live", "insulated", "isolated-with-wire"],
    &["momentary toggle", "push buttons", "studs and probe", "maintained toggle", "accessory decoder output"],
    &["16 V AC", "12 V DC", "5 V DC", "24 V AC"],
    &["dcc", "dc"],
    &["discharge unit", "supply"],
    &["contact", "microswitch", "relay"],
];

/// Replaces one of the words in quotes by a word of its kind.
fn exchange(text: &str, at: usize, to: usize) -> String {
    let spots: Vec<(usize, &str, &[&str])> = WORDS
        .iter()
        .flat_map(|kind| kind.iter().map(move |word| (*kind, *word)))
        .flat_map(|(kind, word)| {
            let found = text.match_indices(word).map(move |(i, w)| (i, w, kind));
            found.filter(|(i, w, _)| text.get(i + w.len()..).is_some_and(|rest| rest.starts_with(['"', '.'])))
        })
        .collect();
    let Some((i, word, kind)) = spots.get(at % spots.len().max(1)).copied() else { return text.to_owned() };
    format!("{}{}{}", &text[..i], kind[to % kind.len()], &text[i + word.len()..])
}

proptest! {
    #[test]
    fn arbitrary_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        work_out(&String::from_utf8_lossy(&bytes));
    }
}

proptest! {
    // Every case makes a whole book.
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_layout_with_lines_missing(example in 0..EXAMPLES.len(), gone in proptest::collection::vec(any::<usize>(), 1..4)) {
        let mut lines: Vec<&str> = EXAMPLES[example].lines().collect();
        for at in gone {
            lines.remove(at % lines.len());
        }
        work_out(&lines.join("\n"));
    }

    #[test]
    fn a_layout_with_words_exchanged(
        example in 0..EXAMPLES.len(),
        exchanges in proptest::collection::vec((any::<usize>(), any::<usize>()), 1..5),
    ) {
        let mut text = EXAMPLES[example].to_owned();
        for (at, to) in exchanges {
            text = exchange(&text, at, to);
        }
        work_out(&text);
    }
}

#[test]
fn the_examples_make_a_book() {
    for text in EXAMPLES {
        assert!(work_out(text));
    }
}
