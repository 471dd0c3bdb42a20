//! Scaffold.
use super::{Quantity, QuantityError};

#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct WireSize(f64);

impl Quantity for WireSize {
    const WHAT: &'static str = "a wire size";
    const EXAMPLE: &'static str = "0.5 mm2";
    fn parse(text: &str) -> Result<Self, QuantityError> {
        let t = text.trim();
        let n: f64 = t.trim_end_matches("mm2").trim().parse().map_err(|_| QuantityError::NotANumber)?;
        if t.ends_with("mm2") { Ok(WireSize(n)) } else { Err(QuantityError::MissingUnit) }
    }
}
