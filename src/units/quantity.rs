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
