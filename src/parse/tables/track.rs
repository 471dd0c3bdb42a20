//! `[track]`, and what is joined to what.

use std::collections::BTreeMap;

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{BoardId, Port, Track, TrackEnd, Turnout, TurnoutId, TurnoutKind};
use crate::parse::reader::{Found, Table};
use crate::parse::tables::turnout::{self, Defaults};
use crate::parse::words::Word;
use crate::source::{At, Span};

/// What a track may refer to.
pub struct Surroundings<'a> {
    pub defaults: &'a Defaults,
    pub board_names: &'a Names,
    pub turnout_names: &'a Names,
    /// By turnout; `None` where the file is wrong.
    pub kinds: &'a [Option<TurnoutKind>],
    pub turnouts: &'a [Option<Turnout>],
}

pub fn track(table: &Table<'_>, around: &Surroundings<'_>, found: &mut Found) -> Option<Track> {
    let end = |key: &str, found: &mut Found| {
        around.turnout_names.track_end(&table.name(key, found)?, around.kinds, found)
    };
    let from = end("from", found);
    let to = end("to", found);
    let length = table.quantity("length", found).map(|at| at.value);
    let droppers = table.flag("droppers", found);
    let board = board(table, [from.as_ref(), to.as_ref()], around, found);
    Some(Track {
        name: table.name.clone(),
        from: from?,
        to: to?,
        length,
        board: board?,
        droppers: droppers?,
        span: table.name.span,
    })
}

/// As given; else the board of the turnout it begins or ends at; else the default.
fn board(
    table: &Table<'_>,
    ends: [Option<&At<TrackEnd>>; 2],
    around: &Surroundings<'_>,
    found: &mut Found,
) -> Option<BoardId> {
    let joined: Vec<BoardId> = ends
        .into_iter()
        .flatten()
        .filter_map(|end| match end.value {
            TrackEnd::Port(id, _) => around.turnouts.get(id.0)?.as_ref().map(|t| t.board),
            _ => None,
        })
        .collect();
    if !table.has("board") {
        let joins_turnout = ends.into_iter().flatten().any(|e| matches!(e.value, TrackEnd::Port(..)));
        return match joined.first() {
            Some(board) => Some(*board),
            // The turnout is wrong itself and has been reported.
            None if joins_turnout || ends.contains(&None) => around.defaults.board,
            None => turnout::board(table, around.defaults, around.board_names, found),
        };
    }
    let board = turnout::board(table, around.defaults, around.board_names, found)?;
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

/// Reports ports that are joined twice, tracks from a port to itself, and ports that no track
/// joins. `ends` holds both ends of each track as far as they could be read.
pub fn joins(
    tables: &[Table<'_>],
    tracks: &[Option<Track>],
    turnouts: &[Option<Turnout>],
    found: &mut Found,
) {
    let mut taken: BTreeMap<(TurnoutId, Port), Span> = BTreeMap::new();
    for (table, track) in tables.iter().zip(tracks) {
        let Some(track) = track else { continue };
        if track.from.value == track.to.value && matches!(track.from.value, TrackEnd::Port(..)) {
            found.push(
                Diagnostic::error(
                    "joined-to-itself",
                    format!("{} begins and ends at the same port", table.what),
                )
                .label(track.to.span, "ends here")
                .label(track.from.span, "begins here")
                .help("a track joins two different ports; which one is the other?"),
            );
            continue;
        }
        for end in [&track.from, &track.to] {
            let TrackEnd::Port(id, port) = end.value else { continue };
            let Some(first) = taken.insert((id, port), end.span) else { continue };
            let name = turnouts.get(id.0).and_then(Option::as_ref).map_or("", |t| t.name.value.as_str());
            found.push(
                Diagnostic::error(
                    "joined-twice",
                    format!("port `{}` of turnout `{name}` is joined by two tracks", port.word()),
                )
                .label(end.span, "joined again here")
                .label(first, "joined first here")
                .help("rails can go on to one track only; correct one of the two"),
            );
        }
    }
    // A track that could not be read may be the one that joins the port.
    if tracks.iter().all(Option::is_some) {
        open_ports(&taken, turnouts, found);
    }
}

fn open_ports(taken: &BTreeMap<(TurnoutId, Port), Span>, turnouts: &[Option<Turnout>], found: &mut Found) {
    for (place, turnout) in turnouts.iter().enumerate() {
        let Some(turnout) = turnout else { continue };
        for port in turnout.kind.ports() {
            if taken.contains_key(&(TurnoutId(place), port)) {
                continue;
            }
            let (name, port) = (&turnout.name.value, port.word());
            found.push(
                Diagnostic::warning("open-port", format!("no track joins port `{port}` of turnout `{name}`"))
                    .label(turnout.name.span, "its rails are taken to end there")
                    .help(format!(
                        "say so with a track from \"{name}.{port}\" to \"buffer\", or to where it leads"
                    )),
            );
        }
    }
}
