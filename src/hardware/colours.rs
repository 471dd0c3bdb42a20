//! Insulation colours: by function after NEM 605 (2014), letter codes of IEC 60757.

use crate::parse::{Colour, Document, WireFunction, Word};

/// Which colour each function has in this layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Palette {
    own: Vec<(WireFunction, Colour)>,
}

impl Palette {
    pub fn of(document: &Document) -> Palette {
        Palette { own: document.colours.iter().map(|(f, c)| (*f, c.value)).collect() }
    }

    pub fn colour(&self, function: WireFunction) -> Colour {
        let own = self.own.iter().find(|(f, _)| *f == function).map(|(_, c)| *c);
        own.unwrap_or_else(|| nem_605(function))
    }
}

/// NEM 605, edition 2014, table 1.
pub fn nem_605(function: WireFunction) -> Colour {
    match function {
        WireFunction::DcCommon => Colour::Black,
        WireFunction::DcPositive => Colour::Red,
        WireFunction::DcNegative => Colour::Blue,
        WireFunction::AcSupply => Colour::Grey,
        WireFunction::DigitalA => Colour::Red,
        WireFunction::DigitalB => Colour::Brown,
        WireFunction::TractionPositive => Colour::White,
        WireFunction::TractionNegative => Colour::Yellow,
        WireFunction::TurnoutCommand => Colour::Green,
        WireFunction::Feedback => Colour::Brown,
        WireFunction::Other => Colour::Violet,
    }
}

/// IEC 60757.
pub fn code(colour: Colour) -> &'static str {
    match colour {
        Colour::Black => "BK",
        Colour::Brown => "BN",
        Colour::Red => "RD",
        Colour::Orange => "OG",
        Colour::Yellow => "YE",
        Colour::Green => "GN",
        Colour::Blue => "BU",
        Colour::Violet => "VT",
        Colour::Grey => "GY",
        Colour::White => "WH",
        Colour::Pink => "PK",
        Colour::Turquoise => "TQ",
    }
}

/// "RD red": the code and the word.
pub fn colour_words(colour: Colour) -> String {
    let word = Colour::WORDS.iter().find(|(_, c, _)| *c == colour).map_or("", |(_, _, meaning)| meaning);
    format!("{} {word}", code(colour))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NEM 605 (2014), table 1, column GB: the rows that this program uses.
    #[test]
    fn colours_by_function_are_those_of_nem_605() {
        for (function, letters) in [
            (WireFunction::DcCommon, "BK"),
            (WireFunction::DcPositive, "RD"),
            (WireFunction::DcNegative, "BU"),
            (WireFunction::AcSupply, "GY"),
            (WireFunction::DigitalA, "RD"),
            (WireFunction::DigitalB, "BN"),
            (WireFunction::TractionPositive, "WH"),
            (WireFunction::TractionNegative, "YE"),
            (WireFunction::TurnoutCommand, "GN"),
            (WireFunction::Feedback, "BN"),
            (WireFunction::Other, "VT"),
        ] {
            assert_eq!(code(nem_605(function)), letters, "{function:?}");
        }
    }
}
