//! The track plan: every road as two rails, each in its feed, with insulated joints, frogs and
//! droppers, all named. A diagram from above, not to scale: what lies left, right, above and below
//! is true to the layout, lengths and curves are not.
//!
//! ```text
//! Document ─ course (which way each turnout faces) ─ sketch (what goes on one sheet, line by line)
//!          ─ spread (columns and rows) ─ paint (rails) ─ words (labels) ─ Page
//! ```

mod course;
mod look;
mod paint;
mod shape;
mod sketch;
mod spread;
pub mod state;
#[cfg(test)]
pub(super) mod tests;
mod words;

use crate::Design;
use crate::draw::page::{Page, PageFormat, TitleBlock};
use crate::draw::text::{lettering, width};
use crate::geom::{Rect, point};
use crate::parse::{TrackEnd, TrackId, TurnoutId};
use course::Course;
use look::Look;
use paint::Picture;
use shape::Style;
use sketch::{End, Sketch, Unit};
use spread::{Spread, Spreader};
use std::collections::BTreeSet;

/// The largest and the smallest diagram; the first that fits is taken.
const STYLES: [Style; 6] = [
    Style { pitch: 22.5, slope: 0.5, length: 22.0, room: 5.0 },
    Style { pitch: 20.0, slope: 0.5, length: 22.0, room: 4.0 },
    Style { pitch: 17.5, slope: 0.5, length: 20.0, room: 3.0 },
    Style { pitch: 17.5, slope: 0.75, length: 18.0, room: 2.0 },
    Style { pitch: 15.0, slope: 0.75, length: 18.0, room: 1.5 },
    Style { pitch: 14.0, slope: 1.0, length: 17.0, room: 1.0 },
];

/// Around the drawing, for words beyond its ends.
const SIDE: f64 = 11.0;
const ABOVE: f64 = 11.0;

/// One sheet's worth, with places.
struct Part {
    sketch: Sketch,
    spread: Spread,
    style: Style,
}

/// Draws the plan on as many sheets as it needs. `page` makes the framed sheets, from slug, title
/// and scale, all of one format.
pub fn track_plan(
    design: &Design,
    format: PageFormat,
    page: &mut dyn FnMut(&str, &str, &str) -> Page,
) -> Vec<Page> {
    let names = ("track-plan", "Track plan, electrical");
    drawn(&Look { design, state: None }, format, names, 0.0, page)
}

/// The same, with slug and title as given, and some height kept free below the drawing.
fn drawn(
    look: &Look,
    format: PageFormat,
    (slug, title): (&str, &str),
    below: f64,
    page: &mut dyn FnMut(&str, &str, &str) -> Page,
) -> Vec<Page> {
    let design = look.design;
    let inner = Page::new(format, "", &TitleBlock::default(), false).inner;
    let field = Rect {
        min: point(inner.min.x, inner.min.y + paint::legend_height(look) + 2.0),
        max: point(inner.max.x, inner.max.y - below),
    };
    let course = Course::of(&design.document);
    let parts = parts(look, &course, field);
    let mut part_of = vec![0; design.document.turnouts.len()];
    for (i, part) in parts.iter().enumerate() {
        for t in &part.sketch.turnouts {
            part_of[t.0] = i;
        }
    }
    let count = parts.len();
    parts
        .iter()
        .enumerate()
        .map(|(i, part)| {
            let (slug, title) = match count {
                1 => (slug.to_owned(), title.to_owned()),
                _ => (format!("{slug}-{}", i + 1), format!("{title}, part {} of {count}", i + 1)),
            };
            let mut page = page(&slug, &title, "none");
            let elsewhere = |t: TurnoutId| (part_of[t.0] != i).then_some(part_of[t.0] + 1);
            let picture = Picture::of(look, part, field);
            picture.draw(&mut page.scene);
            let lost = words::draw(look, part, &picture, field, &elsewhere, &mut page.scene);
            paint::legend(look, &mut page, inner, &lost);
            page
        })
        .collect()
}

/// Shares the layout out over sheets, as many turnouts on each as fit.
fn parts(look: &Look, course: &Course, field: Rect) -> Vec<Part> {
    let document = &look.design.document;
    let mut units: Vec<Unit> = course.order.iter().map(|t| Unit::Turnout(*t)).collect();
    for (i, track) in document.tracks.iter().enumerate() {
        let joins = |e: TrackEnd| matches!(e, TrackEnd::Port(..));
        if !joins(*track.from) && !joins(*track.to) {
            units.push(Unit::Track(TrackId(i)));
        }
    }
    let mut parts = Vec::new();
    let mut rest = units.as_slice();
    while !rest.is_empty() {
        let (part, taken) = largest(look, course, field, rest);
        parts.push(part);
        rest = &rest[taken..];
    }
    parts
}

/// The largest part from the front of the units that fits, at least one unit.
fn largest(look: &Look, course: &Course, field: Rect, units: &[Unit]) -> (Part, usize) {
    // All at once if that works; else the count is found by halving.
    let (mut low, mut high) = (0, units.len() + 1);
    let mut best = None;
    let mut count = units.len();
    while count > low && count < high {
        match fitting(look, course, field, &units[..count]) {
            Some(part) => {
                low = count;
                best = Some(part);
            }
            None => high = count,
        }
        // More than this never fits a sheet: spare the tries.
        count = low.midpoint(high.min(low + 41));
    }
    match best {
        Some(part) => (part, low),
        None => (squeezed(look, course, field, &units[..1]), 1),
    }
}

