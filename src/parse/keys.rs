//! Every table and key of the layout file: name, form, what holds when it is absent, meaning.
//!
//! This is the one list. Reading takes ranges and defaults from it, messages the legal keys, the
//! JSON Schema everything; a test holds `docs/layout-file.md` to it.
//!
//! The ranges only catch slips of the unit or the decimal point; they are wide and, where no source
//! is named, a judgement. Typical figures of drives say in their comments where they come from.

mod compositions;

pub use compositions::{CROSSOVER, LADDER, PASSING_LOOP, SCISSORS};

use super::document::{
    Colour, ControlKind, DropperRule, FiredFrom, FrogFeedBy, FrogKind, PageSize, RouteDiodes, SectionFeed,
    SlipBlades, SupplyKind, SupplyUse, TrainControl, TurnoutKind,
};
use super::form::Absent::{self, Default, Otherwise, Required, Typical};
use super::form::{Form, Key, Range, Section, key, pair, quantity, word};
use super::words::{DriveKind, Hand, roads};

/// Keys that stand before the first table.
pub const ROOT: &[Key] =
    &[key("format", Form::Format, Required, "The format this file is written in; this is format 1.")];

/// Every table, in the order in which the documentation has them.
pub const SECTIONS: &[&Section] = &[
    &LAYOUT,
    &TRACK_POWER,
    &DEFAULTS,
    &BOARD,
    &SECTION,
    &TURNOUT,
    &CROSSOVER,
    &SCISSORS,
    &LADDER,
    &PASSING_LOOP,
    &TRACK,
    &DRIVE,
    &CONTROL,
    &ROUTE,
    &SUPPLY,
    &SERVO_CONTROLLER,
    &WIRE,
    &CAPACITOR,
    &COLOURS,
    &PANEL,
];

/// Tables that stand for several turnouts at once.
pub const COMPOSITIONS: &[&Section] = &[&CROSSOVER, &SCISSORS, &LADDER, &PASSING_LOOP];

const fn single(name: &'static str, doc: &'static str, keys: &'static [Key]) -> Section {
    Section { name, named: false, doc, keys, variants: &[] }
}

const fn named(name: &'static str, doc: &'static str, keys: &'static [Key]) -> Section {
    Section { name, named: true, doc, keys, variants: &[] }
}

