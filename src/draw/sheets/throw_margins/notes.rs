//! Below the rows: where the energy stays, what would help, and how it was reckoned.

use super::super::{Book, pen};
use crate::draw::page::Page;
use crate::draw::scene::{Anchor, Role};
use crate::draw::text::{self, lettering};
use crate::drives::sizing::{STRONGEST, WEAKEST, trigger_words};
use crate::firing::{MARGIN, Unit};
use crate::geom::point;
use crate::units::Joules;

const PITCH: f64 = 4.5;
/// More between paragraphs.
const PARAGRAPH: f64 = 1.5;
const HEADING: f64 = 7.5;
/// Above a second heading.
const APART: f64 = 3.0;
/// So many places of loss are named, the rest is one line.
const PLACES: usize = 7;
const BETWEEN: f64 = 7.5;
/// For an energy or a margin, and for a share.
const FIGURE: f64 = 16.0;

/// A line of the left block: words, and two figures set to the right.
type Line = (String, String, String);

/// Wrapped, so that the height is known before it is drawn.
pub(super) struct Notes {
    losses: (String, Vec<Line>),
    remedies: Vec<Line>,
    /// Paragraphs of lines.
    reckoning: Vec<Vec<String>>,
    /// Of each of the two blocks.
    width: f64,
}

impl Notes {
    pub fn of(book: &Book, unit: &Unit, room: f64) -> Notes {
        let width = (room - BETWEEN) / 2.0 - 2.5;
        let wrapped = |words: &str| text::wrap(words, lettering::BODY, false, width);
        let reckoning = paragraphs(book, unit).iter().map(|p| wrapped(p)).collect();
        Notes { losses: losses(book, unit), remedies: remedies(book), reckoning, width }
    }

    fn left_height(&self) -> f64 {
        let remedies =
            if self.remedies.is_empty() { 0.0 } else { APART + HEADING + PITCH * self.remedies.len() as f64 };
        HEADING + PITCH * self.losses.1.len() as f64 + remedies
    }

    /// With the space above.
    pub fn height(&self) -> f64 {
        let lines: usize = self.reckoning.iter().map(Vec::len).sum();
        let right = HEADING + PITCH * lines as f64 + PARAGRAPH * (self.reckoning.len() - 1) as f64;
        5.0 + self.left_height().max(right)
    }

    pub fn draw(&self, page: &mut Page, top: f64) {
        let left = page.inner.min.x + 2.5;
        let end = self.lines(page, left, top, &self.losses.0, &self.losses.1);
        if !self.remedies.is_empty() {
            self.lines(
                page,
                left,
                end + APART,
                "What would help, and the margin that comes of it",
                &self.remedies,
            );
        }
        let right = left + self.width + BETWEEN;
        page.scene.bold(point(right, top + 4.0), lettering::BODY, Anchor::Start, "How it was reckoned");
        let mut y = top + HEADING + 3.0;
        for paragraph in &self.reckoning {
            for line in paragraph {
                page.scene.text(point(right, y), lettering::BODY, Anchor::Start, line.as_str());
                y += PITCH;
            }
            y += PARAGRAPH;
        }
    }

    /// A heading with lines; returns where they end.
    fn lines(&self, page: &mut Page, left: f64, top: f64, heading: &str, lines: &[Line]) -> f64 {
        let heading = text::fit(heading, lettering::BODY, true, self.width).into_owned();
        page.scene.bold(point(left, top + 4.0), lettering::BODY, Anchor::Start, heading);
        for (n, (words, figure, share)) in lines.iter().enumerate() {
            let foot = top + HEADING + PITCH * (n + 1) as f64;
            let y = foot - 1.2;
            let right = left + self.width;
            let figures = if figure.is_empty() { 1.0 } else { 2.0 };
            let room = self.width - figures * FIGURE - 2.0;
            let words = text::fit(words, lettering::BODY, false, room).into_owned();
            page.scene.text(point(left, y), lettering::BODY, Anchor::Start, words);
            page.scene.text(point(right - FIGURE, y), lettering::BODY, Anchor::End, figure.as_str());
            page.scene.text(point(right - 0.5, y), lettering::BODY, Anchor::End, share.as_str());
            page.scene.line(point(left, foot), point(right, foot), pen::light(), Role::Decoration);
        }
        top + HEADING + PITCH * lines.len() as f64
    }
}

fn losses(book: &Book, unit: &Unit) -> (String, Vec<Line>) {
    let shot = unit.worst();
    let control = trigger_words(&book.design.document, shot.trigger);
    let heading = format!("Where the energy goes: {control}, weakest corner");
    let lost: Joules = shot.losses.iter().map(|l| l.energy).sum();
    let in_coils: Joules = shot.coils.iter().map(|c| c.energy).sum();
    let all = lost + in_coils;
    if all.joules() <= 0.0 {
        return (heading, Vec::new());
    }
    let line =
        |words: String, energy: Joules| (words, energy.to_string(), format!("{:.1} %", energy / all * 100.0));
    let mut lines = vec![line("the coils that are fired".to_owned(), in_coils)];
    let shown = if shot.losses.len() <= PLACES + 1 { shot.losses.len() } else { PLACES };
    lines.extend(shot.losses.iter().take(shown).map(|l| line(l.place.clone(), l.energy)));
    let rest = &shot.losses[shown..];
    if !rest.is_empty() {
        lines.push(line(
            format!("{} more places, see sizing.md", rest.len()),
            rest.iter().map(|l| l.energy).sum(),
        ));
    }
    (heading, lines)
}

fn remedies(book: &Book) -> Vec<Line> {
    let remedies = book.design.sizing.fired().map_or(&[][..], |f| &f.remedies);
    remedies.iter().map(|r| (r.words.clone(), String::new(), format!("{:.2}", r.margin))).collect()
}

fn paragraphs(book: &Book, unit: &Unit) -> [String; 5] {
    let bank = &book.design.circuit[unit.capacitor];
    [
        format!(
            "Every control was worked in both positions, in simulation of the circuit as it is drawn, and every coil \
             looked at. The margin is what it gets of what it needs, of whatever it has least of (in bold); \
             {MARGIN} is asked for."
        ),
        format!("Weakest corner, all at once: {WEAKEST}."),
        format!("There {}, {}, begins at {}.", bank.designation, bank.value, unit.worst().start),
        format!("Strongest corner, for contacts and fuses: {STRONGEST}."),
        "What a coil needs is what the layout file says, and a tenth more of energy and current where a typical \
         figure stands in for yours."
            .to_owned(),
    ]
}
