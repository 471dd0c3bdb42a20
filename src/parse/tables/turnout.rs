//! `[defaults]` and `[turnout]`.

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{
    Bar, Board, BoardId, Decision, DriveId, FrogKind, Port, SectionId, SlipBlades, Turnout, TurnoutId,
    TurnoutKind, TurnoutPlace,
};
use crate::parse::near;
use crate::parse::reader::{Found, Table};
use crate::parse::tables::site::on_board;
use crate::parse::words::Word;
use crate::source::At;
use crate::units::{Angle, Length};

/// What `[defaults]` says, with names bound.
#[derive(Default)]
pub struct Defaults {
    pub frog: Option<At<FrogKind>>,
    pub drive: Option<DriveId>,
    pub board: Option<BoardId>,
    pub section: Option<SectionId>,
    /// Whether `[defaults]` has a drive, rightly or wrongly.
    has_drive: bool,
    has_frog: bool,
    has_board: bool,
}

impl Defaults {
    /// The default board for a track that joins no turnout; reports that there is none.
    pub fn board_of_loose_track(&self, table: &Table<'_>, found: &mut Found) -> Option<BoardId> {
        if self.board.is_none() && !self.has_board {
            let message = format!("{} joins no turnout and has no `board`", table.what);
            found.push(
                Diagnostic::error("missing-key", message)
                    .label(table.name.span, "on which of the boards does it lie?")
                    .help("write `board` here, or once for all under [defaults]"),
            );
        }
        self.board
    }
}

/// The only drive and the only board need no mention.
pub fn defaults(
    table: &Table<'_>,
    drives: &Names,
    boards: &Names,
    sections: &Names,
    found: &mut Found,
) -> Defaults {
    let frog = table.word("frog", found);
    let drive = table.name("drive", found).and_then(|n| drives.bind(&n, found)).map(|at| DriveId(at.value));
    let board = table.name("board", found).and_then(|n| boards.bind(&n, found)).map(|at| BoardId(at.value));
    let section =
        table.name("section", found).and_then(|n| sections.bind(&n, found)).map(|at| SectionId(at.value));
    Defaults {
        section,
        frog,
        drive: drive.or((drives.len() == 1 && drives.is_known()).then_some(DriveId(0))),
        // A file without boards has one all the same.
        board: board.or((boards.len() <= 1 || !boards.is_known()).then_some(BoardId(0))),
        has_frog: !table.is_table() || table.means("frog"),
        has_drive: !table.is_table() || table.means("drive"),
        has_board: !table.is_table() || table.means("board"),
    }
}

/// The kind of a turnout, which is read before everything that may join it.
pub fn kind(table: &Table<'_>, found: &mut Found) -> Option<At<TurnoutKind>> {
    table.word("kind", found)
}

/// What a turnout may refer to.
pub struct Surroundings<'a> {
    pub defaults: &'a Defaults,
    pub drives: &'a Names,
    pub board_names: &'a Names,
    pub sections: &'a Names,
    /// Every turnout's name and kind.
    pub turnouts: &'a Names,
    pub kinds: &'a [Option<TurnoutKind>],
    pub boards: &'a [Option<Board>],
}

pub fn turnout(
    table: &Table<'_>,
    kind: Option<At<TurnoutKind>>,
    around: &Surroundings<'_>,
    found: &mut Found,
) -> Option<Turnout> {
    let frog = frog(table, around.defaults, found);
    let board = board(table, around, found);
    let section = section(table, around, found);
    let size = board.and_then(|b| around.boards.get(b.0)?.as_ref()?.size);
    let place = place(table, kind.as_ref(), size, found);
    let normal = normal(table, kind.as_ref(), found);
    let frog_feed = table.word("frog-feed", found);
    let blades = blades(table, kind.as_ref(), found);
    let decided_by = decided_by(table, kind.as_ref(), around, found);
    Some(Turnout {
        name: table.name.clone(),
        kind: kind?,
        frog: frog?,
        board: board?,
        section: section?,
        place,
        normal: normal?,
        blades: blades?,
        frog_feed,
        decided_by,
        span: table.name.span,
    })
}

/// Its tie bars, each with its drive; `None` if a drive is wrong.
pub fn bars(
    table: &Table<'_>,
    turnout: TurnoutId,
    kind: Option<TurnoutKind>,
    around: &Surroundings<'_>,
    found: &mut Found,
) -> Option<Vec<Bar>> {
    let names = kind?.bars();
    if names.is_empty() {
        return Some(Vec::new());
    }
    let drive = drive(table, around, found)?;
    let name = |bar: &str| match bar {
        "" => table.name.value.clone(),
        bar => format!("{}.{bar}", table.name.value),
    };
    let bars = names.iter().enumerate();
    Some(bars.map(|(index, bar)| Bar { name: name(bar), turnout, index, drive: drive.clone() }).collect())
}

