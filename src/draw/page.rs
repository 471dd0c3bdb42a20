//! The page: frame and zones by ISO 5457, title block by ISO 7200, draft mark, and the strip for
//! cautions and notes beside the title block.

mod notes;
mod title_block;

pub use notes::{Overflow, caution_strip};
pub use title_block::TitleBlock;

use super::line::{HEAVY, THIN};
use super::scene::{Anchor, Ink, Role, Scene, Stroke};
use super::text::lettering;
use super::{M, floor_to_module};
use crate::geom::{Point, Rect, point};

/// Paper, landscape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageFormat {
    A4,
    A3,
    Letter,
}

impl PageFormat {
    /// Width and height in millimetres (ISO 216; US Letter is 11 by 8½ inches).
    pub const fn size(self) -> (f64, f64) {
        match self {
            PageFormat::A4 => (297.0, 210.0),
            PageFormat::A3 => (420.0, 297.0),
            PageFormat::Letter => (279.4, 215.9),
        }
    }

    /// The space inside the frame: 20 mm from the left edge, where the sheets are bound, 10 mm from
    /// the others (ISO 5457).
    pub fn frame(self) -> Rect {
        let (w, h) = self.size();
        Rect::new(20.0, 10.0, w - 30.0, h - 20.0)
    }

    /// The zone a point lies in: "C3". Points in the margin belong to the nearest zone.
    pub fn zone_of(self, p: Point) -> String {
        let columns = fields(self.frame().min.x, self.frame().max.x, self.size().0);
        let rows = fields(self.frame().min.y, self.frame().max.y, self.size().1);
        format!("{}{}", row_letter(index(&rows, p.y)), index(&columns, p.x) + 1)
    }
}

/// A framed sheet to draw on.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    pub scene: Scene,
    pub format: PageFormat,
    /// Free for the drawing: inside the frame, above the title block; its sides lie on the module.
    pub inner: Rect,
    /// Left of the title block, for cautions and notes.
    pub note_area: Rect,
}

impl Page {
    /// An empty sheet with frame and title block. A draft says so in red outside the frame, so that
    /// nothing moves when the draft becomes final.
    pub fn new(format: PageFormat, slug: impl Into<String>, block: &TitleBlock, draft: bool) -> Page {
        let (width, height) = format.size();
        let frame = format.frame();
        let mut scene = Scene::new(slug, block.title.clone(), width, height);
        draw_zones(&mut scene, format);
        scene.rect(frame, Some(Stroke::solid(HEAVY, Ink::BLACK)), None, Role::Decoration);
        let corner = title_block::draw(&mut scene, frame, block);
        if draft {
            mark_as_draft(&mut scene, frame);
        }
        let inner = Rect {
            min: point(frame.min.x + M, frame.min.y + M),
            max: point(floor_to_module(frame.max.x - M), floor_to_module(corner.min.y - M)),
        };
        let note_area = Rect {
            min: point(frame.min.x + M, corner.min.y + 0.25),
            max: point(corner.min.x - M, frame.max.y - 1.5),
        };
        Page { scene, format, inner, note_area }
    }

    pub fn zone_of(&self, p: Point) -> String {
        self.format.zone_of(p)
    }
}

/// Length of a field of the zone grid in millimetres, counted from the middle of the sheet.
const FIELD: f64 = 50.0;

/// The borders of the fields between two sides of the frame, the sides included.
fn fields(from: f64, to: f64, sheet: f64) -> Vec<f64> {
    let middle = sheet / 2.0;
    let before = ((middle - from) / FIELD).ceil() as i32;
    let after = ((to - middle) / FIELD).ceil() as i32;
    let inside = (1 - before..after).map(|k| middle + f64::from(k) * FIELD);
    std::iter::once(from).chain(inside).chain([to]).collect()
}

fn index(borders: &[f64], v: f64) -> usize {
    let inside = &borders[1..borders.len() - 1];
    inside.iter().take_while(|b| v >= **b).count()
}

/// Letters of the rows; I and O are left out, being too like 1 and 0 (ISO 5457).
fn row_letter(row: usize) -> char {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
    char::from(LETTERS[row.min(LETTERS.len() - 1)])
}

