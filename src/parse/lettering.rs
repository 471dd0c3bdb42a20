//! Which letters the printed font has. Names with others are read all the same, and printed with
//! boxes in them.
//!
//! The ranges are those of the font that is embedded for the sheets; a test holds them to it.

use crate::diag::Diagnostic;
use crate::source::At;

/// First and last character of each range that is printed: letters of the European scripts,
/// figures, punctuation, and the signs in common use.
const PRINTED: &[(char, char)] = &[
    // Figures, letters without accents.
    ('\u{0020}', '\u{007E}'),
    // Latin with accents.
    ('\u{00A0}', '\u{024F}'),
    // Accents that stand alone.
    ('\u{0300}', '\u{034F}'),
    // Greek.
    ('\u{0384}', '\u{038A}'),
    ('\u{038E}', '\u{03A1}'),
    ('\u{03A3}', '\u{03FF}'),
    // Cyrillic.
    ('\u{0400}', '\u{0525}'),
    // Latin with more accents.
    ('\u{1E00}', '\u{1EFB}'),
    // Greek of old.
    ('\u{1F00}', '\u{1F15}'),
    ('\u{1F18}', '\u{1F1D}'),
    ('\u{1F20}', '\u{1F45}'),
    ('\u{1F48}', '\u{1F4D}'),
    ('\u{1F50}', '\u{1F57}'),
    ('\u{1F5F}', '\u{1F7D}'),
    ('\u{1F80}', '\u{1FB4}'),
    ('\u{1FB6}', '\u{1FC4}'),
    ('\u{1FC6}', '\u{1FD3}'),
    ('\u{1FD6}', '\u{1FDB}'),
    // Dashes, quotes.
    ('\u{2010}', '\u{2027}'),
    ('\u{2030}', '\u{205E}'),
    // Figures above and below the line.
    ('\u{2070}', '\u{2071}'),
    ('\u{2074}', '\u{208E}'),
    // Currencies.
    ('\u{20A0}', '\u{20B5}'),
    // Signs like letters: №, ℃.
    ('\u{2100}', '\u{2109}'),
    ('\u{210B}', '\u{2149}'),
    // Fractions, Roman figures.
    ('\u{2150}', '\u{2185}'),
    // Arrows.
    ('\u{2190}', '\u{21FF}'),
    // Mathematics.
    ('\u{2200}', '\u{22FF}'),
    // Squares, circles, triangles.
    ('\u{25A0}', '\u{25FF}'),
    // Signs: ☎, ♿.
    ('\u{2600}', '\u{269C}'),
    ('\u{2701}', '\u{2704}'),
    ('\u{2706}', '\u{2709}'),
    // Ticks, crosses, stars.
    ('\u{270C}', '\u{2727}'),
];

fn is_printed(c: char) -> bool {
    PRINTED.iter().any(|(first, last)| (*first..=*last).contains(&c))
}

/// Warns of a text with characters that are not printed.
pub fn missing(text: &At<String>, subject: &str) -> Option<Diagnostic> {
    let mut lacking: Vec<char> = text.value.chars().filter(|c| !is_printed(*c)).collect();
    lacking.sort_unstable();
    lacking.dedup();
    let first = lacking.first()?.escape_debug().to_string();
    let more = if lacking.len() > 1 { format!(" and {} more", lacking.len() - 1) } else { String::new() };
    let message = format!("{subject} has characters in it that the printed font lacks: `{first}`{more}");
    Some(
        Diagnostic::warning("unprintable-name", message)
            .label(text.span, "printed as empty boxes")
            .help("use Latin, Greek or Cyrillic letters, figures and common signs"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::text::has_glyph;

    /// The embedded font itself is the reference.
    #[test]
    fn every_character_that_counts_as_printed_has_a_glyph() {
        for c in PRINTED.iter().flat_map(|(first, last)| *first..=*last) {
            assert!(has_glyph(c), "U+{:04X}", c as u32);
        }
    }

    #[test]
    fn scripts_of_europe_are_printed_and_others_are_not() {
        for c in "Weiche Übergang łódź Čáslav Ørsted Þingvellir Σταθμός Станція № 7 – ½ → Ω € „“ĳ".chars()
        {
            assert!(is_printed(c), "{c}");
        }
        for c in "駅역🚂ب\u{200b}".chars() {
            assert!(!is_printed(c), "U+{:04X}", c as u32);
        }
    }
}