pub const LAYOUT: Section = single(
    "layout",
    "The layout as a whole, and how the book is printed.",
    &[
        key("name", Form::Text, Required, "The name of the layout, for the title block."),
        key("control", word::<TrainControl>(), Required, "How the trains are driven."),
        key(
            "gauge",
            quantity("16.5 mm", "3 mm", "200 mm"),
            Default("16.5 mm"),
            "Distance between the rails.",
        ),
        key("revision", Form::Text, Default("A"), "The state of the drawings, for the title block."),
        key("date", Form::Date, Default("undated"), "The date of this revision, for the title block."),
        key(
            "ambient",
            pair("35 degC", "-40 degC", "60 degC"),
            Otherwise(r#"["10 degC", "35 degC"]"#),
            "The lowest and the highest room temperature for which the figures must hold.",
        ),
        key("page", word::<PageSize>(), Default("A4"), "The paper of the book, always landscape."),
        key("droppers", word::<DropperRule>(), Default("each-piece"), "Where rails get wires of their own."),
        key(
            "longest-train",
            quantity("900 mm", "20 mm", "50 m"),
            Otherwise("unknown"),
            "The longest train with metal wheels all along, for reversing sections.",
        ),
    ],
);

pub const TRACK_POWER: Section = single(
    "track-power",
    "What feeds the rails.",
    &[
        key(
            "voltage",
            // NEM 961 D admits up to 24 V on the rails.
            quantity("14 V", "3 V", "24 V"),
            Otherwise("14 V with dcc, 12 V with dc"),
            "The voltage on the rails.",
        ),
        key(
            "trip",
            // NEM 609: not more than 10 A from the outputs of a toy supply.
            quantity("3 A", "100 mA", "10 A"),
            Otherwise("3 A with dcc, 1 A with dc"),
            "The current at which booster or controller cuts off.",
        ),
        key(
            "cabs",
            Form::Count { most: 4 },
            Otherwise("1"),
            "Controllers that can be switched to any section (DC).",
        ),
    ],
);

pub const DEFAULTS: Section = single(
    "defaults",
    "What holds for every turnout (and, for `board`, every track) that does not say otherwise.",
    &[
        key("frog", word::<FrogKind>(), Otherwise("none"), "The kind of frog."),
        key("drive", Form::Name("drive"), Otherwise("the drive, if there is only one"), "The drive."),
        key("board", Form::Name("board"), Otherwise("the board, if there is only one"), "The board."),
        key("section", Form::Name("section"), Otherwise("the first section"), "The section."),
    ],
);

pub const BOARD: Section = named(
    "board",
    "A baseboard: a rectangle, seen from above. A file without boards has one, of unknown size.",
    &[
        key("size", pair("1200 mm", "50 mm", "10 m"), Required, "Left to right, then front to back."),
        key(
            "stands-at",
            pair("0 mm", "-100 m", "100 m"),
            Otherwise("unknown"),
            "Where its front left corner stands, from that of the first board.",
        ),
        key(
            "members",
            Form::Tables(MEMBER),
            Otherwise("none"),
            "The framing underneath that wires must get past.",
        ),
    ],
);

/// One entry of `members`.
pub const MEMBER: &[Key] = &[
    key("from", pair("0 mm", "0 mm", "10 m"), Required, "One end of the member's middle line."),
    key("to", pair("0 mm", "0 mm", "10 m"), Required, "The other end."),
    key("width", quantity("20 mm", "2 mm", "500 mm"), Required, "How thick it is, seen from above."),
];

pub const SECTION: Section = named(
    "section",
    "A part of the track with a feed of its own; both rails are cut at its borders. A file without sections has one.",
    &[key("feed", word::<SectionFeed>(), Default("shared"), "Where its feed comes from.")],
);

pub const TURNOUT: Section = named(
    "turnout",
    "A turnout.",
    &[
        key("kind", word::<TurnoutKind>(), Required, "Which way it leads, seen from the toe."),
        key("frog", word::<FrogKind>(), Otherwise("as [defaults] says"), "What the frog is made of."),
        key("drive", Form::Name("drive"), Otherwise("as [defaults] says"), "The drive that throws it."),
        key("board", Form::Name("board"), Otherwise("as [defaults] says"), "The board it lies on."),
        key("section", Form::Name("section"), Otherwise("as [defaults] says"), "The section it lies in."),
        key(
            "toe",
            pair("310 mm", "0 mm", "10 m"),
            Otherwise("unknown"),
            "Where the toe lies: from the board's front left corner to the right, then to the back.",
        ),
        key(
            "centre",
            pair("310 mm", "0 mm", "10 m"),
            Otherwise("unknown"),
            "Of a diamond or slip, instead of `toe`: where its middle lies.",
        ),
        key(
            "heading",
            quantity("15 deg", "-360 deg", "360 deg"),
            Otherwise("required with `toe` or `centre`"),
            "The direction from toe to frog, or from ends a and c to b and d: 0 deg is to the right, 90 deg to \
             the back.",
        ),
        key(
            "normal",
            Form::Word(roads),
            Otherwise("straight or outer; required for a wye"),
            "The road that is set in the normal position; of a three-way always straight, of a slip a-b.",
        ),
        key(
            "blades",
            word::<SlipBlades>(),
            Default("far-exit"),
            "Of a double slip: how its two tie bars choose the road.",
        ),
        key(
            "frog-feed",
            word::<FrogFeedBy>(),
            Otherwise("chosen for you"),
            "What changes the frog's polarity.",
        ),
        key(
            "decided-by",
            Form::Name("turnout"),
            Otherwise("chosen for you"),
            "Of a diamond: the turnout whose normal position means that a-b is in use, and reverse c-d.",
        ),
    ],
);

pub const TRACK: Section = named(
    "track",
    "A piece of plain track between two turnouts, or from a turnout to where the rails end.",
    &[
        key("from", Form::TrackEnd, Required, "One end."),
        key("to", Form::TrackEnd, Required, "The other end."),
        key(
            "length",
            quantity("350 mm", "1 mm", "100 m"),
            Otherwise("unknown"),
            "Its length along the rails.",
        ),
        key(
            "board",
            Form::Name("board"),
            Otherwise("that of the turnout it joins"),
            "The board its droppers go through.",
        ),
        key(
            "section",
            Form::Name("section"),
            Otherwise("that of the turnout it joins"),
            "The section it lies in.",
        ),
        key(
            "droppers",
            Form::Flag,
            Default("true"),
            "Whether it has droppers of its own under `each-piece`.",
        ),
    ],
);

/// Typical figures from memory, except: coil "4.5 ohm" lies between the strong under-board
/// solenoids (3 to 6 ohm, from memory) and measured coils seen in the trade (1.4 to 5.4 ohm).
const SOLENOID: &[Key] = &[
    key(
        "coil",
        quantity("4.5 ohm", "0.3 ohm", "200 ohm"),
        Typical("4.5 ohm"),
        "Resistance of one coil at 20 degC.",
    ),
    // From memory: 2 to 20 mH with the plunger.
    key("inductance", quantity("8 mH", "0.1 mH", "1 H"), Typical("8 mH"), "Inductance of one coil."),
    // From memory: 0.2 to 0.6 J for small ones, 0.5 to 1.5 J for strong ones.
    key(
        "energy",
        quantity("0.5 J", "10 mJ", "10 J"),
        Typical("0.5 J"),
        "What one coil needs for a sure throw.",
    ),
    // Seen in the trade: 0.5 to 3 A quoted.
    key("current", quantity("2 A", "50 mA", "20 A"), Typical("2 A"), "The current one coil needs to pull."),
    // From memory: throws take 10 to 50 ms, the pull is needed for part of that.
    key(
        "pulse",
        quantity("10 ms", "1 ms", "1 s"),
        Typical("10 ms"),
        "How long one coil needs at least that current.",
    ),
    key("fired-from", word::<FiredFrom>(), Default("discharge unit"), "What gives the pulse."),
    key("contacts", Form::Count { most: 8 }, Typical("0"), "Changeover contacts the drive carries."),
    // From memory; the built-in end-off switch of one family is good for 0.5 A only.
    key("contact-rating", quantity("1 A", "10 mA", "16 A"), Typical("1 A"), "What one contact may switch."),
];

/// Seen in the trade: 12 V, 15 to 20 mA stalled, about 3 s. From memory: 4 to 8 mA running, two
/// contacts of 1 to 4 A.
const SLOW_MOTION: &[Key] = &[
    key("voltage", quantity("12 V", "1.5 V", "24 V"), Typical("12 V"), "Rated voltage of the motor."),
    // Seen in the trade: motors of 12 V in use from 6 V on.
    key(
        "lowest",
        quantity("6 V", "0.5 V", "24 V"),
        Otherwise("half of `voltage`, a typical figure"),
        "The least voltage at which it moves for sure.",
    ),
    key("running", quantity("8 mA", "0.5 mA", "1 A"), Typical("8 mA"), "Current while it moves."),
    key(
        "stall",
        quantity("20 mA", "1 mA", "2 A"),
        Typical("20 mA"),
        "Current when it stands against its stop.",
    ),
    key("throw-time", quantity("3 s", "0.1 s", "60 s"), Typical("3 s"), "Time from end to end."),
    key("contacts", Form::Count { most: 8 }, Typical("2"), "Changeover contacts the drive carries."),
    key("contact-rating", quantity("1 A", "10 mA", "16 A"), Typical("1 A"), "What one contact may switch."),
];

/// Seen in the trade: 0.25 A moving, 0.7 A stalled for a micro servo, not below 4.5 V at the servo.
/// From memory: 4.8 to 6 V, 5 to 10 mA at rest.
const SERVO: &[Key] = &[
    key("voltage", quantity("5 V", "3 V", "9 V"), Typical("5 V"), "Rated voltage of the servo."),
    key(
        "lowest",
        quantity("4.5 V", "2.5 V", "9 V"),
        Typical("4.5 V"),
        "The least voltage at which it moves properly.",
    ),
    key("idle", quantity("10 mA", "0.5 mA", "500 mA"), Typical("10 mA"), "Current at rest."),
    key("moving", quantity("250 mA", "10 mA", "5 A"), Typical("250 mA"), "Current while it moves."),
    key("stall", quantity("700 mA", "50 mA", "10 A"), Typical("700 mA"), "Current when it is held fast."),
    key("contacts", Form::Count { most: 8 }, Typical("0"), "Changeover contacts the drive carries."),
    key("contact-rating", quantity("1 A", "10 mA", "16 A"), Typical("1 A"), "What one contact may switch."),
];

pub const DRIVE: Section = Section {
    name: "drive",
    named: true,
    doc: "A kind of turnout motor. Typical figures stand in for those not given, and the book says so.",
    keys: &[key("kind", word::<DriveKind>(), Required, "How it works.")],
    variants: &[("solenoid", SOLENOID), ("slow-motion", SLOW_MOTION), ("servo", SERVO)],
};

pub const CONTROL: Section = named(
    "control",
    "What the operator touches.",
    &[
        key(
            "throws",
            Form::Names("turnout"),
            Required,
            "The turnout, or the turnouts that are thrown together. Of a turnout with two tie bars, one of them: \
             `T5.left`, `T6.ac`; of a scissors one diagonal: `X2.ab`.",
        ),
        key("with", word::<ControlKind>(), Required, "What it is."),
    ],
);

pub const ROUTE: Section = named(
    "route",
    "A push button on the panel that sets several turnouts at once; for solenoids fired from the discharge unit.",
    &[key(
        "sets",
        Form::Settings,
        Required,
        "The turnouts it sets, each with `normal`, `reverse` or the road to be used: its far end, or both ends as \
         in `a-d`.",
    )],
);

pub const SUPPLY: Section = named(
    "supply",
    "An approved plug-in supply you own. A file without supplies gets one recommended.",
    &[
        key("kind", word::<SupplyKind>(), Otherwise("as `voltage` says"), "What it gives."),
        key(
            "voltage",
            Form::SupplyVoltage(Range { example: "16 V AC", least: "3 V", most: "60 V" }),
            Required,
            "Its rated voltage; of one half, if it is split.",
        ),
        // NEM 609: not more than 10 A in total from the outputs of a toy supply.
        key(
            "current",
            quantity("1 A", "10 mA", "10 A"),
            Required,
            "What it may give for any length of time.",
        ),
        key(
            "unloaded",
            quantity("18 V", "3 V", "60 V"),
            Otherwise("estimated"),
            "Its voltage without load, as measured.",
        ),
        key("feeds", word::<SupplyUse>(), Otherwise("any drive that it fits"), "What you keep it for."),
    ],
);

pub const SERVO_CONTROLLER: Section = single(
    "servo-controller",
    "How the controllers of servos behave. With decoders: how these do.",
    &[
        key(
            "moves",
            Form::Count { most: 64 },
            Otherwise("as many as one control throws"),
            "How many servos move at the same time.",
        ),
        key(
            "staggered-start",
            Form::Flag,
            Default("true"),
            "Whether it moves servos no faster than that also when it is switched on; if not, all start at once.",
        ),
    ],
);

pub const WIRE: Section = single(
    "wire",
    "The wire you have.",
    &[key("stock", Form::WireSizes, Otherwise("the usual sizes"), "Sizes to choose from.")],
);

pub const CAPACITOR: Section = single(
    "capacitor",
    "The capacitors you have for the discharge unit. Up to six of one value are put in parallel.",
    &[
        key("stock", Form::Capacitances, Otherwise("what is sold"), "Values to choose from."),
        key(
            "voltage",
            quantity("35 V", "6.3 V", "450 V"),
            Otherwise("as the supply asks for"),
            "The voltage they are rated for.",
        ),
    ],
);

const fn colour(name: &'static str, nem_605: &'static str, doc: &'static str) -> Key {
    key(name, word::<Colour>(), Otherwise(nem_605), doc)
}

pub const COLOURS: Section = single(
    "colours",
    "Insulation colours by what a wire is for. What you do not set is as NEM 605 recommends.",
    &[
        colour("dc-common", "BK", "Common return of a DC supply."),
        colour("dc-positive", "RD", "Positive of a DC supply."),
        colour("dc-negative", "BU", "Negative of a DC supply."),
        colour("ac-supply", "GY", "Both conductors of an AC supply."),
        colour("digital-a", "RD", "First conductor of the digital track supply."),
        colour("digital-b", "BN", "Second conductor of the digital track supply."),
        colour("traction-positive", "WH", "Positive of the analogue track supply."),
        colour("traction-negative", "YE", "Negative of the analogue track supply."),
        colour("turnout-command", "GN", "From control to drive."),
        colour("feedback", "BN", "Position and occupancy reports."),
        colour("other", "VT", "Anything else, frogs among it."),
    ],
);

pub const PANEL: Section = single(
    "panel",
    "The control panel.",
    &[
        key("board", Form::Name("board"), Otherwise("the first board"), "The board its cable goes to first."),
        key("cable", quantity("1.5 m", "50 mm", "50 m"), Typical("1.5 m"), "The length of that cable."),
        key(
            "route-diodes",
            word::<RouteDiodes>(),
            Default("fewest"),
            "Which links between route buttons and lines are diodes.",
        ),
    ],
);
