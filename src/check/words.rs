//! Lists in words.

/// "a", "a and b", "a, b and c".
pub(super) fn list<T: AsRef<str>>(items: impl IntoIterator<Item = T>) -> String {
    let items: Vec<T> = items.into_iter().collect();
    match items.split_last() {
        None => String::new(),
        Some((last, [])) => last.as_ref().to_owned(),
        Some((last, rest)) => {
            let rest: Vec<&str> = rest.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", rest.join(", "), last.as_ref())
        }
    }
}

/// "wire 12", "wires 12, 13 and 15".
pub(super) fn wires(numbers: &[String]) -> String {
    format!("{} {}", if numbers.len() == 1 { "wire" } else { "wires" }, list(numbers))
}

/// "is" for one, "are" for more.
pub(super) fn is(count: usize) -> &'static str {
    if count == 1 { "is" } else { "are" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_spoken() {
        let of = |n: usize| list(["a", "b", "c"].into_iter().take(n));
        assert_eq!([0, 1, 2, 3].map(of), ["", "a", "a and b", "a, b and c"]);
    }
}
