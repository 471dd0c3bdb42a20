//! The one way numbers are written into drawings: hundredths of a millimetre, no needless digits.

/// Rounded to a hundredth; never minus zero. Not-a-number becomes zero, because no file format has
/// a word for it; a scene that holds one is at fault, which the debug build says.
pub fn rounded(v: f64) -> f64 {
    debug_assert!(v.is_finite(), "a scene holds finite numbers only");
    if !v.is_finite() {
        return 0.0;
    }
    let r = (v * 100.0).round() / 100.0;
    if r == 0.0 { 0.0 } else { r }
}

/// `2.5`, `-0.13`, `40`.
pub fn number(v: f64) -> String {
    rounded(v).to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        for (v, s) in
            [(0.1 + 0.2, "0.3"), (-0.0, "0"), (-0.001, "0"), (40.0, "40"), (-0.126, "-0.13"), (297.0, "297")]
        {
            assert_eq!(number(v), s);
        }
    }
}
