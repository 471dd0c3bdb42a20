//! Keys of the compositions: tables that stand for several turnouts at once.

use super::{
    Absent, ControlKind, Form, FrogFeedBy, FrogKind, Hand, Key, Section, key, named, pair, quantity, word,
};
use Absent::{Default, Otherwise, Required};

const FROG: Key =
    key("frog", word::<FrogKind>(), Otherwise("as [defaults] says"), "What its frogs are made of.");
const DRIVE: Key =
    key("drive", Form::Name("drive"), Otherwise("as [defaults] says"), "The drive that throws each turnout.");
const BOARD: Key =
    key("board", Form::Name("board"), Otherwise("as [defaults] says"), "The board it lies on.");
const SECTION: Key =
    key("section", Form::Name("section"), Otherwise("as [defaults] says"), "The section it lies in.");
const FROG_FEED: Key = key(
    "frog-feed",
    word::<FrogFeedBy>(),
    Otherwise("chosen for you"),
    "What changes the polarity of its turnouts' frogs.",
);
const HEADING: Key = key(
    "heading",
    quantity("15 deg", "-360 deg", "360 deg"),
    Otherwise("required with `toe`"),
    "The direction from that toe to its frog: 0 deg is to the right, 90 deg to the back.",
);

const fn toe(doc: &'static str) -> Key {
    key("toe", pair("310 mm", "0 mm", "10 m"), Otherwise("unknown"), doc)
}

const fn spacing(usual: &'static str) -> Key {
    key(
        "spacing",
        quantity("50 mm", "5 mm", "1 m"),
        Otherwise(usual),
        "From the middle of one track to the middle of the next.",
    )
}

const fn with(doc: &'static str) -> Key {
    key("with", word::<ControlKind>(), Otherwise("controls are described one by one"), doc)
}

pub const CROSSOVER: Section = named(
    "crossover",
    "Two turnouts, diverging road to diverging road, that lead from one track to the one beside it.",
    &[
        key("hand", word::<Hand>(), Required, "Which way a train leaves its track, seen from a toe."),
        with("The one control that throws both turnouts."),
        FROG,
        DRIVE,
        BOARD,
        SECTION,
        FROG_FEED,
        toe("Where the toe at end a lies, or at end c if it is left-hand."),
        HEADING,
        spacing("three gauges"),
    ],
);

pub const SCISSORS: Section = named(
    "scissors",
    "Two crossovers of opposite hand, one over the other: four turnouts round a diamond.",
    &[
        with("The kind of its two controls, one for each diagonal."),
        FROG,
        DRIVE,
        BOARD,
        SECTION,
        FROG_FEED,
        key(
            "diamond-feed",
            word::<FrogFeedBy>(),
            Otherwise("chosen for you"),
            "What changes the polarity of the frogs in the middle.",
        ),
        toe("Where the toe at end a lies."),
        HEADING,
        spacing("4.25 gauges"),
    ],
);

pub const LADDER: Section = named(
    "ladder",
    "Turnouts one behind the other that fan out to parallel roads.",
    &[
        key("roads", Form::Count { most: 40 }, Required, "How many roads it leads to."),
        key("hand", word::<Hand>(), Required, "The side to which the roads leave, seen from its toe."),
        with("The kind of its controls, one for each turnout."),
        FROG,
        DRIVE,
        BOARD,
        SECTION,
        FROG_FEED,
        toe("Where the toe of the first turnout lies."),
        HEADING,
        spacing("three gauges"),
    ],
);

pub const PASSING_LOOP: Section = named(
    "passing-loop",
    "Two turnouts toes outward, and two tracks between them.",
    &[
        key("hand", word::<Hand>(), Required, "The side on which the loop lies, going from `from` to `to`."),
        key(
            "length",
            quantity("900 mm", "1 mm", "100 m"),
            Otherwise("unknown"),
            "The length of the straight track between the two turnouts.",
        ),
        with("The kind of its controls."),
        key("together", Form::Flag, Default("false"), "Whether one control throws both turnouts."),
        FROG,
        DRIVE,
        BOARD,
        SECTION,
        FROG_FEED,
        toe("Where the toe at the end `from` lies."),
        HEADING,
        spacing("three gauges"),
    ],
);
