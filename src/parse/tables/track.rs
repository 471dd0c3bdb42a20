//! `[track]`, and what is joined to what.

use std::collections::BTreeMap;

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{BoardId, Port, SectionId, Track, TrackEnd, Turnout, TurnoutId, TurnoutKind};
use crate::parse::near;
use crate::parse::reader::{Found, Table};
use crate::parse::tables::turnout::Defaults;
use crate::parse::words::Word;
use crate::source::{At, Span};

/// What a track may refer to.
pub struct Surroundings<'a> {
    pub defaults: &'a Defaults,
    pub board_names: &'a Names,
    pub sections: &'a Names,
    /// `None` where the file is wrong.
    pub turnouts: &'a [Option<Turnout>],
}

/// Both ends of a track, as far as they can be read.
pub type Ends = [Option<At<TrackEnd>>; 2];

pub fn ends(table: &Table<'_>, turnouts: &Names, kinds: &[Option<TurnoutKind>], found: &mut Found) -> Ends {
    ["from", "to"].map(|key| turnouts.track_end(&table.name(key, found)?, kinds, found))
}

pub fn track(table: &Table<'_>, ends: &Ends, around: &Surroundings<'_>, found: &mut Found) -> Option<Track> {
    let length = table.quantity("length", found).map(|at| at.value);
    let droppers = table.flag("droppers", found);
    let board = board(table, ends, around, found);
    let section = section(table, ends, around, found);
    let [from, to] = ends.clone();
    Some(Track {
        name: table.name.clone(),
        from: from?,
        to: to?,
        length,
        board: board?,
        section: section?,
        droppers: droppers?,
        span: table.name.span,
    })
}

/// As given; else the board of the turnout it begins or ends at; else the default.
fn board(table: &Table<'_>, ends: &Ends, around: &Surroundings<'_>, found: &mut Found) -> Option<BoardId> {
    let ports = || ends.iter().flatten().filter_map(|end| port(end.value));
    let joined: Vec<BoardId> =
        ports().filter_map(|(id, _)| around.turnouts.get(id.0)?.as_ref().map(|t| t.board)).collect();
    if !table.has("board") {
        return match joined.first() {
            Some(board) => Some(*board),
            // What it joins is wrong itself and has been reported.
            None if ports().next().is_some() || ends.contains(&None) => around.defaults.board,
            None => around.defaults.board_of_loose_track(table, found),
        };
    }
    let board = around.board_names.bind(&table.name("board", found)?, found)?;
    let board = BoardId(board.value);
    if joined.len() == 2 && !joined.contains(&board) {
        found.push(
            Diagnostic::warning(
                "board-mismatch",
                format!("{} joins two turnouts on other boards", table.what),
            )
            .label(table.place("board"), "neither of them is on this board")
            .help("leave `board` out to take the board of the turnout at its beginning"),
        );
    }
    Some(board)
}

/// As given; else that of the turnout it begins or ends at; else the default.
fn section(
    table: &Table<'_>,
    ends: &Ends,
    around: &Surroundings<'_>,
    found: &mut Found,
) -> Option<SectionId> {
    if table.has("section") {
        return around.sections.bind(&table.name("section", found)?, found).map(|at| SectionId(at.value));
    }
    let joined = ends.iter().flatten().filter_map(|end| port(end.value)).next();
    let turnout = joined.and_then(|(id, _)| around.turnouts.get(id.0)?.as_ref());
    Some(turnout.map_or(around.defaults.section.unwrap_or(SectionId(0)), |t| t.section))
}

fn port(end: TrackEnd) -> Option<(TurnoutId, Port)> {
    match end {
        TrackEnd::Port(id, port) => Some((id, port)),
        TrackEnd::Buffer | TrackEnd::OffTheLayout => None,
    }
}

/// The place in the file that joins each port.
pub type Joins = BTreeMap<(TurnoutId, Port), Span>;

/// Reports ports that are joined twice, and tracks from a port to itself.
pub fn joins(tables: &[Table<'_>], ends: &[Ends], turnouts: &Names, found: &mut Found) -> Joins {
    let mut taken = Joins::new();
    for (table, ends) in tables.iter().zip(ends) {
        if let [Some(from), Some(to)] = ends
            && let Some(key) = port(from.value)
            && from.value == to.value
        {
            found.push(
                Diagnostic::error(
                    "joined-to-itself",
                    format!("{} begins and ends at the same port", table.what),
                )
                .label(to.span, "ends here")
                .label(from.span, "begins here")
                .help("a track joins two different ports; which one is the other?"),
            );
            taken.insert(key, from.span);
            continue;
        }
        for end in ends.iter().flatten() {
            let Some(key) = port(end.value) else { continue };
            let Some(first) = taken.insert(key, end.span) else { continue };
            let (name, port) = (turnouts.name(key.0.0), key.1.word());
            found.push(
                Diagnostic::error(
                    "joined-twice",
                    format!("port `{port}` of turnout `{name}` is joined by two tracks"),
                )
                .label(end.span, "joined again here")
                .label(first, "joined first here")
                .help("rails can go on to one track only; correct one of the two"),
            );
        }
    }
    taken
}

/// Places shown in one message.
const SHOWN: usize = 3;

/// Reports ports that no track joins: one message, however many turnouts there are.
pub fn open_ports(joins: &Joins, turnouts: &Names, kinds: &[Option<TurnoutKind>], found: &mut Found) {
    let open = |(place, kind): (usize, &Option<TurnoutKind>)| {
        let ports = kind.iter().flat_map(|kind| kind.ports()).copied();
        let open = ports.filter(|port| !joins.contains_key(&(TurnoutId(place), *port)));
        let open: Vec<&str> = open.map(Port::word).collect();
        (!open.is_empty()).then_some((place, open))
    };
    let open: Vec<(usize, Vec<&str>)> = kinds.iter().enumerate().filter_map(open).collect();
    let Some((place, ports)) = open.first() else { return };
    let (name, port) = (turnouts.name(*place), ports[0]);
    let help = format!("give a track from \"{name}.{port}\" to where it leads, if only to \"buffer\"");
    let d = if open.len() == 1 {
        let plural = if ports.len() > 1 { "s" } else { "" };
        let ports = near::list(ports.iter().copied(), "and");
        let message = format!("no track joins port{plural} {ports} of turnout `{name}`");
        Diagnostic::warning("open-port", message)
            .label(turnouts.span(*place), "its rails are taken to end there")
            .help(help)
    } else {
        let d = Diagnostic::warning(
            "open-port",
            format!(
                "{} turnouts have ports that no track joins; their rails are taken to end there",
                open.len()
            ),
        );
        let d = open.iter().take(SHOWN).fold(d, |d, (place, ports)| {
            d.label(
                turnouts.span(*place),
                format!("no track at {}", near::list(ports.iter().copied(), "and")),
            )
        });
        d.help(format!("{help}; and so on for the others"))
    };
    found.push(d);
}
