//! The underside of each board: what is to be drilled, screwed and found again there, at its place.
//! Geometry is mirrored, words are not.

mod courses;
mod draft;
mod fittings;
mod footprint;
mod holes;
mod lanes;
mod paint;
mod table;
#[cfg(test)]
mod tests;
mod view;
mod wiring;

use crate::Design;
use crate::circuit::{PartKind, Place};
use crate::draw::page::{Page, PageFormat, TitleBlock};
use crate::draw::scene::Item;
use crate::geom::{Point, Rect, point};
use crate::parse::{BarId, BoardId};
use courses::Places;
use paint::{Board, Laid};
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
    pub bar: BarId,
    /// "M1"
    pub designation: String,
    /// The pin's hole, from the left end seen from above and from the front edge.
    pub at: Point,
}

/// Parts of a long board at most.
const PARTS: usize = 6;

/// Draws each board that has a size and at least one turnout with a place. A board too long to
/// name everything at the scale of one sheet goes onto several, side by side. `page` makes the
/// framed sheets, from slug, title and scale, all of one format.
pub fn underside(
    design: &Design,
    format: PageFormat,
    page: &mut dyn FnMut(&str, &str, &str) -> Page,
) -> Vec<Page> {
    let places = Places::of(design);
    let mut pages = Vec::new();
    for (i, board) in design.document.boards.iter().enumerate() {
        let id = BoardId(i);
        let drives = drives(design, id);
        let placed = design.document.turnouts.iter().any(|t| t.board == id && t.place.is_some());
        if !placed || board.size.is_none() {
            continue;
        }
        let inner = blank(format).inner;
        let sheets = Sheets { design, places: &places, id, drives: &drives, inner, table: true };
        let plan = sheets.clearest(format);
        for drawn in plan.sheets {
            let (part, count) = drawn.view.part;
            let (slug, title) = match count {
                1 => (format!("underside-{}", i + 1), format!("Underside of {}", *board.name)),
                _ => (
                    format!("underside-{}-{part}", i + 1),
                    format!("Underside of {}, part {part} of {count}", *board.name),
                ),
            };
            let mut sheet = page(&slug, &title, plan.scale);
            sheet.scene.items.extend(drawn.items);
            pages.push(sheet);
            let mut rest = drawn.rest.as_slice();
            let mut more = 0;
            while !rest.is_empty() {
                more += 1;
                let title = format!("Drives of {}, positions", *board.name);
                let mut sheet = page(&format!("{slug}-drives-{more}"), &title, "none");
                let area = sheet.inner;
                let shown = table::draw(design, &mut sheet.scene, area, rest).max(1);
                pages.push(sheet);
                rest = &rest[shown.min(rest.len())..];
            }
        }
        let rows = holes::rows(design, &places, id);
        let mut rest = rows.as_slice();
        let mut number = 0;
        while !rest.is_empty() {
            number += 1;
            let title = format!("Holes of {}", *board.name);
            let mut sheet = page(&format!("underside-{}-holes-{number}", i + 1), &title, "none");
            let shown = holes::draw(&mut sheet, rest).max(1);
            pages.push(sheet);
            rest = &rest[shown.min(rest.len())..];
        }
    }
    pages
}

/// The sheets of one board.
#[derive(Clone, Copy)]
struct Sheets<'a> {
    design: &'a Design,
    places: &'a Places<'a>,
    id: BoardId,
    drives: &'a [DriveRow],
    inner: Rect,
    /// Whether the drives' positions stand below the picture; else on a sheet of their own.
    table: bool,
}

/// A board drawn on as many sheets as some number of parts takes.
#[derive(Default)]
struct Plan {
    /// How many names found no place.
    lost: usize,
    scale: &'static str,
    sheets: Vec<Drawn>,
}

/// One part, drawn.
struct Drawn {
    view: View,
    /// What is on the sheet inside its frame.
    items: Vec<Item>,
    /// Drives that the foot of the sheet has no room for.
    rest: Vec<DriveRow>,
}

