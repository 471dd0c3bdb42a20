//! `[board]` and `[panel]`: what stands in the room.

use crate::diag::Diagnostic;
use crate::parse::bind::Names;
use crate::parse::document::{Board, BoardId, Member, Panel};
use crate::parse::reader::{Found, Table};
use crate::source::{At, Span};
use crate::units::Length;

/// The board of a file that describes none.
pub fn nameless_board() -> Board {
    let name = At::new("board".to_string(), Span::default());
    Board { name, size: None, stands_at: None, members: Vec::new() }
}

pub fn board(table: &Table<'_>, found: &mut Found) -> Option<Board> {
    let size = table.pair::<Length>("size", found);
    let stands_at = table.pair("stands-at", found);
    let members = table.tables("members", found).map(|members| {
        members.iter().map(|m| member(m, size.as_ref().map(|s| s.value), found)).collect::<Vec<_>>()
    });
    Some(Board {
        name: table.name.clone(),
        size: Some(size?.value),
        stands_at: stands_at.map(|at| at.value),
        members: members?.into_iter().collect::<Option<_>>()?,
    })
}

fn member(table: &Table<'_>, size: Option<(Length, Length)>, found: &mut Found) -> Option<Member> {
    let from = table.pair("from", found);
    let to = table.pair("to", found);
    let width = table.quantity("width", found);
    for end in [&from, &to].into_iter().flatten() {
        on_board(end, size, &table.what, found);
    }
    Some(Member { from: from?.value, to: to?.value, width: width?.value })
}

/// Reports a point that lies beyond the board's edges. The range of the keys already refuses
/// points to the left of it and in front of it.
pub fn on_board(point: &At<(Length, Length)>, size: Option<(Length, Length)>, what: &str, found: &mut Found) {
    let Some((width, depth)) = size else { return };
    let edge = match point.value {
        (x, _) if x > width => "to the right of the board's right edge",
        (_, y) if y > depth => "behind the board's back edge",
        _ => return,
    };
    found.push(
        Diagnostic::error("off-the-board", format!("{what} lies outside its board"))
            .label(point.span, edge)
            .help("measure from the front left corner of the board: first to the right, then to the back"),
    );
}

/// The panel; without `[panel]` its cable goes to the first board.
pub fn panel(table: &Table<'_>, boards: &Names, found: &mut Found) -> Option<Panel> {
    let board = match table.name("board", found) {
        Some(name) => boards.bind(&name, found).map(|at| BoardId(at.value)),
        None => Some(BoardId(0)),
    };
    let cable = table.quantity("cable", found);
    let route_diodes = table.word("route-diodes", found);
    Some(Panel {
        board: board?,
        cable: cable?.value,
        typical: !table.has("cable"),
        route_diodes: route_diodes?.value,
        span: table.written.then_some(table.name.span),
    })
}