/// The part in the largest style in which everything has its place.
fn fitting(look: &Look, course: &Course, field: Rect, units: &[Unit]) -> Option<Part> {
    let (wide, high) = (field.width() - 2.0 * SIDE, field.height() - 2.0 * ABOVE);
    // Better a road in two ends than a line pushed far aside.
    let styles = STYLES.iter().flat_map(|style| [(style, true), (style, false)]);
    styles.into_iter().find_map(|(style, aside)| {
        let part = filled(look, course, *style, units, (wide, aside))?;
        let tall = (part.spread.rows.saturating_sub(1)) as f64 * style.pitch;
        if part.spread.width > wide + 1e-6 || tall > high {
            return None;
        }
        let picture = Picture::of(look, &part, field);
        words::fit(look, &part, &picture, field).then_some(part)
    })
}

/// What does not fit even alone, in the smallest style: a name longer than the sheet.
fn squeezed(look: &Look, course: &Course, field: Rect, units: &[Unit]) -> Part {
    let style = STYLES[STYLES.len() - 1];
    let wide = field.width() - 2.0 * SIDE;
    let laid =
        lay(look, course, style, units, &Room { stretch: 1.0, scale: None, most: wide / 4.0, aside: false });
    laid.unwrap_or_else(|| Part {
        sketch: Sketch::of(&look.design.document, course, &[], &mut BTreeSet::new()),
        spread: Spread { toe: Vec::new(), level: Vec::new(), row: Vec::new(), width: 0.0, rows: 0 },
        style,
    })
}

/// Spreads the part over the width of the sheet: by the true positions where all are known, else
/// by longer tracks.
fn filled(
    look: &Look,
    course: &Course,
    style: Style,
    units: &[Unit],
    (wide, aside): (f64, bool),
) -> Option<Part> {
    let room = |stretch, scale| Room { stretch, scale, most: f64::INFINITY, aside };
    let tightest = lay(look, course, style, units, &room(1.0, None))?;
    if tightest.spread.width > wide {
        return Some(tightest);
    }
    let hinted = tightest.sketch.turnouts.len() > 1
        && tightest.sketch.turnouts.iter().all(|t| course.hint[t.0].is_some());
    let (mut low, mut high) = if hinted { (0.0, 1.0) } else { (1.0, 2.0) };
    let mut best = tightest;
    for _ in 0..10 {
        let middle = 0.5 * (low + high);
        let laid = match hinted {
            true => lay(look, course, style, units, &room(1.0, Some(middle))),
            false => lay(look, course, style, units, &room(middle, None)),
        };
        match laid {
            Some(part) if part.spread.width <= wide => {
                low = middle;
                best = part;
            }
            _ => high = middle,
        }
    }
    Some(best)
}

/// How much room the units take.
struct Room {
    /// Level tracks are this many times their least length,
    stretch: f64,
    /// turnouts stand at least at their true place times this,
    scale: Option<f64>,
    /// and no track's least length is more than this, in millimetres.
    most: f64,
    /// Whether lines move aside for one another.
    aside: bool,
}

/// Lays the units out.
fn lay(look: &Look, course: &Course, style: Style, units: &[Unit], room: &Room) -> Option<Part> {
    let document = &look.design.document;
    let mut cut = course.cut.clone();
    // Every round cuts a track, so this ends.
    for _ in 0..=document.tracks.len() {
        let sketch = Sketch::of(document, course, units, &mut cut);
        let least: Vec<f64> = (0..sketch.pieces.len())
            .map(|p| least_length(look, &sketch, &style, p, room.stretch).min(room.most))
            .collect();
        let hint = |t: &TurnoutId| course.hint[t.0].unwrap_or(0.0);
        let first = sketch.turnouts.iter().map(hint).fold(f64::INFINITY, f64::min);
        // A diamond or slip is placed by its middle.
        let aside = |t: &TurnoutId| {
            let kind = *document[*t].kind;
            let half = if kind.has_toe() { 0.0 } else { style.bend(kind) };
            course.facing[t.0].sign() * half
        };
        let place = |t: &TurnoutId| room.scale.map_or(0.0, |k| ((hint(t) - first) * k - aside(t)).max(0.0));
        let floor: Vec<f64> = sketch.turnouts.iter().map(place).collect();
        let spreader =
            Spreader { document, sketch: &sketch, style: &style, least: &least, aside: room.aside };
        match spreader.spread(&floor) {
            Ok(spread) => return Some(Part { sketch, spread, style }),
            Err(spread::Blocked(track)) => {
                if !cut.insert(track) {
                    return None;
                }
            }
        }
    }
    None
}

/// What a track needs for its name and droppers side by side.
fn least_length(look: &Look, sketch: &Sketch, style: &Style, piece: usize, stretch: f64) -> f64 {
    let p = &sketch.pieces[piece];
    let name = width(&look.design.document[p.track].name, lettering::BODY, false);
    let slopes = sketch.branches.iter().filter(|b| b.piece == piece);
    let mut ups = [false; 2];
    let mut sloped = 0;
    for b in slopes {
        let above = sketch.branches.iter().any(|o| o.turnout == b.turnout && o.port == b.port && b.up);
        ups[usize::from(above)] = true;
        sloped += 1;
    }
    // Between two rows the slopes of a crossover have the room.
    let crossover = sloped == 2 && ups == [true; 2];
    let open = matches!(p.from, End::Buffer | End::Off | End::Cut(..))
        || matches!(p.to, End::Buffer | End::Off | End::Cut(..));
    if !p.main {
        return 12.0 * stretch;
    }
    if crossover {
        return 0.0;
    }
    let zone = look.zone_of_track(p.track).and_then(|z| look.zone_words(z));
    let name = zone.map_or(name, |z| name.max(width(&z, lettering::SMALL, false)));
    (name + 10.0 + style.room * if open { 2.0 } else { 3.0 }) * stretch
}
