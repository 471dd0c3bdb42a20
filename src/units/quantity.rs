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
    /// Reads a number and its unit, as in `"4.7 mF"`.
    ///
    /// The number has a decimal point or a decimal comma, an optional leading `-` and an optional
    /// exponent. A comma before exactly three digits (`"4,700 uF"`) may mean either of two numbers a
    /// thousandfold apart and is refused. The unit may stand close to the number; its letters may be
    /// of either case, but for the prefixes m (milli) and M (mega).
    fn parse(text: &str) -> Result<Self, QuantityError>;
}

/// Makes one quantity: `quantity!(Type, reader, symbol, what, example, form)`.
///
/// `symbol` names the unit and so chooses the units understood (`units::reading`); `form` is the
/// function of `units::writing` that prints it.
macro_rules! quantity {
    ($name:ident, $reader:ident, $symbol:literal, $what:literal, $example:literal, $form:ident) => {
        #[doc = concat!("A quantity, held in ", $symbol, "; written as in `\"", $example, "\"`.")]
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("From a number of ", $symbol, ".")]
            pub const fn new(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The number of ", $symbol, ".")]
            pub const fn $reader(self) -> f64 {
                self.0
            }

            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// Without its sign.
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The total order of the number, for sorting.
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl $crate::units::Quantity for $name {
            const WHAT: &'static str = $what;
            const EXAMPLE: &'static str = $example;

            fn parse(text: &str) -> Result<Self, $crate::units::QuantityError> {
                $crate::units::reading::read(text, $symbol).map(Self)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(&$crate::units::writing::$form(self.0, $symbol))
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl std::ops::Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl std::ops::Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }

        impl std::ops::Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl std::ops::Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.map(|part| part.0).sum())
            }
        }
    };
}

/// States that two quantities multiply to a third: `product!(Amps * Ohms = Volts)`.
///
/// Makes both orders of the product and both quotients.
macro_rules! product {
    ($a:ident * $b:ident = $c:ident) => {
        impl std::ops::Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0)
            }
        }

        impl std::ops::Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c(self.0 * other.0)
            }
        }

        impl std::ops::Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 / other.0)
            }
        }

        impl std::ops::Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 / other.0)
            }
        }
    };
}

pub(super) use product;
pub(super) use quantity;