fn blades(table: &Table<'_>, kind: Option<&At<TurnoutKind>>, found: &mut Found) -> Option<SlipBlades> {
    let blades = table.word::<SlipBlades>("blades", found)?;
    if let Some(kind) = kind.filter(|k| k.value != TurnoutKind::DoubleSlip && table.has("blades")) {
        found.push(
            Diagnostic::error("not-a-double-slip", format!("{} has only one way to be thrown", table.what))
                .label(blades.span, "for a double slip only")
                .label(kind.span, format!("a `{}`", kind.word()))
                .help("leave `blades` out"),
        );
        return None;
    }
    Some(blades.value)
}

fn decided_by(
    table: &Table<'_>,
    kind: Option<&At<TurnoutKind>>,
    around: &Surroundings<'_>,
    found: &mut Found,
) -> Option<At<Decision>> {
    let name = table.name("decided-by", found)?;
    if kind.is_some_and(|k| k.value != TurnoutKind::Diamond) {
        found.push(
            Diagnostic::error("not-a-diamond", format!("{} has blades of its own, which decide", table.what))
                .label(table.place("decided-by"), "for a diamond only")
                .help("leave it out"),
        );
        return None;
    }
    if around.turnouts.kind(name.value, around.kinds).is_some_and(|k| k.bars().is_empty()) {
        let itself = name.value == table.name.value;
        let label = if itself { "this is the diamond itself" } else { "a diamond as well" };
        found.push(
            Diagnostic::error("no-blades", format!("`{}` has no blades that could decide the road over {}", name.value, table.what))
                .label(name.span, label)
                .help(
                    "name a turnout whose blades lead trains to the one road or the other; if there is none, leave \
                     `decided-by` out",
                ),
        );
        return None;
    }
    if !around.turnouts.stands_alike(name.value) {
        found.push(
            Diagnostic::error("which-bar", format!("the turnouts of `{}` are thrown one by one", name.value))
                .label(name.span, "which of them decides?")
                .help("write the name of that one turnout"),
        );
        return None;
    }
    let together = vec![false; around.kinds.len()];
    let bar = around.turnouts.bars(&name, around.kinds, &together, found)?;
    Some(At::new(Decision { bar: *bar.first()?, inverted: false }, name.span))
}

/// As given; else the default; else the first.
pub fn section(table: &Table<'_>, around: &Surroundings<'_>, found: &mut Found) -> Option<SectionId> {
    match table.name("section", found) {
        Some(name) => around.sections.bind(&name, found).map(|at| SectionId(at.value)),
        None => around.defaults.section.or(Some(SectionId(0))),
    }
}

pub fn frog(table: &Table<'_>, defaults: &Defaults, found: &mut Found) -> Option<At<FrogKind>> {
    if table.has("frog") { table.word("frog", found) } else { defaults.frog.clone() }
}

pub fn drive(table: &Table<'_>, around: &Surroundings<'_>, found: &mut Found) -> Option<At<DriveId>> {
    if !table.has("drive") {
        return around.defaults.drive.map(|drive| At::new(drive, table.name.span));
    }
    let drive = around.drives.bind(&table.name("drive", found)?, found)?;
    Some(At::new(DriveId(drive.value), drive.span))
}

pub fn board(table: &Table<'_>, around: &Surroundings<'_>, found: &mut Found) -> Option<BoardId> {
    if !table.has("board") {
        return around.defaults.board;
    }
    around.board_names.bind(&table.name("board", found)?, found).map(|at| BoardId(at.value))
}

