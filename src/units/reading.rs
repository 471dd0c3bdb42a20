//! Reads a number with its unit. Which units a quantity understands hangs on the symbol of its SI unit.

use super::QuantityError;

/// Reads `text` as a number of the unit `symbol`.
pub(super) fn read(text: &str, symbol: &str) -> Result<f64, QuantityError> {
    let (number, unit) = number_and_unit(text)?;
    let written: String = unit.split_whitespace().collect();
    let factor = factor(&written, symbol).ok_or_else(|| QuantityError::WrongUnit(unit.to_string()))?;
    let value = number * factor;
    if value.is_finite() { Ok(value) } else { Err(QuantityError::NotANumber) }
}

/// Splits `text` into its leading number and the unit after it, which is not empty.
pub(super) fn number_and_unit(text: &str) -> Result<(f64, &str), QuantityError> {
    let text = text.trim();
    let length = number_length(text).ok_or(QuantityError::NotANumber)?;
    let (digits, rest) = text.split_at(length);
    let number: f64 = digits.replace(',', ".").parse().map_err(|_| QuantityError::NotANumber)?;
    let unit = rest.trim_start();
    // A second number after the first is a fraction or a grouped number ("4 700 uF"), not a unit.
    if !number.is_finite() || unit.starts_with(|c: char| c.is_numeric() || ".,/+-".contains(c)) {
        return Err(QuantityError::NotANumber);
    }
    if unit.is_empty() { Err(QuantityError::MissingUnit) } else { Ok((number, unit)) }
}

/// The length in bytes of the number at the start of `text`; all its characters are ASCII.
fn number_length(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let digits_from = |start: usize| bytes[start..].iter().take_while(|b| b.is_ascii_digit()).count();
    let sign = usize::from(bytes.first() == Some(&b'-'));
    let whole = digits_from(sign);
    let mut end = sign + whole;
    let mut decimals = 0;
    if let Some(mark @ (b'.' | b',')) = bytes.get(end) {
        decimals = digits_from(end + 1);
        let grouped = *mark == b',' && decimals == 3 && whole > 0 && bytes[sign] != b'0';
        if grouped {
            return None;
        }
        end += 1 + decimals;
    }
    if whole + decimals == 0 {
        return None;
    }
    if let Some(b'e' | b'E') = bytes.get(end) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'-' | b'+')));
        let exponent = if end + 1 + sign < bytes.len() { digits_from(end + 1 + sign) } else { 0 };
        if exponent > 0 {
            end += 1 + sign + exponent;
        }
    }
    Some(end)
}

/// How many of the unit `symbol` one of the unit `written` is; `None` if it is no such unit.
fn factor(written: &str, symbol: &str) -> Option<f64> {
    match symbol {
        "m" => length(written),
        "mm²" => area(written),
        "°" => angle(written),
        "°C" => temperature(written),
        "Ω/m" => {
            let (resistance, per) = written.split_once('/')?;
            Some(prefixed(resistance, "Ω")? / length(per)?)
        }
        _ => prefixed(written, symbol),
    }
}

/// The names, in lower case, of the units that take SI prefixes.
fn names(symbol: &str) -> &'static [&'static str] {
    match symbol {
        "V" => &["v", "volt", "volts"],
        "A" => &["a", "amp", "amps", "ampere", "amperes"],
        // Lower case of both the Greek letter and the ohm sign.
        "Ω" => &["ω", "ohm", "ohms"],
        "F" => &["f", "farad", "farads"],
        "H" => &["h", "henry", "henries", "henrys"],
        "J" => &["j", "joule", "joules"],
        "W" => &["w", "watt", "watts"],
        "VA" => &["va", "voltampere", "voltamperes", "volt-ampere", "volt-amperes"],
        "s" => &["s", "sec", "second", "seconds"],
        "C" => &["c", "coulomb", "coulombs"],
        "A²s" => &["a²s", "a2s", "a^2s"],
        _ => &[],
    }
}

/// SI prefixes: the letters, the word, the factor.
const PREFIXES: [(&str, &str, f64); 7] = [
    ("pP", "pico", 1e-12),
    ("nN", "nano", 1e-9),
    // The micro sign and the Greek letter mu.
    ("uU\u{b5}\u{3bc}", "micro", 1e-6),
    ("m", "milli", 1e-3),
    ("kK", "kilo", 1e3),
    ("M", "mega", 1e6),
    ("M", "meg", 1e6), // megohm
];

fn prefixed(written: &str, symbol: &str) -> Option<f64> {
    let lower = written.to_lowercase();
    let is_name = |text: &str| names(symbol).contains(&text);
    if is_name(&lower) {
        return Some(1.0);
    }
    // Old capacitors say MF for microfarad, so a megafarad is always a mistake.
    let allowed = |factor: f64| !(symbol == "F" && factor > 1e3);
    for (letters, word, factor) in PREFIXES {
        let by_word = lower.strip_prefix(word).is_some_and(|name| name.len() > 1 && is_name(name));
        let by_letter = written
            .strip_prefix(|c: char| letters.contains(c))
            .is_some_and(|name| is_name(&name.to_lowercase()));
        if (by_word || by_letter) && allowed(factor) {
            return Some(factor);
        }
    }
    // "kilohm": the o is shared.
    (symbol == "Ω" && matches!(lower.as_str(), "kilohm" | "kilohms")).then_some(1e3)
}

fn length(written: &str) -> Option<f64> {
    // A megametre is the one reading that lower case would lose.
    if written == "Mm" {
        return None;
    }
    Some(match written.to_lowercase().as_str() {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => 1e-3,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => 1e-2,
        "m" | "metre" | "metres" | "meter" | "meters" => 1.0,
        "km" => 1e3,
        "in" | "inch" | "inches" | "\"" | "″" | "''" => 0.0254,
        "ft" | "foot" | "feet" | "'" | "′" => 0.3048,
        _ => return None,
    })
}

fn area(written: &str) -> Option<f64> {
    matches!(written.to_lowercase().as_str(), "mm²" | "mm2" | "mm^2" | "sqmm").then_some(1.0)
}

fn angle(written: &str) -> Option<f64> {
    matches!(written.to_lowercase().as_str(), "°" | "º" | "deg" | "degree" | "degrees").then_some(1.0)
}

fn temperature(written: &str) -> Option<f64> {
    let lower = written.to_lowercase();
    matches!(lower.as_str(), "°c" | "ºc" | "degc" | "c" | "celsius" | "degreescelsius" | "℃").then_some(1.0)
}