impl Sheets<'_> {
    /// As few parts as leave a place for every name; else those that lose the fewest. A deep board
    /// may gain a larger scale if the table makes room for it.
    fn clearest(self, format: PageFormat) -> Plan {
        let mut laid = Vec::new();
        let plan = self.fewest_parts(format, &mut laid, usize::MAX).unwrap_or_default();
        if plan.lost == 0 {
            return plan;
        }
        let roomy = Sheets { table: false, ..self };
        roomy.fewest_parts(format, &mut laid, plan.lost).unwrap_or(plan)
    }

    /// The plan that [`Sheets::clearest`] looks for, if it loses fewer names than some limit. `laid`
    /// keeps what was laid at the scales that were tried.
    fn fewest_parts(&self, format: PageFormat, laid: &mut Vec<Laid>, mut limit: usize) -> Option<Plan> {
        let (w, d) = self.design.document[self.id].size.unwrap_or_default();
        let field = self.field(self.drives.len()).inflate(-SIDE);
        let mut best = None;
        let mut tried = "";
        for count in 1..=PARTS {
            let (views, scale) = View::parts((w.mm(), d.mm()), count, field);
            if scale == tried {
                continue;
            }
            tried = scale;
            if let Some(plan) = self.plan(&views, laid, format, limit) {
                limit = plan.lost;
                best = Some(Plan { scale, ..plan });
            }
            if limit == 0 {
                break;
            }
        }
        best
    }

    /// All parts drawn; `None` as soon as they lose so many names.
    fn plan(&self, views: &[View], laid: &mut Vec<Laid>, format: PageFormat, limit: usize) -> Option<Plan> {
        let mut plan = Plan::default();
        for view in views {
            if laid.iter().all(|l| l.scale != view.scale) {
                laid.push(self.board(*view).laid());
            }
            let laid = laid.iter().find(|l| l.scale == view.scale)?;
            let mut page = blank(format);
            let frame = page.scene.items.len();
            let (lost, rest) = self.draw(view, laid, &mut page, limit - plan.lost)?;
            plan.lost += lost;
            plan.sheets.push(Drawn { view: *view, items: page.scene.items.split_off(frame), rest });
        }
        Some(plan)
    }

    /// Height of the foot with the table of so many drives.
    fn foot(&self, drives: usize) -> f64 {
        let drives = if self.table { drives } else { 0 };
        let rows = table::rows_beside(drives, self.inner.width() - BAR);
        table::height(rows.min(table::MOST)).max(14.0)
    }

    fn field(&self, drives: usize) -> Rect {
        Rect {
            min: point(self.inner.min.x, self.inner.min.y + HEADING),
            max: point(self.inner.max.x, self.inner.max.y - self.foot(drives)),
        }
    }

    fn board(&self, view: View) -> Board<'_> {
        let (design, places, id, drives) = (self.design, self.places, self.id, self.drives);
        Board { design, places, id, view, field: self.field(drives.len()), drives }
    }

    /// Draws one part; returns how many names found no place and the drives that the foot of the
    /// sheet has no room for. Gives up once `limit` names are lost.
    fn draw(
        &self,
        view: &View,
        laid: &Laid,
        page: &mut Page,
        limit: usize,
    ) -> Option<(usize, Vec<DriveRow>)> {
        let own: Vec<DriveRow> = self.drives.iter().filter(|d| view.names(d.at)).cloned().collect();
        let inner = self.inner;
        let foot = self.foot(self.drives.len());
        let lost = self.board(*view).draw(laid, page, limit)?;
        table::check_bar(&mut page.scene, point(inner.min.x + 2.0, inner.max.y - foot + 4.0));
        if own.is_empty() || !self.table {
            return Some((lost, own));
        }
        let beside = Rect { min: point(inner.min.x + BAR, inner.max.y - foot + 1.0), max: inner.max };
        let shown = table::draw(self.design, &mut page.scene, beside, &own);
        Some((lost, own[shown..].to_vec()))
    }
}

fn blank(format: PageFormat) -> Page {
    Page::new(format, "", &TitleBlock::default(), false)
}

/// The drives of a board whose turnouts have a place.
fn drives(design: &Design, board: BoardId) -> Vec<DriveRow> {
    let parts = design.circuit.parts().filter(|(_, p)| p.place == Place::Board(board));
    let mut found: Vec<DriveRow> = parts
        .filter_map(|(_, part)| match part.kind {
            PartKind::Drive { bar, .. } => Some(DriveRow {
                bar,
                designation: part.designation.clone(),
                at: crate::drives::tie_bar(&design.document, bar)?,
            }),
            _ => None,
        })
        .collect();
    found.sort_by_key(|d| d.bar);
    found
}