/// Reports turnouts without frog, drive or board where [defaults] does not help: one message for
/// each of the three, however many turnouts there are.
pub fn gaps(tables: &[&Table<'_>], defaults: &Defaults, drives: &Names, found: &mut Found) {
    if defaults.frog.is_none() && !defaults.has_frog {
        gap(tables, "frog", "what is its frog made of?", found);
    }
    // A file without any drive has a message of its own.
    if defaults.drive.is_none() && !defaults.has_drive && drives.len() > 0 && drives.is_known() {
        gap(tables, "drive", "which of the drives throws it?", found);
    }
    if defaults.board.is_none() && !defaults.has_board {
        gap(tables, "board", "on which of the boards does it lie?", found);
    }
}

/// Places shown in one message.
const SHOWN: usize = 3;

fn gap(tables: &[&Table<'_>], key: &str, question: &str, found: &mut Found) {
    let diamond = |t: &Table<'_>| key == "drive" && t.name_is("kind", TurnoutKind::Diamond.word());
    let without: Vec<_> =
        tables.iter().copied().filter(|t| t.is_table() && !t.means(key) && !diamond(t)).collect();
    let message = match without.as_slice() {
        [] => return,
        [one] => format!("{} has no `{key}`, and [defaults] has none", one.what),
        many => format!("{} turnouts have no `{key}`, and [defaults] has none", many.len()),
    };
    let form = without[0].form(key);
    let d = without.iter().take(SHOWN).fold(Diagnostic::error("missing-key", message), |d, table| {
        let first = d.labels.is_empty();
        d.label(table.name.span, if first { question } else { "nor this one" })
    });
    found.push(d.help(format!("write `{key}` here, or once for all under [defaults]: {form}")));
}

/// Where the toe lies, or the middle of a kind without; for a composition, without `kind`.
pub fn place(
    table: &Table<'_>,
    kind: Option<&At<TurnoutKind>>,
    size: Option<(Length, Length)>,
    found: &mut Found,
) -> Option<TurnoutPlace> {
    let (key, other) = match kind {
        Some(kind) if !kind.has_toe() => ("centre", "toe"),
        _ => ("toe", "centre"),
    };
    if let (true, Some(kind)) = (table.has(other), kind) {
        found.push(
            Diagnostic::error(
                "unknown-key",
                format!("{} is placed by its {key}, not its {other}", table.what),
            )
            .label(table.place(other), "not for this kind")
            .label(kind.span, format!("a `{}`", kind.word()))
            .help(format!("write `{key}` here")),
        );
        return None;
    }
    let origin = table.pair::<Length>(key, found);
    let heading = table.quantity::<Angle>("heading", found);
    let (given, wanting, help) = match (table.means(key), table.means("heading")) {
        (true, false) if key == "toe" => {
            (key, "heading", "give the direction from toe to frog: 0 deg is to the right")
        }
        (true, false) => (key, "heading", "give the direction from ends a and c to ends b and d"),
        (false, true) if key == "toe" => {
            ("heading", key, "give the place of the toe, or leave `heading` out as well")
        }
        (false, true) => ("heading", key, "give the place of the middle, or leave `heading` out as well"),
        _ => {
            let origin = origin?;
            on_board(&origin, size, &table.what, found);
            return Some(TurnoutPlace { origin: origin.value, heading: heading?.value });
        }
    };
    found.push(
        Diagnostic::error("missing-key", format!("{} has `{given}` but no `{wanting}`", table.what))
            .label(table.place(given), "of no use alone")
            .help(help),
    );
    None
}

fn normal(table: &Table<'_>, kind: Option<&At<TurnoutKind>>, found: &mut Found) -> Option<Port> {
    let normal = table.word::<Port>("normal", found);
    let kind = kind?;
    // With two tie bars or none, or with equal ends, the normal road is that of the kind.
    let fixed = match kind.value {
        TurnoutKind::ThreeWay => Some(Port::Straight),
        TurnoutKind::Diamond | TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip => Some(Port::B),
        _ => None,
    };
    if let Some(fixed) = fixed {
        if let Some(given) = normal.filter(|n| n.value != fixed) {
            found.push(
                Diagnostic::error("unknown-port", format!("{} cannot have another normal road", table.what))
                    .label(given.span, "not used with this kind")
                    .label(kind.span, format!("a `{}`", kind.word()))
                    .help("leave `normal` out"),
            );
            return None;
        }
        return Some(fixed);
    }
    let [_, one, other] = *kind.ports() else { return None };
    let Some(normal) = normal else {
        if table.means("normal") {
            return None;
        }
        if kind.value != TurnoutKind::Wye {
            return Some(one);
        }
        found.push(
            Diagnostic::error("missing-key", format!("{} is a wye and has no `normal`", table.what))
                .label(kind.span, "neither of its roads is the straight one")
                .help("say which road is set in the normal position: `normal = \"left\"` or `\"right\"`"),
        );
        return None;
    };
    if normal.value == one || normal.value == other {
        return Some(normal.value);
    }
    let roads = near::list([one.word(), other.word()], "and");
    found.push(
        Diagnostic::error("unknown-port", format!("{} has no road `{}`", table.what, normal.word()))
            .label(normal.span, "not one of its roads")
            .label(kind.span, format!("a turnout of this kind has the roads {roads}"))
            .help(format!("write one of {roads}")),
    );
    None
}
