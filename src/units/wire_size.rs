//! The size of a wire, in whichever of three ways the trade names it.

use std::cmp::Ordering;
use std::f64::consts::PI;
use std::fmt;

use super::reading::number_and_unit;
use super::{Area, Length, Quantity, QuantityError};

/// The size of a wire. Sizes are ordered by the copper's cross-section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WireSize {
    /// Nominal cross-section of a stranded wire (IEC 60228): "0.5 mm²".
    Metric(Area),
    /// American wire gauge (ASTM B258), -3 (which is 0000) to 40.
    Awg(i8),
    /// Number and diameter of the strands: "16/0.2".
    Strands { count: u16, diameter: Length },
}

impl WireSize {
    /// A nominal cross-section in square millimetres.
    pub const fn mm2(mm2: f64) -> Self {
        Self::Metric(Area::from_mm2(mm2))
    }

    /// The copper's cross-section. AWG by ASTM B258: d = 0.127 mm · 92^((36-n)/39).
    pub fn area(self) -> Area {
        match self {
            Self::Metric(area) => area,
            Self::Awg(gauge) => round_area(awg_diameter(gauge)),
            Self::Strands { count, diameter } => round_area(diameter) * f64::from(count),
        }
    }

    /// The full name: "0.5 mm²", "AWG 20", "16/0.2".
    pub fn label(self) -> String {
        match self {
            Self::Metric(area) => area.to_string(),
            Self::Awg(gauge) => format!("AWG {gauge}"),
            Self::Strands { .. } => self.short(),
        }
    }

    /// The name for a wire's label on a drawing: "0.5", "AWG20", "16/0.2".
    pub fn short(self) -> String {
        match self {
            Self::Metric(area) => number(area.mm2()),
            Self::Awg(gauge) => format!("AWG{gauge}"),
            Self::Strands { count, diameter } => format!("{count}/{}", number(diameter.mm())),
        }
    }
}

/// Diameter of a solid wire by ASTM B258: 0.127 mm · 92^((36-n)/39).
fn awg_diameter(gauge: i8) -> Length {
    Length::from_mm(0.127 * 92f64.powf((36.0 - f64::from(gauge)) / 39.0))
}

fn round_area(diameter: Length) -> Area {
    Area::from_mm2(PI / 4.0 * diameter.mm() * diameter.mm())
}

/// Thousandths are finer than any wire is sold.
fn number(value: f64) -> String {
    format!("{}", (value * 1000.0).round() / 1000.0)
}

impl Quantity for WireSize {
    const WHAT: &'static str = "a wire size";
    const EXAMPLE: &'static str = "0.5 mm2";

    /// Reads "0.5 mm2", "0.5 mm²", "AWG 20", "20 AWG" or "16/0.2".
    fn parse(text: &str) -> Result<Self, QuantityError> {
        let compact: String = text.split_whitespace().collect::<String>().to_lowercase();
        if let Some(gauge) = compact.strip_prefix("awg").or_else(|| compact.strip_suffix("awg")) {
            let gauge: i8 = gauge.parse().map_err(|_| QuantityError::NotANumber)?;
            return if (-3..=40).contains(&gauge) {
                Ok(Self::Awg(gauge))
            } else {
                Err(QuantityError::NotANumber)
            };
        }
        if let Some((count, diameter)) = compact.split_once(['/', 'x', '×']) {
            return strands(count, diameter);
        }
        let area = Area::parse(text)?;
        within_reason(Self::Metric(area))
    }
}

fn strands(count: &str, diameter: &str) -> Result<WireSize, QuantityError> {
    let count: u16 = count.parse().map_err(|_| QuantityError::NotANumber)?;
    let diameter = match number_and_unit(diameter) {
        Err(QuantityError::MissingUnit) => Length::parse(&format!("{diameter} mm"))?,
        _ => Length::parse(diameter)?,
    };
    // The sign of a diameter is lost in its square.
    if diameter.mm() <= 0.0 {
        return Err(QuantityError::NotANumber);
    }
    within_reason(WireSize::Strands { count, diameter })
}

