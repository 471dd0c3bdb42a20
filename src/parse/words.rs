//! The words the layout file uses for each choice, with what each of them means.
//!
//! The reader, the JSON Schema and the messages all take them from here.

use super::document::{
    Colour, ControlKind, DropperRule, FiredFrom, FrogFeedBy, FrogKind, PageSize, Port, RouteDiodes,
    SectionFeed, SlipBlades, SupplyKind, SupplyUse, TrainControl, TurnoutKind, WireFunction,
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

/// The hand of a composition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    Left,
    Right,
}

impl Hand {
    pub fn other(self) -> Hand {
        match self {
            Hand::Left => Hand::Right,
            Hand::Right => Hand::Left,
        }
    }
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
        "curved-left" = CurvedLeft: "both roads curve to the left; the inner one leaves to the left",
        "curved-right" = CurvedRight: "both roads curve to the right; the inner one leaves to the right",
        "three-way" = ThreeWay: "three roads from one toe, with two tie bars and three frogs",
        "diamond" = Diamond: "two lines that cross without blades",
        "single-slip" = SingleSlip: "a diamond with blades for one more road, from a to d",
        "double-slip" = DoubleSlip: "a diamond with blades for two more roads, from a to d and from c to b",
    }
    Hand {
        "left" = Left: "to the left",
        "right" = Right: "to the right",
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
        "panel switch" = PanelSwitch: "a switch on the panel, set by hand to the road in use",
        "reverser module" = ReverserModule: "a module that turns the polarity when a wheel meets the wrong one (DCC)",
    }
    Port {
        "toe" = Toe: "the end both roads share",
        "straight" = Straight: "the straight road",
        "diverging" = Diverging: "the diverging road",
        "left" = Left: "the left road of a wye or three-way, seen from the toe",
        "right" = Right: "the right road of a wye or three-way, seen from the toe",
        "outer" = Outer: "the wider road of a curved turnout",
        "inner" = Inner: "the tighter road of a curved turnout",
        "a" = A: "of a diamond or slip: one end, left of c looking towards b and d",
        "b" = B: "the other end of the straight road from a; opposite c",
        "c" = C: "right of a",
        "d" = D: "the other end of the straight road from c; opposite a",
    }
    SlipBlades {
        "far-exit" = FarExit: "the blades of each end choose the exit at the other end, whatever the entry",
        "both-agree" = BothAgree: "both tie bars lie alike: both straight roads, or both slip roads",
    }
    SectionFeed {
        "shared" = Shared: "from the layout's booster, or through its switch from the controllers",
        "district" = District: "from the layout's booster through a cut-out of its own (DCC)",
        "booster" = Booster: "from a booster of its own (DCC)",
        "reversing" = Reversing: "a reversing section: its polarity changes to suit the train",
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
        "route buttons" = RouteButtons: "nothing of its own; only route buttons throw what it throws",
    }
    RouteDiodes {
        "fewest" = Fewest: "only where a button would set something else too without one",
        "every link" = EveryLink: "in every link from a button to a line, so that all pulses are alike",
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
