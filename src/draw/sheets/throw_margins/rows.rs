//! The rows of motors.

use super::super::{Book, pen};
use super::{Verdict, bar};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Ink, Role, Scene};
use crate::draw::text::{self, lettering};
use crate::drives::sizing::trigger_words;
use crate::firing::Least;
use crate::geom::{Rect, point};

const PITCH: f64 = 5.0;
/// Height of the headings.
const HEAD: f64 = 7.5;
/// Below this width figures are in the small lettering.
const WIDE: f64 = 230.0;

/// How many rows an area holds.
pub(super) fn fitting(area: Rect) -> usize {
    ((area.height() - HEAD) / PITCH) as usize
}

/// Widths of the columns, in millimetres.
struct Widths {
    drive: f64,
    turnout: f64,
    control: f64,
    coils: f64,
    bar: f64,
    margin: f64,
    /// Energy, current, time.
    figure: f64,
    verdict: f64,
    size: f64,
}

impl Widths {
    fn of(width: f64) -> Widths {
        let (drive, turnout, coils, margin, figure, verdict, size) = if width >= WIDE {
            (14.0, 22.0, 12.0, 14.0, 32.5, 17.0, lettering::BODY)
        } else {
            (10.0, 19.0, 9.0, 11.0, 23.0, 12.0, lettering::SMALL)
        };
        let rest = width - 2.5 - drive - turnout - coils - margin - 3.0 * figure - verdict;
        let control = rest * 0.4;
        Widths { drive, turnout, control, coils, bar: rest - control, margin, figure, verdict, size }
    }

    /// The left edges, in the order of the columns, and the right one of the last.
    fn edges(&self, left: f64) -> [f64; 10] {
        let f = self.figure;
        let widths =
            [self.drive, self.turnout, self.control, self.coils, self.bar, self.margin + 1.5, f, f, f - 1.5];
        let mut edges = [left + 2.5; 10];
        for (n, width) in widths.into_iter().enumerate() {
            edges[n + 1] = edges[n] + width;
        }
        edges
    }
}

/// Draws rows from the top of an area; returns where they end.
pub(super) fn draw(book: &Book, page: &mut Page, area: Rect, rows: &[Least]) -> f64 {
    let widths = Widths::of(area.width());
    let edges = widths.edges(area.min.x);
    let (top, bottom) = (area.min.y + HEAD, area.min.y + HEAD + PITCH * rows.len() as f64);
    head(&mut page.scene, &widths, &edges, top);
    for (n, least) in rows.iter().enumerate() {
        let foot = top + PITCH * (n + 1) as f64;
        page.scene.line(
            point(area.min.x, foot),
            point(area.min.x + area.width(), foot),
            pen::light(),
            Role::Decoration,
        );
        row(book, &mut page.scene, &widths, &edges, foot, least);
    }
    let room = Rect::new(edges[4], top, widths.bar - 2.5, 0.0);
    bar::marks(&mut page.scene, room, bottom);
    page.scene.line(
        point(area.min.x, top),
        point(area.min.x + area.width(), top),
        pen::thin(),
        Role::Decoration,
    );
    bottom
}

fn head(scene: &mut Scene, widths: &Widths, edges: &[f64; 10], top: f64) {
    let y = top - 1.0;
    for (n, words) in [(0, "Motor"), (1, "Turnout"), (2, "Worst control"), (3, "Coils")] {
        scene.bold(point(edges[n], y), widths.size, Anchor::Start, words);
    }
    scene.bold(point(edges[5], y), widths.size, Anchor::Start, "Margin");
    let figures = ["Energy", "Peak current", "Time at it"];
    for (n, words) in figures.into_iter().enumerate() {
        scene.bold(point(edges[6 + n], y - widths.size * 1.4), widths.size, Anchor::Start, words);
        scene.text(point(edges[6 + n], y), lettering::SMALL, Anchor::Start, "gets / needs");
    }
}

fn row(book: &Book, scene: &mut Scene, widths: &Widths, edges: &[f64; 10], foot: f64, least: &Least) {
    let design = book.design;
    let coil = least.coil;
    let y = foot - 1.35;
    let size = widths.size;
    let fit = |words: &str, bold: bool, width: f64| text::fit(words, size, bold, width - 1.5).into_owned();
    let drive = fit(design.circuit.drive_name(coil.bar), true, widths.drive);
    scene.bold(point(edges[0], y), size, Anchor::Start, drive);
    let turnout = fit(&design.document[coil.bar].name, false, widths.turnout);
    scene.text(point(edges[1], y), size, Anchor::Start, turnout);
    let control = fit(&trigger_words(&design.document, least.shot.trigger), false, widths.control);
    scene.text(point(edges[2], y), size, Anchor::Start, control);
    let coils = least.shot.coils.len().to_string();
    scene.text(point(edges[3] + widths.coils / 2.0 - 1.5, y), size, Anchor::Middle, coils);
    let verdict = Verdict::of(least);
    let room = Rect::new(edges[4], foot - PITCH + 1.1, widths.bar - 2.5, bar::HEIGHT);
    bar::bar(scene, room, coil.margin(), verdict);
    scene.bold(point(edges[5], y), size, Anchor::Start, margin_words(coil.margin()));
    let figures = [
        ("energy", coil.energy.to_string(), coil.needs.energy.to_string()),
        ("current", coil.peak.to_string(), coil.needs.current.to_string()),
        ("time", coil.above.to_string(), coil.needs.time.to_string()),
    ];
    for (n, (what, gets, needs)) in figures.into_iter().enumerate() {
        let bold = what == coil.least();
        let words = format!("{gets} / {needs}");
        let room = widths.figure - 1.5;
        let size = if text::width(&words, size, bold) <= room { size } else { lettering::SMALL };
        let words = text::fit(&words, size, bold, room).into_owned();
        scene.push_text(point(edges[6 + n], y), size, Anchor::Start, bold, Ink::BLACK, words);
    }
    scene.text(point(edges[9], y), size, Anchor::Start, fit(verdict.words(), false, widths.verdict + 1.5));
}

/// Two decimals as long as they count.
pub(super) fn margin_words(margin: f64) -> String {
    match margin {
        m if m >= 100.0 => "> 99".to_owned(),
        m if m >= 10.0 => format!("{m:.0}"),
        // Never rounded up over the border that it stays below.
        m => format!("{:.2}", (m * 100.0 + 1e-6).floor() / 100.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_fill_the_width_and_no_more() {
        for width in [242.5, 260.0, 262.5, 187.5] {
            let widths = Widths::of(width);
            let edges = widths.edges(0.0);
            assert!((edges[9] + widths.verdict - width).abs() < 1e-9, "{width}: {edges:?}");
            assert!(edges.windows(2).all(|e| e[1] > e[0] + 8.0), "{width}: {edges:?}");
            assert!(widths.bar > 30.0, "{width}: {}", widths.bar);
        }
    }

    #[test]
    fn a_margin_is_never_rounded_up() {
        assert_eq!(margin_words(1.0999), "1.09");
        assert_eq!(margin_words(1.1), "1.10");
        assert_eq!(margin_words(0.0), "0.00");
        assert_eq!(margin_words(23.4), "23");
        assert_eq!(margin_words(f64::INFINITY), "> 99");
    }
}
