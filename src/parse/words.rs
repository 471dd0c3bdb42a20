//! The words the layout file uses for each choice, with what each of them means.
//!
//! The reader, the JSON Schema and the messages all take them from here.

use super::document::{
    Colour, ControlKind, DropperRule, FiredFrom, FrogFeedBy, FrogKind, PageSize, Port, SupplyKind, SupplyUse,
    TrainControl, TurnoutKind, WireFunction,
};

/// A choice that the layout file makes with a word.
pub trait Word: Copy + PartialEq + 'static {
    /// Word, value, meaning, in the order in which they are offered.
    const WORDS: &'static [(&'static str, Self, &'static str)];

    /// The word for this value.
    fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(_, value, _)| *value == self).map_or("", |(word, _, _)| word)
    }

    /// The value of a word.
    fn from_word(text: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(word, _, _)| *word == text).map(|(_, value, _)| *value)
    }
}

/// Word and meaning of every value of a choice.
pub fn words<T: Word>() -> Vec<(&'static str, &'static str)> {
    T::WORDS.iter().map(|(word, _, meaning)| (*word, *meaning)).collect()
}

/// The ports that can be the normal road: all but the toe.
pub fn roads() -> Vec<(&'static str, &'static str)> {
    words::<Port>().into_iter().filter(|(word, _)| *word != Port::Toe.word()).collect()
}

/// The kinds of drive, before their figures are known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DriveKind {
    Solenoid,
    SlowMotion,
    Servo,
}

macro_rules! words {
    ($($type:ident { $($word:literal = $variant:ident: $meaning:literal,)* })*) => {$(
        impl Word for $type {
            const WORDS: &'static [(&'static str, Self, &'static str)] =
                &[$(($word, $type::$variant, $meaning)),*];
        }
    )*};
}

words! {
    TrainControl {
        "dcc" = Dcc: "digital: the rails always carry full voltage",
        "dc" = Dc: "analogue: the controller sets speed and direction by the rail voltage",
    }
    PageSize {
        "A4" = A4: "297 mm x 210 mm",
        "A3" = A3: "420 mm x 297 mm",
        "Letter" = Letter: "11 in x 8.5 in",
    }
    DropperRule {
        "each-piece" = EachPiece: "every piece of track has its own pair; rail joiners are not trusted",
        "each-section" = EachSection: "one dropper for each stretch of rail between insulated joints",
    }
    TurnoutKind {
        "left" = Left: "the diverging road leaves to the left, seen from the toe",
        "right" = Right: "the diverging road leaves to the right, seen from the toe",
        "wye" = Wye: "both roads curve away, one to the left and one to the right",
    }
    FrogKind {
        "insulated" = Insulated: "plastic, or metal without a wire; it needs no polarity",
        "live" = Live: "frog, closure rails and blades are one piece of metal",
        "isolated-with-wire" = IsolatedWithWire:
            "the frog is a piece of its own with a wire to it; the blades are bonded to their stock rails",
    }
    FrogFeedBy {
        "contact" = Contact: "a changeover contact that the drive carries",
        "microswitch" = Microswitch: "a microswitch on the tie bar",
        "relay" = Relay: "a bistable relay",
    }
    Port {
        "toe" = Toe: "the end both roads share",
        "straight" = Straight: "the straight road",
        "diverging" = Diverging: "the diverging road",
        "left" = Left: "the left road of a wye, seen from the toe",
        "right" = Right: "the right road of a wye, seen from the toe",
    }
    DriveKind {
        "solenoid" = Solenoid: "a twin-coil motor, thrown by a pulse",
        "slow-motion" = SlowMotion: "a geared motor that stalls against its stop and stays energised",
        "servo" = Servo: "a radio-control servo",
    }
    FiredFrom {
        "discharge unit" = DischargeUnit: "from a capacitor, which cannot burn a coil out",
        "supply" = Supply: "straight from the supply; the coil is only safe while the contact is short",
    }
    ControlKind {
        "momentary toggle" = MomentaryToggle: "changeover, sprung to an off position in the middle",
        "push buttons" = PushButtons: "one button for each position",
        "studs and probe" = StudsAndProbe: "a stud for each position, touched with a probe on a lead",
        "maintained toggle" = MaintainedToggle: "changeover that stays where it is put",
        "accessory decoder output" = AccessoryDecoder: "an output pair of an accessory decoder",
    }
    SupplyKind {
        "ac" = Ac: "alternating current",
        "dc" = Dc: "direct current",
        "split dc" = SplitDc: "two equal direct-current outputs in series, the middle is common",
    }
    SupplyUse {
        "solenoids" = Solenoids: "solenoid drives",
        "slow-motion" = SlowMotion: "slow-motion drives",
        "servos" = Servos: "servo drives",
    }
    WireFunction {
        "dc-common" = DcCommon: "common return of a DC supply",
        "dc-positive" = DcPositive: "positive of a DC supply",
        "dc-negative" = DcNegative: "negative of a DC supply",
        "ac-supply" = AcSupply: "both conductors of an AC supply",
        "digital-a" = DigitalA: "first conductor of the digital track supply",
        "digital-b" = DigitalB: "second conductor of the digital track supply",
        "traction-positive" = TractionPositive: "positive of the analogue track supply",
        "traction-negative" = TractionNegative: "negative of the analogue track supply",
        "turnout-command" = TurnoutCommand: "from control to drive",
        "feedback" = Feedback: "position and occupancy reports",
        "other" = Other: "anything else, frogs among it",
    }
    Colour { // IEC 60757
        "BK" = Black: "black",
        "BN" = Brown: "brown",
        "RD" = Red: "red",
        "OG" = Orange: "orange",
        "YE" = Yellow: "yellow",
        "GN" = Green: "green",
        "BU" = Blue: "blue",
        "VT" = Violet: "violet",
        "GY" = Grey: "grey",
        "WH" = White: "white",
        "PK" = Pink: "pink",
        "TQ" = Turquoise: "turquoise",
    }
}

/// Kinds of turnout that are understood as words, so that the message can say "not yet".
pub const TURNOUTS_NOT_YET: &[&str] =
    &["three-way", "diamond", "single-slip", "double-slip", "curved-left", "curved-right"];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_found_again() {
        fn check<T: Word + std::fmt::Debug>() {
            for (word, value, meaning) in T::WORDS {
                assert_eq!(T::from_word(word), Some(*value));
                assert_eq!(value.word(), *word);
                assert!(!meaning.is_empty());
            }
        }
        check::<TurnoutKind>();
        check::<FrogKind>();
        check::<ControlKind>();
        check::<WireFunction>();
        check::<Colour>();
        check::<Port>();
    }
}
