//! Prints a number with its unit, at most three significant digits unless a form says otherwise.

const PREFIXES: [&str; 7] = ["p", "n", "µ", "m", "", "k", "M"];
const UNPREFIXED: i32 = 4;

/// Engineering form: a prefix so that the number is at least 1 and below 1000.
pub(super) fn engineering(value: f64, symbol: &str) -> String {
    with_prefix(value, symbol, 0..=6)
}

/// Microfarads up to 99 999 µF, as capacitors are marked; nanofarads and less below, farads above.
pub(super) fn capacitance(value: f64, symbol: &str) -> String {
    let micro = value * 1e6;
    if (0.9995..99_999.5).contains(&micro.abs()) {
        format!("{} µ{symbol}", decimal(micro, 0))
    } else {
        let prefixes = if micro.abs() < 1.0 { 0..=2 } else { UNPREFIXED..=UNPREFIXED };
        with_prefix(value, symbol, prefixes)
    }
}

/// Millimetres up to 9999 mm, metres above: what a rule shows.
pub(super) fn millimetres(value: f64, symbol: &str) -> String {
    let mm = value * 1e3;
    if mm.abs() < 9_999.5 {
        format!("{} m{symbol}", decimal(mm, 0))
    } else {
        format!("{} {symbol}", decimal(value, 0))
    }
}

/// No prefix, two decimals; the degree of an angle stands close to its number (ISO 80000-1, from memory).
pub(super) fn plain(value: f64, symbol: &str) -> String {
    let space = if symbol == "°" { "" } else { " " };
    format!("{}{space}{symbol}", decimal(value, 2))
}

fn with_prefix(value: f64, symbol: &str, allowed: std::ops::RangeInclusive<i32>) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{} {symbol}", if value == 0.0 { 0.0 } else { value });
    }
    // Rounding first makes 999.7 mA carry to 1 A.
    let rounded = three_digits(value);
    let exponent = exponent(rounded);
    let index = (exponent.div_euclid(3) + UNPREFIXED).clamp(*allowed.start(), *allowed.end());
    let scaled = rounded / 10f64.powi(3 * (index - UNPREFIXED));
    format!("{} {}{symbol}", decimal(scaled, 0), PREFIXES[index as usize])
}

/// The number nearest to `value` that has three significant digits.
fn three_digits(value: f64) -> f64 {
    format!("{value:.2e}").parse().unwrap_or(value)
}

/// The decimal exponent of the leading digit of `value` rounded to three digits.
fn exponent(value: f64) -> i32 {
    let text = format!("{value:.2e}");
    text.split_once('e').and_then(|(_, exponent)| exponent.parse().ok()).unwrap_or(0)
}

/// Decimals for three significant digits, but at least `decimals`; the whole part is never rounded.
fn decimal(value: f64, decimals: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return if value == 0.0 { "0".to_string() } else { value.to_string() };
    }
    // A number below 1e-12 of its unit is not worth its zeros.
    let places = (2 - exponent(value)).clamp(decimals, 12) as usize;
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_string() } else { text.to_string() }
}
