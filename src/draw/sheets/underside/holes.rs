//! The table of holes for droppers and frog wires, on a sheet of its own.

use super::courses::Places;
use crate::Design;
use crate::circuit::{PartKind, PinRef};
use crate::draw::line::THIN;
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Ink, Role, Scene, Stroke};
use crate::draw::text::{fit, lettering::SMALL};
use crate::geom::{Point, Rect, point};
use crate::parse::BoardId;
use crate::track::{Feed, FrogId, RailId};

/// A hole with what goes through it.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleRow {
    /// "D17 A", "frog T4", "T5 left frog"
    pub name: String,
    pub rail: String,
    /// Numbers of the wires soldered to the rail.
    pub wire: String,
    /// In millimetres of board; `None` where it is the builder's choice.
    pub at: Option<Point>,
}

/// "D17 A"
pub fn dropper_name(design: &Design, number: usize) -> String {
    let rail = design.rails.droppers[number].rail;
    let feed = design.rails.rails[rail.0].feed().map_or("", Feed::letter);
    format!("D{} {feed}", number + 1)
}

/// All holes of a board, droppers first.
pub fn rows(design: &Design, places: &Places, board: BoardId) -> Vec<HoleRow> {
    let droppers = design.rails.droppers.iter().enumerate().filter(|(_, d)| d.board == board);
    let droppers = droppers.map(|(i, d)| HoleRow {
        name: dropper_name(design, i),
        rail: design.rails.rails[d.rail.0].name.clone(),
        wire: wires(design, d.rail),
        at: places
            .dropper(board, design.rails.rails[d.rail.0].place)
            .filter(|hole| hole.known)
            .map(|hole| hole.at),
    });
    let frogs = frogs(design, board).map(|frog| {
        let rail = design.rails[frog].rail;
        HoleRow {
            name: frog_name(design, frog),
            rail: design.rails[rail].name.clone(),
            wire: wires(design, rail),
            at: places.frog(frog),
        }
    });
    droppers.chain(frogs).collect()
}

/// The frogs of a board that have wires.
pub fn frogs(design: &Design, board: BoardId) -> impl Iterator<Item = FrogId> + '_ {
    let all = (0..design.rails.frogs.len()).map(FrogId);
    all.filter(move |f| design.document[design.rails[*f].turnout].board == board)
}

/// "frog T1", "T5 left frog"
pub fn frog_name(design: &Design, frog: FrogId) -> String {
    let need = &design.rails[frog];
    match design.rails.frogs_of(need.turnout).count() {
        0 | 1 => format!("frog {}", *design.document[need.turnout].name),
        _ => design.rails[need.rail].name.clone(),
    }
}

fn wires(design: &Design, rail: RailId) -> String {
    let Some(part) = design.circuit.find(|k| k == PartKind::Rail { rail }) else { return String::new() };
    let wires = design.wiring.at_pin(PinRef { part, pin: 0 });
    wires.map(|w| w.number.to_string()).collect::<Vec<_>>().join(", ")
}

const ROW: f64 = 4.4;
const HEAD: f64 = 11.0;
/// Tick box, name, rail, wire, x, y.
const COLUMNS: [(f64, &str); 6] =
    [(5.0, ""), (22.0, "Hole"), (31.0, "Rail"), (9.0, "Wire"), (9.0, "x mm"), (8.0, "y mm")];
const BLOCK: f64 = 84.0 + 4.0;
/// In place of coordinates.
const FREE: &str = "as convenient";

/// Draws as many rows as the sheet holds; returns how many.
pub fn draw(page: &mut Page, rows: &[HoleRow]) -> usize {
    let inner = page.inner;
    let scene = &mut page.scene;
    let said = "Holes for droppers and frog wires: x from the left end seen from above, y from the front \
                edge. As convenient: anywhere along this rail; mark the hole from above. Tick when soldered.";
    let at = point(inner.min.x + 1.0, inner.min.y + 3.0);
    scene.text(at, SMALL, Anchor::Start, fit(said, SMALL, false, inner.width() - 2.0));
    let blocks = ((inner.width() + 4.0) / BLOCK).floor().max(1.0) as usize;
    let most = ((inner.height() - HEAD) / ROW).floor().max(1.0) as usize;
    let shown = rows.len().min(most * blocks);
    for (i, list) in rows[..shown].chunks(most).enumerate() {
        let area = Rect::new(inner.min.x + i as f64 * BLOCK, inner.min.y + HEAD, BLOCK - 4.0, inner.height());
        block(scene, area, list);
    }
    shown
}

fn block(scene: &mut Scene, area: Rect, rows: &[HoleRow]) {
    let rule = Stroke::solid(THIN, Ink::LIGHT);
    let cells = |r: &HoleRow| {
        let [x, y] = match r.at {
            Some(p) => [p.x, p.y].map(|v| format!("{:.0}", v.round() + 0.0)),
            None => [FREE.to_owned(), String::new()],
        };
        [String::new(), r.name.clone(), r.rail.clone(), r.wire.clone(), x, y]
    };
    let head = COLUMNS.map(|(_, title)| title.to_owned());
    for (i, row) in std::iter::once(head).chain(rows.iter().map(cells)).enumerate() {
        let baseline = area.min.y + ROW * (i as f64 - 1.0) + 3.0;
        let mut x = area.min.x;
        for ((w, _), content) in COLUMNS.into_iter().zip(row) {
            let wide = if content == FREE { 17.5 } else { w - 1.0 };
            if !content.is_empty() {
                let shown = fit(&content, SMALL, i == 0, wide).into_owned();
                scene.push_text(point(x + 0.5, baseline), SMALL, Anchor::Start, i == 0, Ink::BLACK, shown);
            }
            x += w;
        }
        if i > 0 {
            let tick = Rect::new(area.min.x + 0.8, baseline - 2.3, 2.6, 2.6);
            scene.rect(tick, Some(Stroke::solid(THIN, Ink::BLACK)), None, Role::Decoration);
        }
        scene.line(
            point(area.min.x, baseline + 1.2),
            point(area.max.x, baseline + 1.2),
            rule,
            Role::Decoration,
        );
    }
}
