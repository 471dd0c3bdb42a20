//! The underside of each board: what is to be drilled, screwed and found again there, at its place.
//! Geometry is mirrored, words are not.

mod footprint;
mod paint;
mod table;
#[cfg(test)]
mod tests;
mod view;

use crate::Design;
use crate::circuit::{PartKind, Place};
use crate::draw::page::{Page, PageFormat, TitleBlock};
use crate::geom::{Point, Rect, point};
use crate::parse::{BoardId, TurnoutId};
use footprint::Places;
use view::View;

/// For the statement of the view, above the board.
const HEADING: f64 = 11.0;
/// Around the board, for words.
const SIDE: f64 = 9.0;
/// The check bar's share of the foot of the sheet.
const BAR: f64 = 112.0;

/// A drive with its place, for drawing and table.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DriveRow {
    pub turnout: TurnoutId,
    /// "M1"
    pub designation: String,
    /// The pin's hole, from the left end seen from above and from the front edge.
    pub at: Point,
}

/// Draws each board that has a size and at least one turnout with a place. `page` makes the framed
/// sheets, from slug, title and scale, all of one format.
pub fn underside(
    design: &Design,
    format: PageFormat,
    page: &mut dyn FnMut(&str, &str, &str) -> Page,
) -> Vec<Page> {
    let places = Places::of(design);
    let mut pages = Vec::new();
    for (i, board) in design.document.boards.iter().enumerate() {
        let id = BoardId(i);
        let Some((w, d)) = board.size else { continue };
        let drives = drives(design, &places, id);
        if drives.is_empty() {
            continue;
        }
        let inner = inner(format);
        let rows = table::rows_beside(drives.len(), inner.width() - BAR);
        let foot = table::height(rows.min(table::MOST)).max(14.0);
        let field = Rect {
            min: point(inner.min.x, inner.min.y + HEADING),
            max: point(inner.max.x, inner.max.y - foot),
        };
        let (view, scale) = View::fitting((w.mm(), d.mm()), field.inflate(-SIDE));
        let slug = format!("underside-{}", i + 1);
        let mut sheet = page(&slug, &format!("Underside of {}", *board.name), scale);
        let board = paint::Board { design, places: &places, id, view, field, drives: &drives };
        board.draw(&mut sheet);
        let bar_at = point(inner.min.x + 2.0, inner.max.y - foot + 4.0);
        table::check_bar(&mut sheet.scene, bar_at);
        let beside = Rect { min: point(inner.min.x + BAR, inner.max.y - foot + 1.0), max: inner.max };
        let shown = table::draw(design, &mut sheet.scene, beside, &drives);
        pages.push(sheet);
        let mut rest = &drives[shown..];
        while !rest.is_empty() {
            let title = format!("Drives of {}, positions", *design.document[id].name);
            let mut sheet = page(&format!("{slug}-drives-{}", pages.len()), &title, "none");
            let area = sheet.inner;
            let shown = table::draw(design, &mut sheet.scene, area, rest).max(1);
            pages.push(sheet);
            rest = &rest[shown.min(rest.len())..];
        }
    }
    pages
}

fn inner(format: PageFormat) -> Rect {
    let blank = TitleBlock {
        title: String::new(),
        layout: String::new(),
        sheet: 1,
        of: 1,
        revision: String::new(),
        date: String::new(),
        scale: String::new(),
    };
    Page::new(format, "", &blank, false).inner
}

/// The drives of a board whose turnouts have a place.
fn drives(design: &Design, places: &Places, board: BoardId) -> Vec<DriveRow> {
    let parts = design.circuit.parts().filter(|(_, p)| p.place == Place::Board(board));
    let mut found: Vec<DriveRow> = parts
        .filter_map(|(_, part)| match part.kind {
            PartKind::Drive { turnout, .. } => Some(DriveRow {
                turnout,
                designation: part.designation.clone(),
                at: places.footprints[turnout.0].as_ref()?.tie_bar,
            }),
            _ => None,
        })
        .collect();
    found.sort_by_key(|d| d.turnout);
    found
}
