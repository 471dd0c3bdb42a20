//! Lists of designations.

/// "M12" as ("M", 12).
pub fn split(name: &str) -> Option<(String, u64)> {
    let letters = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let number = name[letters.len()..].parse().ok();
    number.map(|n| (letters.to_owned(), n))
}

/// "S1, S3"; a run of numbers as "J1 to J8".
pub fn designation_list(names: &[String]) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut i = 0;
    while i < names.len() {
        let mut end = i;
        while let (Some(here), Some(next)) = (split(&names[end]), names.get(end + 1).and_then(|n| split(n)))
            && here.0 == next.0
            && here.1.checked_add(1) == Some(next.1)
        {
            end += 1;
        }
        if end >= i + 2 {
            parts.push(format!("{} to {}", names[i], names[end]));
        } else {
            parts.extend(names[i..=end].iter().cloned());
        }
        i = end + 1;
    }
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_three_and_more_are_shortened() {
        let names = ["J1", "J2", "J3", "S1", "S2", "points", "M9", "N10"].map(String::from);
        assert_eq!(designation_list(&names), "J1 to J3, S1, S2, points, M9, N10");
        assert_eq!(designation_list(&[]), "");
    }
}