/// Zone numbers above and letters to the right of the frame, as ISO 5457 has it for A4; larger
/// sheets do the same, which leaves left and lower margin to the binding and the draft mark.
fn draw_zones(scene: &mut Scene, format: PageFormat) {
    let (frame, (width, height)) = (format.frame(), format.size());
    let thin = Stroke::solid(THIN, Ink::BLACK);
    let heavy = Stroke::solid(HEAVY, Ink::BLACK);
    let h = lettering::BODY;
    let columns = fields(frame.min.x, frame.max.x, width);
    let (top, right) = (frame.min.y, frame.max.x);
    for (i, pair) in columns.windows(2).enumerate() {
        let middle = 0.5 * (pair[0] + pair[1]);
        scene.text(point(middle, top - 1.5), h, Anchor::Middle, (i + 1).to_string());
        if i > 0 && (pair[0] - width / 2.0).abs() > 1.0 {
            scene.line(point(pair[0], top - 4.0), point(pair[0], top), thin, Role::Decoration);
        }
    }
    let rows = fields(frame.min.y, frame.max.y, height);
    for (i, pair) in rows.windows(2).enumerate() {
        let middle = 0.5 * (pair[0] + pair[1]) + h / 2.0;
        scene.text(point(right + 2.6, middle), h, Anchor::Middle, row_letter(i).to_string());
        if i > 0 && (pair[0] - height / 2.0).abs() > 1.0 {
            scene.line(point(right, pair[0]), point(right + 4.0, pair[0]), thin, Role::Decoration);
        }
    }
    // Centring marks, outside only: the drawing keeps the space inside.
    for (a, b) in [
        (point(width / 2.0, top - 5.0), point(width / 2.0, top)),
        (point(width / 2.0, frame.max.y), point(width / 2.0, frame.max.y + 5.0)),
        (point(frame.min.x - 5.0, height / 2.0), point(frame.min.x, height / 2.0)),
        (point(right, height / 2.0), point(right + 5.0, height / 2.0)),
    ] {
        scene.line(a, b, heavy, Role::Decoration);
    }
}

/// Red in print, plain words in black and white.
const DRAFT: &str = "DRAFT – NOT FOR WIRING";
const RED: Ink = Ink(200, 16, 46);

fn mark_as_draft(scene: &mut Scene, frame: Rect) {
    let below = point(frame.max.x, frame.max.y + 5.5);
    scene.push_text(below, lettering::HEADING, Anchor::End, true, RED, DRAFT);
    // The margin is bound at its middle third; the marks stand above and below.
    for (y, anchor) in [(frame.min.y, Anchor::End), (frame.max.y, Anchor::Start)] {
        scene.push_text(point(frame.min.x - 2.5, y), lettering::HEADING, anchor, true, RED, DRAFT);
        if let Some(crate::draw::scene::Item::Text(t)) = scene.items.last_mut() {
            t.upright = true;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::overlap;
    use crate::draw::text::bounds;

    fn block() -> TitleBlock {
        TitleBlock {
            title: "Turnouts T1 to T4".into(),
            layout: "Hollin Quarry".into(),
            sheet: 4,
            of: 11,
            revision: "A".into(),
            date: "2026-05-02".into(),
            scale: "none".into(),
        }
    }

    const ALL: [PageFormat; 3] = [PageFormat::A4, PageFormat::A3, PageFormat::Letter];

    #[test]
    fn frames_leave_the_space_of_the_standard() {
        // ISO 5457: drawing space of A4 180 by 277 upright, that is 267 by 190 lying with the
        // binding margin on the short side; A3 390 by 277.
        let size = |f: PageFormat| (f.frame().width(), f.frame().height());
        assert_eq!(size(PageFormat::A4), (267.0, 190.0));
        assert_eq!(size(PageFormat::A3), (390.0, 277.0));
    }

    #[test]
    fn fields_are_as_many_as_in_the_standard() {
        // ISO 5457, grid reference: A4 has 6 by 4 fields, A3 8 by 6.
        let last = |f: PageFormat| f.zone_of(f.frame().max);
        assert_eq!(last(PageFormat::A4), "D6");
        assert_eq!(last(PageFormat::A3), "F8");
        assert_eq!(PageFormat::A4.zone_of(point(0.0, 0.0)), "A1");
        assert_eq!(PageFormat::A4.zone_of(point(149.0, 106.0)), "C4");
        assert_eq!(row_letter(8), 'J');
    }

    #[test]
    fn an_empty_page_has_no_fault_and_its_spaces_are_free() {
        for format in ALL {
            for draft in [false, true] {
                let page = Page::new(format, "s", &block(), draft);
                let report = overlap::check(&page.scene);
                assert!(report.faults.is_empty(), "{format:?}: {:?}", report.faults);
                for area in [page.inner, page.note_area] {
                    assert!(format.frame().holds(&area));
                    assert!(page.scene.texts().all(|t| !bounds(t).overlaps(&area)), "{format:?}");
                }
                assert!(page.inner.max.y <= page.note_area.min.y);
            }
        }
    }

    #[test]
    fn the_final_sheet_is_the_draft_without_its_marks() {
        let page = Page::new(PageFormat::A4, "s", &block(), true);
        let last = Page::new(PageFormat::A4, "s", &block(), false);
        assert_eq!((page.inner, page.note_area), (last.inner, last.note_area));
        assert_eq!(page.scene.items.len(), last.scene.items.len() + 3);
        assert!(page.scene.texts().any(|t| t.content == DRAFT));
    }

    #[test]
    fn the_longest_names_stay_inside_the_title_block() {
        let long = "A name that nobody should ever give to anything that has to be printed".to_owned();
        let b = TitleBlock {
            title: long.clone(),
            layout: long.clone(),
            revision: long.clone(),
            date: long.clone(),
            scale: long,
            sheet: 118,
            of: 120,
        };
        let page = Page::new(PageFormat::A4, "s", &b, false);
        assert!(overlap::check(&page.scene).faults.is_empty());
    }
}
