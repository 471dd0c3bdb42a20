//! "Did you mean": the one legal word that is close to what was written.

/// The legal word nearest to the written one, if it is near enough to be a slip of the finger and
/// no other word is just as near. Case, blanks, hyphens and underscores do not count as differences.
pub fn nearest<'a>(written: &str, legal: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let written = fold(written);
    // Longer texts are no slip of the finger, and the comparison costs the product of the lengths.
    if written.chars().count() > 60 {
        return None;
    }
    let mut best: Option<(usize, &str)> = None;
    let mut tie = false;
    for word in legal {
        let distance = strsim::damerau_levenshtein(&fold(word), &written);
        if distance > 1 + word.chars().count() / 4 {
            continue;
        }
        match best {
            Some((d, _)) if d < distance => {}
            Some((d, _)) if d == distance => tie = true,
            _ => {
                best = Some((distance, word));
                tie = false;
            }
        }
    }
    best.filter(|_| !tie).map(|(_, word)| word)
}

/// As [`nearest`]; failing that, the one legal word that begins as the written one does: "left" for
/// "lefthand", "insulated" for "insul". Of several that the written one begins with, the longest.
pub fn nearest_word<'a>(written: &str, legal: impl IntoIterator<Item = &'a str> + Clone) -> Option<&'a str> {
    if let Some(near) = nearest(written, legal.clone()) {
        return Some(near);
    }
    let written = fold(written);
    // Two letters begin too many words.
    let begins = |whole: &str, part: &str| part.chars().count() >= 3 && whole.starts_with(part);
    let longer = legal.clone().into_iter().filter(|word| begins(&written, &fold(word)));
    longer.max_by_key(|word| word.len()).or_else(|| {
        let mut shorter = legal.into_iter().filter(|word| begins(&fold(word), &written));
        shorter.next().filter(|_| shorter.next().is_none())
    })
}

fn fold(text: &str) -> String {
    text.to_lowercase().replace([' ', '_', '-'], "")
}

/// `a`, `b` and `c`, for a sentence.
pub fn list<'a>(words: impl IntoIterator<Item = &'a str>, joint: &str) -> String {
    let words: Vec<String> = words.into_iter().map(|w| format!("`{w}`")).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [head @ .., last] => format!("{} {joint} {last}", head.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_is_found_and_a_stranger_is_not() {
        let legal = ["length", "board", "droppers"];
        assert_eq!(nearest("lenght", legal), Some("length"));
        assert_eq!(nearest("Board", legal), Some("board"));
        assert_eq!(nearest("polarity", legal), None);
    }

    #[test]
    fn a_word_with_something_after_it_is_found() {
        let legal = ["left", "right", "wye"];
        assert_eq!(nearest_word("lefthand", legal), Some("left"));
        assert_eq!(nearest_word("Right-hand", legal), Some("right"));
        assert_eq!(nearest_word("wye turnout", legal), Some("wye"));
        assert_eq!(nearest_word("slowmotion", ["slow-motion", "servo"]), Some("slow-motion"));
        assert_eq!(nearest_word("insul", ["insulated", "isolated-with-wire"]), Some("insulated"));
        assert_eq!(nearest_word("m", ["momentary toggle", "maintained toggle"]), None);
        assert_eq!(nearest_word("lever", ["momentary toggle", "push buttons"]), None);
    }

    #[test]
    fn two_candidates_just_as_near_are_no_answer() {
        assert_eq!(nearest("T9", ["T1", "T2"]), None);
        assert_eq!(nearest("t1", ["T1", "T2"]), Some("T1"));
    }

    #[test]
    fn lists_read_as_a_sentence() {
        assert_eq!(list(["a", "b", "c"], "and"), "`a`, `b` and `c`");
        assert_eq!(list([], "or"), "");
    }
}