/// Refuses sizes that no wire has: no copper, or more than 1000 mm² of it.
fn within_reason(size: WireSize) -> Result<WireSize, QuantityError> {
    let mm2 = size.area().mm2();
    if mm2 > 0.0 && mm2 <= 1000.0 { Ok(size) } else { Err(QuantityError::NotANumber) }
}

impl fmt::Display for WireSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.label())
    }
}

impl PartialOrd for WireSize {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        // The way of naming breaks a tie, so that only equal sizes compare as equal.
        let kind = |size: &Self| match size {
            Self::Metric(_) => 0,
            Self::Awg(_) => 1,
            Self::Strands { count, .. } => 1 + u32::from(*count),
        };
        let by_area = self.area().partial_cmp(&other.area())?;
        Some(by_area.then(kind(self).cmp(&kind(other))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parsed(text: &str) -> WireSize {
        WireSize::parse(text).unwrap_or_else(|error| panic!("{text}: {error:?}"))
    }

    #[test]
    fn reads_the_three_ways_of_naming() {
        for text in ["0.5 mm2", "0.5 mm²", "0,5mm^2", " 0.50 MM2 "] {
            assert_eq!(parsed(text), WireSize::mm2(0.5), "{text}");
        }
        for text in ["AWG 20", "20 AWG", "awg20", "20awg"] {
            assert_eq!(parsed(text), WireSize::Awg(20), "{text}");
        }
        let strands = WireSize::Strands { count: 16, diameter: Length::from_mm(0.2) };
        for text in ["16/0.2", "16 / 0,2 mm", "16x0.2", "16×0.2"] {
            assert_eq!(parsed(text), strands, "{text}");
        }
    }

    #[test]
    fn refuses_what_is_no_size() {
        assert_eq!(WireSize::parse("0.5"), Err(QuantityError::MissingUnit));
        assert_eq!(WireSize::parse("0.5 mm"), Err(QuantityError::WrongUnit("mm".to_string())));
        for text in [
            "", "AWG", "AWG 20.5", "AWG 77", "0 mm2", "-1 mm2", "0/0.2", "16/0", "16/-1", "16/", "1/1e200",
            "thick",
        ] {
            assert_eq!(WireSize::parse(text), Err(QuantityError::NotANumber), "{text}");
        }
    }

    #[test]
    fn labels() {
        for (text, label, short) in
            [("0.50 mm2", "0.5 mm²", "0.5"), ("20 awg", "AWG 20", "AWG20"), ("16/0.20", "16/0.2", "16/0.2")]
        {
            assert_eq!(parsed(text).label(), label);
            assert_eq!(parsed(text).short(), short);
            assert_eq!(parsed(label), parsed(text), "a label reads back");
        }
    }

    #[test]
    fn awg_by_astm_b258() {
        // ASTM B258 formula; values as in published AWG tables.
        for (gauge, mm, mm2) in
            [(10, 2.588, 5.261), (18, 1.0237, 0.8230), (24, 0.5106, 0.2047), (30, 0.2546, 0.0509)]
        {
            assert!((awg_diameter(gauge).mm() / mm - 1.0).abs() < 2e-4, "AWG {gauge}");
            assert!((WireSize::Awg(gauge).area().mm2() / mm2 - 1.0).abs() < 1e-3, "AWG {gauge}");
        }
    }

    #[test]
    fn ordered_by_area() {
        // 16/0.2 is 0.503 mm², AWG 20 is 0.518 mm² by the formulas.
        let ordered = ["7/0.2", "0.25 mm2", "AWG 22", "0.5 mm2", "16/0.2", "AWG 20", "0.75 mm2"];
        assert!(ordered.map(parsed).is_sorted());
        assert!(parsed("4/0.2") != parsed("1/0.4"));
        assert_ne!(parsed("4/0.2").partial_cmp(&parsed("1/0.4")), Some(Ordering::Equal));
    }
}
