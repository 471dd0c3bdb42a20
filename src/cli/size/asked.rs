//! Quantities of the command line, and what is said of those that cannot be right.

use std::fmt;

use crate::drives::sizing::BankSupply;
use crate::parse::{Belief, MOST_AC, MOST_DC, SupplyKind};
use crate::units::{Celsius, Length, Quantity, QuantityError, Volts, WireSize};

/// A supply's voltage, with the kind of current if it was said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fed {
    pub voltage: Volts,
    pub kind: Option<SupplyKind>,
}

impl fmt::Display for Fed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.kind {
            Some(SupplyKind::Ac) => write!(f, "{} AC", self.voltage),
            Some(_) => write!(f, "{} DC", self.voltage),
            None => write!(f, "{}", self.voltage),
        }
    }
}

/// A share of something, written in per cent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share(pub f64);

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", (self.0 * 1e3).round() / 10.0)
    }
}

/// Reads a quantity with the range that the layout file has for the same key.
pub fn as_key<Q: Quantity + PartialOrd>(
    section: &'static str,
    kind: &'static str,
    key: &'static str,
) -> impl Fn(&str) -> Result<Q, String> + Clone {
    let belief = belief(section, kind, key);
    move |text| read(text, belief.least, belief.most, belief.example)
}

/// Reads a quantity from `least` to `most`.
pub fn within<Q: Quantity + PartialOrd>(
    least: &'static str,
    most: &'static str,
) -> impl Fn(&str) -> Result<Q, String> + Clone {
    move |text| read(text, least, most, Q::EXAMPLE)
}

/// What the layout file takes where none is given.
pub fn usual<Q: Quantity>(section: &str, kind: &str, key: &str) -> Q {
    let text = belief(section, kind, key).usual.expect("such a key has a typical figure");
    Q::parse(text).expect("typical figures are quantities")
}

/// "What it is [typical: 8 mH]"
pub fn typical_help(what: &str, section: &str, kind: &str, key: &str) -> String {
    let usual = belief(section, kind, key).usual.expect("such a key has a typical figure");
    format!("{what} [typical: {usual}]")
}

/// "typical, measure yours: stall, idle", or nothing if all was given.
pub fn typical_note(typical: &[&str]) -> String {
    match typical.is_empty() {
        true => String::new(),
        false => format!("typical, measure yours: {}", typical.join(", ")),
    }
}

/// Whether a quantity lies in the range that the layout file has for a key.
pub fn is_believed<Q: Quantity + PartialOrd>(
    value: Q,
    section: &str,
    kind: &str,
    key: &str,
) -> Result<(), String> {
    let belief = belief(section, kind, key);
    in_range(value, belief.least, belief.most)
}

fn belief(section: &str, kind: &str, key: &str) -> Belief {
    Belief::of(section, kind, key).expect("the calculators name keys that exist")
}

/// A run's length in metres, as people speak of it: "6 m", "13.72 m".
pub fn run(length: Length) -> String {
    if length < Length::new(1.0) {
        return length.to_string();
    }
    format!("{} m", (length.metres() * 100.0).round() / 100.0)
}

/// Reads the size of a wire.
pub fn wire_size(text: &str) -> Result<WireSize, String> {
    let how = "write \"0.5 mm2\", \"AWG 20\" or \"16/0.2\"";
    let size = WireSize::parse(text).map_err(|_| format!("that is no size of a wire; {how}"))?;
    let sold = 0.05..=10.0;
    if !sold.contains(&size.area().mm2()) {
        return Err(format!("anything from 0.05 mm2 to 10 mm2 is believed; {how}"));
    }
    Ok(size)
}

/// The temperature of the wires.
pub fn temperature(text: &str) -> Result<Celsius, String> {
    as_key("layout", "", "ambient")(text)
}

/// Reads "5 %".
pub fn share(text: &str) -> Result<Share, String> {
    let how = "write a share of the voltage, such as \"5 %\"";
    let Some(number) = text.trim().strip_suffix('%') else {
        return Err(format!("the sign % is missing; {how}"));
    };
    match number.trim().replace(',', ".").parse::<f64>() {
        Ok(percent) if (0.1..=50.0).contains(&percent) => Ok(Share(percent / 100.0)),
        Ok(_) => Err("anything from 0.1 % to 50 % is believed; look at the decimal point".into()),
        Err(_) => Err(format!("that is no number; {how}")),
    }
}

