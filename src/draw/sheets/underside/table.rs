//! The foot of an underside sheet: check bar and table of drives.

use super::DriveRow;
use crate::Design;
use crate::draw::line::{HEAVY, THIN};
use crate::draw::scene::{Anchor, Ink, Role, Scene, Stroke};
use crate::draw::sheets::hand;
use crate::draw::text::{fit, lettering::SMALL};
use crate::geom::{Point, Rect, point};

/// Height of a row and of the table's head, in millimetres.
const ROW: f64 = 4.0;
const HEAD: f64 = 8.0;
/// Columns: drive, turnout, hand, x, y.
const COLUMNS: [(f64, &str); 5] =
    [(13.0, "Drive"), (16.0, "Turnout"), (17.0, "Hand"), (13.0, "x mm"), (12.0, "y mm")];
const BLOCK: f64 = 71.0 + 4.0;
/// Rows that the foot of a sheet takes at most; the others go onto a sheet of their own.
pub const MOST: usize = 8;

pub fn height(rows: usize) -> f64 {
    HEAD + ROW * rows as f64 + 2.0
}

/// Rows that `count` drives need in as many blocks as fit side by side.
pub fn rows_beside(count: usize, width: f64) -> usize {
    let blocks = ((width + 4.0) / BLOCK).floor().max(1.0) as usize;
    count.div_ceil(blocks)
}

/// Draws as many drives as the area holds; returns how many.
pub fn draw(design: &Design, scene: &mut Scene, area: Rect, drives: &[DriveRow]) -> usize {
    let blocks = ((area.width() + 4.0) / BLOCK).floor().max(1.0) as usize;
    let room = ((area.height() - HEAD) / ROW + 1e-6).floor().max(0.0) as usize;
    let rows = rows_beside(drives.len(), area.width()).min(room).max(1);
    let shown = drives.len().min(rows * blocks);
    let title = "Holes for drive pins: x from the left end seen from above, y from the front edge";
    scene.text(
        point(area.min.x, area.min.y + SMALL),
        SMALL,
        Anchor::Start,
        fit(title, SMALL, false, area.width()),
    );
    for (b, list) in drives[..shown].chunks(rows).enumerate() {
        let left = area.min.x + b as f64 * BLOCK;
        block(design, scene, point(left, area.min.y + HEAD - ROW), list);
    }
    shown
}

fn block(design: &Design, scene: &mut Scene, at: Point, drives: &[DriveRow]) {
    let thin = Stroke::solid(THIN, Ink::GREY);
    let cells = |row: &DriveRow| {
        let t = design.document.turnout_of(row.bar);
        let place = |v: f64| format!("{:.0}", v.round() + 0.0);
        [
            row.designation.clone(),
            design.document[row.bar].name.clone(),
            hand(*t.kind).to_owned(),
            place(row.at.x),
            place(row.at.y),
        ]
    };
    let mut baseline = at.y + 2.9;
    let head = COLUMNS.map(|(_, title)| title.to_owned());
    for (i, row) in std::iter::once(head).chain(drives.iter().map(cells)).enumerate() {
        let mut x = at.x;
        for ((w, _), content) in COLUMNS.into_iter().zip(row) {
            let shown = fit(&content, SMALL, i == 0, w - 1.0).into_owned();
            scene.push_text(point(x + 0.5, baseline), SMALL, Anchor::Start, i == 0, Ink::BLACK, shown);
            x += w;
        }
        let y = baseline + 1.1;
        scene.line(point(at.x, y), point(x, y), thin, Role::Decoration);
        baseline += ROW;
    }
}

/// A hundred millimetres of paper, whatever the scale: it shows whether the printer kept the size.
pub fn check_bar(scene: &mut Scene, at: Point) {
    let heavy = Stroke::solid(HEAVY, Ink::BLACK);
    scene.line(at, point(at.x + 100.0, at.y), heavy, Role::Decoration);
    for k in 0..=10 {
        let x = at.x + 10.0 * f64::from(k);
        let tick = if k % 5 == 0 { 2.0 } else { 1.2 };
        scene.line(point(x, at.y), point(x, at.y + tick), Stroke::solid(THIN, Ink::BLACK), Role::Decoration);
        if k % 5 == 0 {
            let anchor = match k {
                0 => Anchor::Start,
                5 => Anchor::Middle,
                _ => Anchor::End,
            };
            let label = if k == 10 { "100 mm".to_owned() } else { (10 * k).to_string() };
            scene.text(point(x, at.y + 4.6), SMALL, anchor, label);
        }
    }
    let words = "Must measure 100 mm on the paper; else print again without “fit to page”.";
    scene.text(point(at.x, at.y + 8.2), SMALL, Anchor::Start, words);
}
