//! "Did you mean": the one legal word that is close to what was written.

/// The legal word nearest to the written one, if it is near enough to be a slip of the finger and
/// no other word is just as near. Case, blanks and underscores do not count as differences.
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

fn fold(text: &str) -> String {
    text.to_lowercase().replace([' ', '_'], "-")
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
