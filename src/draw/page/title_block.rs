//! The title block of ISO 7200, cut down to what a wiring book needs.

use crate::draw::line::{HEAVY, THIN};
use crate::draw::scene::{Anchor, Ink, Role, Scene, Stroke};
use crate::draw::text::{fit, lettering, width};
use crate::geom::{Rect, point};

/// What the title block says.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TitleBlock {
    /// "Turnouts T1 to T4".
    pub title: String,
    /// The layout's name.
    pub layout: String,
    /// Number of this sheet, from 1, and how many there are.
    pub sheet: usize,
    pub of: usize,
    pub revision: String,
    /// As in the layout file; never today's.
    pub date: String,
    /// "1:1", "none".
    pub scale: String,
}

/// Column widths and row height in millimetres.
const COLUMNS: [f64; 4] = [65.0, 25.0, 25.0, 25.0];
const ROW: f64 = 8.75;
const INSET: f64 = 1.25;

/// Draws the block into the lower right corner of the frame; gives the space it takes.
pub(super) fn draw(scene: &mut Scene, frame: Rect, block: &TitleBlock) -> Rect {
    let total: f64 = COLUMNS.iter().sum();
    let area = Rect {
        min: point(frame.max.x - total, frame.max.y - 2.0 * ROW),
        max: point(frame.max.x, frame.max.y),
    };
    let heavy = Stroke::solid(HEAVY / 2.0, Ink::BLACK);
    let thin = Stroke::solid(THIN, Ink::BLACK);
    let sheet = format!("{} of {}", block.sheet, block.of);
    let cells = [
        [("Title", block.title.as_str()), ("Layout", block.layout.as_str())],
        [("Revision", block.revision.as_str()), ("Date", block.date.as_str())],
        [("Scale", block.scale.as_str()), ("Drawn by", "Underboard")],
        [("Sheet", sheet.as_str()), ("Doc.", "wiring book")],
    ];
    let mut left = area.min.x;
    for (column, room) in cells.iter().zip(COLUMNS) {
        for (row, (label, value)) in column.iter().enumerate() {
            let top = area.min.y + row as f64 * ROW;
            let strong = matches!(*label, "Title" | "Sheet");
            let size = size_that_fits(value, strong, room - 2.0 * INSET);
            let shown = fit(value, size, strong, room - 2.0 * INSET);
            let small = lettering::SMALL;
            let label_at = point(left + INSET, top + 0.75 + small);
            scene.push_text(label_at, small, Anchor::Start, false, Ink::GREY, *label);
            let value_at = point(left + INSET, top + ROW - 1.25);
            scene.push_text(value_at, size, Anchor::Start, strong, Ink::BLACK, shown);
        }
        if left > area.min.x {
            scene.line(point(left, area.min.y), point(left, area.max.y), thin, Role::Decoration);
        }
        left += room;
    }
    let middle = area.min.y + ROW;
    scene.line(point(area.min.x, middle), point(area.max.x, middle), thin, Role::Decoration);
    let outline = vec![point(area.min.x, area.max.y), area.min, point(area.max.x, area.min.y)];
    scene.polyline(outline, heavy, Role::Decoration);
    area
}

/// The strong fields are set larger, if there is room.
fn size_that_fits(value: &str, strong: bool, room: f64) -> f64 {
    if strong && width(value, lettering::HEADING, true) <= room {
        lettering::HEADING
    } else {
        lettering::BODY
    }
}
