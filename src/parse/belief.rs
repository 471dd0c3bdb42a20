//! What the layout file believes of a quantity, for others who ask for the same.

use super::form::{Form, Key};
use super::keys;

/// The range in which a quantity is believed, and what stands in when nobody says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Belief {
    /// A text that is right.
    pub example: &'static str,
    pub least: &'static str,
    pub most: &'static str,
    /// The figure taken if none is given.
    pub usual: Option<&'static str>,
}

impl Belief {
    /// Of a key; in a section whose keys hang on its `kind`, of one kind. `None` if there is no such key
    /// or it holds no quantity.
    pub fn of(section: &str, kind: &str, name: &str) -> Option<Belief> {
        let section = keys::SECTIONS.iter().find(|s| s.name == section)?;
        let keys = section.with_variant(kind).unwrap_or_else(|| section.keys.iter().collect());
        let key: &Key = keys.into_iter().find(|k| k.name == name)?;
        let range = match key.form {
            Form::Quantity(range) | Form::Pair(range) | Form::SupplyVoltage(range) => range,
            _ => return None,
        };
        Some(Belief {
            example: range.example,
            least: range.least,
            most: range.most,
            usual: key.absent.value(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn belief_follows_the_kind() {
        let stall = |kind| Belief::of("drive", kind, "stall").unwrap();
        assert_ne!(stall("slow-motion"), stall("servo"));
        assert_eq!(Belief::of("drive", "solenoid", "coil").unwrap().usual, Some("4.5 ohm"));
        assert_eq!(Belief::of("track-power", "", "trip").unwrap().most, "10 A");
        assert_eq!(Belief::of("drive", "solenoid", "stall"), None);
        assert_eq!(Belief::of("layout", "", "name"), None);
    }
}
