//! The macro that makes one quantity, and the trait by which the layout file reads any of them.

/// Why a text is not a quantity. The reader of the layout file turns it into a diagnostic.
#[derive(Clone, Debug, PartialEq)]
pub enum QuantityError {
    /// A bare number: the unit is missing.
    MissingUnit,
    /// The number cannot be read.
    NotANumber,
    /// A unit, but not one of this quantity; carries the unit as written.
    WrongUnit(String),
}

/// A physical quantity that can be read from what people write.
pub trait Quantity: Sized + Copy {
    /// "a voltage": for messages.
    const WHAT: &'static str;
    /// A text that is right: for messages.
    const EXAMPLE: &'static str;
    /// The symbols of the SI unit this quantity understands, without prefixes.
    fn parse(text: &str) -> Result<Self, QuantityError>;
}

pub(super) fn read(text: &str, symbol: &str) -> Result<f64, QuantityError> {
    let text = text.trim();
    let end = text.find(|c: char| !matches!(c, '0'..='9' | '.' | '-' | '+')).unwrap_or(text.len());
    let number: f64 = text[..end].parse().map_err(|_| QuantityError::NotANumber)?;
    let unit = text[end..].trim();
    if unit.is_empty() {
        return Err(QuantityError::MissingUnit);
    }
    let names: &[&str] = match symbol {
        "Ω" => &["Ω", "ohm", "ohms"],
        "°C" => &["°C", "degC"],
        "°" => &["°", "deg"],
        other => &[other],
    };
    for name in names {
        if let Some(prefix) = unit.strip_suffix(name) {
            let k = match prefix {
                "" => 1.0,
                "c" if symbol == "m" => 0.01,
                "m" => 1e-3,
                "u" | "µ" => 1e-6,
                "k" => 1e3,
                _ => continue,
            };
            return Ok(number * k);
        }
    }
    Err(QuantityError::WrongUnit(unit.to_string()))
}

macro_rules! quantity {
    ($name:ident, $get:ident, $symbol:literal, $what:literal, $example:literal, $style:ident) => {
        #[doc = concat!($what, " in ", $symbol)]
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);
        impl $name {
            pub const fn new(v: f64) -> Self {
                Self(v)
            }
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
        impl Quantity for $name {
            const WHAT: &'static str = $what;
            const EXAMPLE: &'static str = $example;
            fn parse(text: &str) -> Result<Self, QuantityError> {
                quantity::read(text, $symbol).map(Self)
            }
        }
    };
}
macro_rules! product {
    ($a:ident * $b:ident = $c:ident) => {
        impl std::ops::Mul<$b> for $a {
            type Output = $c;
            fn mul(self, b: $b) -> $c {
                $c(self.0 * b.0)
            }
        }
    };
}
pub(super) use {product, quantity};