/// Reads "16 V AC", "12 V DC" or "12 V".
pub fn fed(text: &str) -> Result<Fed, String> {
    let lower = text.trim().to_lowercase();
    let (volts, kind) = if let Some(volts) = lower.strip_suffix("ac") {
        (volts, Some(SupplyKind::Ac))
    } else if let Some(volts) = lower.strip_suffix("dc") {
        (volts, Some(SupplyKind::Dc))
    } else {
        (lower.as_str(), None)
    };
    let voltage: Volts = match Volts::parse(volts) {
        Ok(voltage) => voltage,
        Err(error) => return Err(complaint::<Volts>(error, "16 V AC")),
    };
    let (most, why) = match kind {
        Some(SupplyKind::Ac) => (MOST_AC, "24 V AC is the limit for supplies of toys (IEC 61558-2-7)"),
        _ => (MOST_DC, "60 V DC is the limit for parts that may be bare (IEC 61140)"),
    };
    if voltage > most {
        return Err(format!(
            "{why}; use an approved plug-in supply of a lower voltage, and never mains under a layout"
        ));
    }
    let least = belief("supply", "", "voltage").least;
    in_range(voltage, least, "60 V")?;
    Ok(Fed { voltage, kind })
}

/// Reads "16 V AC" or "12 V DC"; it must say which.
pub fn supply(text: &str) -> Result<BankSupply, String> {
    let Fed { voltage, kind } = fed(text)?;
    match kind {
        Some(kind) => Ok(BankSupply { kind, voltage, unloaded: None }),
        None => Err(format!("it does not say which current; write \"{voltage} AC\" or \"{voltage} DC\"")),
    }
}

fn read<Q: Quantity + PartialOrd>(
    text: &str,
    least: &'static str,
    most: &'static str,
    example: &'static str,
) -> Result<Q, String> {
    let value = Q::parse(text).map_err(|error| complaint::<Q>(error, example))?;
    in_range(value, least, most)?;
    Ok(value)
}

fn in_range<Q: Quantity + PartialOrd>(value: Q, least: &str, most: &str) -> Result<(), String> {
    let (Ok(low), Ok(high)) = (Q::parse(least), Q::parse(most)) else {
        return Err(format!("the range {least} to {most} is not understood"));
    };
    if value >= low && value <= high {
        return Ok(());
    }
    Err(format!("anything from {least} to {most} is believed; look at the unit and the decimal point"))
}

fn complaint<Q: Quantity>(error: QuantityError, example: &str) -> String {
    let how = format!("write {} with its unit, such as \"{example}\"", Q::WHAT);
    match error {
        QuantityError::MissingUnit => format!("the unit is missing; {how}"),
        QuantityError::NotANumber => format!("that is no number with a unit; {how}"),
        QuantityError::WrongUnit(unit) => format!("`{unit}` is no unit of {}; {how}", Q::WHAT),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Ohms;
    use proptest::prelude::*;

    #[test]
    fn supplies_are_read_as_written() {
        let ac = supply("16 V AC").unwrap();
        assert_eq!((ac.voltage, ac.kind), (Volts::new(16.0), SupplyKind::Ac));
        assert_eq!(supply("12vdc").unwrap().kind, SupplyKind::Dc);
        assert!(supply("16 V").unwrap_err().contains("\"16 V AC\" or \"16 V DC\""));
        assert!(supply("230 V AC").unwrap_err().contains("24 V AC is the limit"));
        assert!(supply("61 V DC").unwrap_err().contains("60 V DC is the limit"));
        assert!(supply("16 A AC").unwrap_err().contains("is no unit of a voltage"));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in ".*") {
            let _ = (fed(&text), supply(&text), share(&text), wire_size(&text), temperature(&text));
        }
    }

    #[test]
    fn what_is_wrong_is_said() {
        let coil = |text| as_key::<Ohms>("drive", "solenoid", "coil")(text).unwrap_err();
        assert!(coil("4.5").contains("the unit is missing"));
        assert!(coil("4.5 V").contains("`V` is no unit of a resistance"));
        assert!(coil("four").contains("no number"));
        assert!(coil("4.5 kohm").contains("anything from 0.3 ohm to 200 ohm"));
        assert!(coil("-4.5 ohm").contains("anything from"));
        assert!(share("5").unwrap_err().contains('%') && share("500 %").is_err() && share("nan %").is_err());
        assert_eq!(share("2,5 %").unwrap(), Share(0.025));
        assert!(wire_size("0 mm2").is_err() && wire_size("5 km").is_err());
    }
}
