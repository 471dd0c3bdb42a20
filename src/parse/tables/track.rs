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
use crate::units::Length;

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

/// Reports ports that are joined twice, and tracks from a port to itself. `inner` are the ports that
/// compositions join themselves, with the place of each composition.
pub fn joins(
    tables: &[Table<'_>],
    ends: &[Ends],
    inner: Vec<(TrackEnd, Span)>,
    turnouts: &Names,
    found: &mut Found,
) -> Joins {
    let within: Vec<((TurnoutId, Port), Span)> =
        inner.into_iter().filter_map(|(end, span)| Some((port(end)?, span))).collect();
    let mut taken: Joins = within.iter().copied().collect();
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
            let (before, help) = match within.contains(&(key, first)) {
                true => ("joined within this already", "join one of its ends instead"),
                false => ("joined first here", "rails can go on to one track only; correct one of the two"),
            };
            found.push(
                Diagnostic::error(
                    "joined-twice",
                    format!("port `{port}` of turnout `{name}` is joined by two tracks"),
                )
                .label(end.span, "joined again here")
                .label(first, before)
                .help(help),
            );
        }
    }
    taken
}

/// No train gets round a curve of less than four gauges (a judgement; trams manage five), so a track
/// that comes back to its own turnout takes at least the half circle of it.
const SHORTEST_WAY_BACK: f64 = 4.0 * std::f64::consts::PI;

/// Reports tracks that lead back to their own turnout in no time.
pub fn ways_back(tables: &[Table<'_>], ends: &[Ends], turnouts: &Names, gauge: Length, found: &mut Found) {
    for (table, ends) in tables.iter().zip(ends) {
        let [Some(from), Some(to)] = ends else { continue };
        let (Some((one, there)), Some((other, back))) = (port(from.value), port(to.value)) else { continue };
        if one != other || there == back {
            continue;
        }
        // What is wrong with the length itself has been told.
        let Some(length) = table.quantity::<Length>("length", &mut Vec::new()) else { continue };
        let least = SHORTEST_WAY_BACK * gauge.mm();
        if length.mm() >= least {
            continue;
        }
        let name = turnouts.name(one.0);
        found.push(
            Diagnostic::error(
                "joined-to-itself",
                format!("{} leads from turnout `{name}` straight back to it", table.what),
            )
            .label(length.span, "too short for any curve")
            .label(from.span, "begins here")
            .label(to.span, "ends at the same turnout")
            .help(format!(
                "correct one of the ends; if it is a loop, it is longer than {:.0} mm",
                least.floor()
            )),
        );
    }
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
        Diagnostic::error("open-port", message)
            .label(turnouts.span(*place), "its rails lead nowhere")
            .help(help)
    } else {
        let d = Diagnostic::error(
            "open-port",
            format!("{} turnouts have ports that no track joins; their rails lead nowhere", open.len()),
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
