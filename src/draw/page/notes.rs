//! The strip of cautions and notes beside the title block.

use std::fmt;

use crate::draw::line::THIN;
use crate::draw::scene::{Anchor, Ink, Role, Scene, Stroke};
use crate::draw::text::{CAP_HEIGHT_EM, LINE_PITCH, glyphs, lettering, wrap};
use crate::geom::{Point, Rect, point};

/// The lines need more height than there is; nothing was drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overflow {
    /// In millimetres.
    pub needed: f64,
    pub available: f64,
}

impl fmt::Display for Overflow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the notes need {:.1} mm, the strip has {:.1} mm", self.needed, self.available)
    }
}

impl std::error::Error for Overflow {}

/// Width kept for the warning sign in front of a caution.
const SIGN: f64 = 5.0;
/// Height of the sign in cap heights.
const SIGN_HEIGHT: f64 = 1.1;

/// Draws cautions, each behind a warning triangle, then notes, from the top of `area`, wrapped to
/// its width: names' size if that fits, else the smallest. Gives the height used in millimetres, or
/// tells that the caller must choose fewer lines.
pub fn caution_strip(
    scene: &mut Scene,
    area: Rect,
    cautions: &[&str],
    notes: &[&str],
) -> Result<f64, Overflow> {
    let mut needed = 0.0;
    for size in [lettering::BODY, lettering::SMALL] {
        let indent = if cautions.is_empty() { 0.0 } else { SIGN };
        let paragraphs: Vec<(bool, Vec<String>)> = cautions
            .iter()
            .map(|c| (true, *c))
            .chain(notes.iter().map(|n| (false, *n)))
            .map(|(caution, words)| (caution, wrap(words, size, false, area.width() - indent)))
            .collect();
        let lines: usize = paragraphs.iter().map(|(_, l)| l.len()).sum();
        if lines == 0 {
            return Ok(0.0);
        }
        let pitch = size * LINE_PITCH;
        let above = size * height_of_first(&paragraphs);
        // The last line's descenders reach a third of h below its baseline.
        needed = above + (lines - 1) as f64 * pitch + size * 0.33;
        if needed > area.height() {
            continue;
        }
        let mut baseline = area.min.y + above;
        for (caution, lines) in &paragraphs {
            if *caution {
                warning_sign(scene, point(area.min.x, baseline), size);
            }
            for line in lines {
                scene.text(point(area.min.x + indent, baseline), size, Anchor::Start, line.as_str());
                baseline += pitch;
            }
        }
        return Ok(needed);
    }
    Err(Overflow { needed, available: area.height() })
}

/// How far the first line rises above its baseline, in cap heights: accents on capitals, or the sign.
fn height_of_first(paragraphs: &[(bool, Vec<String>)]) -> f64 {
    let first = paragraphs.iter().flat_map(|(_, lines)| lines).next();
    let ink = first.into_iter().flat_map(|l| glyphs(l, false)).map(|(_, g)| g.top / CAP_HEIGHT_EM);
    ink.fold(SIGN_HEIGHT, f64::max)
}

/// A triangle with an exclamation mark, on a baseline, a little taller than capitals.
fn warning_sign(scene: &mut Scene, at: Point, height: f64) {
    let h = height * SIGN_HEIGHT;
    let half = h * 0.6;
    let pen = Stroke::solid(THIN, Ink::BLACK);
    let (middle, base) = (at.x + 0.2 + half, at.y);
    let corners = vec![point(middle - half, base), point(middle + half, base), point(middle, base - h)];
    scene.polygon(corners, Some(pen), None, Role::Decoration);
    let stem = [point(middle, base - 0.62 * h), point(middle, base - 0.3 * h)];
    scene.line(stem[0], stem[1], pen, Role::Decoration);
    scene.circle(point(middle, base - 0.17 * h), 0.15, None, Some(Ink::BLACK), Role::Decoration);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::overlap;
    use crate::draw::text::bounds;

    const CAUTION: &str =
        "Stored charge: C1 holds up to 1.4 J at 24 V. Switch off, wait 30 s, measure, then work.";
    const NOTE: &str =
        "Überblick: contacts drawn with every turnout normal. Wire: number, colour (IEC 60757), mm².";

    #[test]
    fn lines_stay_inside_the_strip_at_every_width_they_fit() {
        let mut fitted = 0;
        for width in 4..30 {
            let area = Rect::new(10.0, 10.0, f64::from(width) * 5.0, 15.5);
            let mut scene = Scene::new("s", "S", 200.0, 60.0);
            match caution_strip(&mut scene, area, &[CAUTION], &[NOTE]) {
                Ok(height) => {
                    fitted += 1;
                    assert!(height <= area.height());
                    assert!(scene.texts().all(|t| area.holds(&bounds(t))), "{width}");
                    assert!(overlap::check(&scene).faults.is_empty());
                }
                Err(e) => {
                    assert!(e.needed > e.available && scene.items.is_empty());
                }
            }
        }
        assert!(fitted > 10, "{fitted}");
    }

    #[test]
    fn nothing_to_say_takes_no_height() {
        let mut scene = Scene::new("s", "S", 200.0, 60.0);
        assert_eq!(caution_strip(&mut scene, Rect::new(0.0, 0.0, 50.0, 10.0), &[], &[]), Ok(0.0));
    }
}
