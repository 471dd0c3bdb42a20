//! How wide words are in the font that is printed: DejaVu Sans Condensed, embedded. Sheets are laid
//! out with these figures, and SVG, PNG and PDF all show the same glyphs without kerning, so that
//! what fits here fits on paper.

use std::borrow::Cow;
use std::sync::LazyLock;

use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, GlyphId, MetadataProvider};

use super::scene::{Anchor, Text};
use crate::geom::{Rect, point};

/// Heights of capitals in millimetres, from the series of ISO 3098.
pub mod lettering {
    /// Pin numbers and small print; nothing on a sheet is smaller.
    pub const SMALL: f64 = 1.8;
    /// Names and values.
    pub const BODY: f64 = 2.5;
    pub const HEADING: f64 = 3.5;
    pub const TITLE: f64 = 5.0;
    pub const LARGE: f64 = 7.0;
}

/// The family name inside the font file; its condensed face is told apart by its stretch.
pub const FAMILY: &str = "DejaVu Sans";

/// Cap height of the face in em. The file's OS/2 table is too old to state it; measured at the
/// glyph `H` (1493 of 2048 units).
pub const CAP_HEIGHT_EM: f64 = 0.729;

/// Distance between baselines of a paragraph, in cap heights: ISO 3098 asks for 1.9 where letters
/// carry accents, 1.4 at the least; 1.6 clears descenders and accents of this face.
pub const LINE_PITCH: f64 = 1.6;

/// The font file's bytes.
pub fn font(bold: bool) -> &'static [u8] {
    if bold { dejavu::sans_condensed::bold() } else { dejavu::sans_condensed::regular() }
}

/// Font size in millimetres of capitals `cap_height` millimetres high.
pub fn font_size(cap_height: f64) -> f64 {
    cap_height / CAP_HEIGHT_EM
}

/// One character's glyph; lengths in em.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glyph {
    /// Zero where the font has no such character (it prints a box).
    pub id: u32,
    pub advance: f64,
    /// Highest and lowest ink, measured upwards from the baseline.
    pub top: f64,
    pub bottom: f64,
}

/// Characters up to here (Latin, accents) are kept in a table.
const TABLE: u32 = 0x250;

struct Face {
    map: Charmap<'static>,
    metrics: GlyphMetrics<'static>,
    table: Vec<Glyph>,
}

impl Face {
    fn new(bold: bool) -> Face {
        let font = FontRef::new(font(bold)).expect("the embedded font is whole");
        let metrics = font.glyph_metrics(Size::new(1.0), LocationRef::default());
        let mut face = Face { map: font.charmap(), metrics, table: Vec::new() };
        face.table = (0..TABLE).map(|c| face.look_up(char::from_u32(c).unwrap_or(' '))).collect();
        face
    }

    fn look_up(&self, c: char) -> Glyph {
        let id = self.map.map(c).unwrap_or(GlyphId::NOTDEF);
        let (top, bottom) =
            self.metrics.bounds(id).map_or((0.0, 0.0), |b| (f64::from(b.y_max), f64::from(b.y_min)));
        let advance = f64::from(self.metrics.advance_width(id).unwrap_or(0.6));
        Glyph { id: id.to_u32(), advance, top, bottom }
    }

    fn glyph(&self, c: char) -> Glyph {
        match self.table.get(c as usize) {
            Some(g) => *g,
            None => self.look_up(c),
        }
    }
}

fn face(bold: bool) -> &'static Face {
    static REGULAR: LazyLock<Face> = LazyLock::new(|| Face::new(false));
    static BOLD: LazyLock<Face> = LazyLock::new(|| Face::new(true));
    if bold { &BOLD } else { &REGULAR }
}

/// The text as it is printed: line breaks and tabs become blanks, and characters that no XML
/// document may hold are dropped.
pub fn printable(content: &str) -> Cow<'_, str> {
    let forbidden = |c: char| c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}');
    if !content.contains(forbidden) {
        return Cow::Borrowed(content);
    }
    let blank = |c: char| if matches!(c, '\n' | '\t' | '\r') { Some(' ') } else { None };
    Cow::Owned(content.chars().filter_map(|c| if forbidden(c) { blank(c) } else { Some(c) }).collect())
}

/// The glyphs of a text, each with the character it stands for.
pub fn glyphs(content: &str, bold: bool) -> impl Iterator<Item = (char, Glyph)> + '_ {
    let face = face(bold);
    content.chars().map(move |c| (c, face.glyph(c)))
}

/// Whether both faces can show the character.
pub fn has_glyph(c: char) -> bool {
    face(false).glyph(c).id != 0 && face(true).glyph(c).id != 0
}

/// Width in millimetres: the sum of the advances, which is what the printed text takes.
pub fn width(content: &str, cap_height: f64, bold: bool) -> f64 {
    glyphs(&printable(content), bold).map(|(_, g)| g.advance).sum::<f64>() * font_size(cap_height)
}

/// The box of the ink: at least from the baseline to the cap height, higher for accents, lower only
/// for letters that descend.
pub fn bounds(text: &Text) -> Rect {
    let (mut advance, mut top, mut bottom) = (0.0, CAP_HEIGHT_EM, 0.0_f64);
    for (_, g) in glyphs(&printable(&text.content), text.bold) {
        advance += g.advance;
        top = g.top.max(top);
        // Round letters sag 0.015 em below the baseline: that is no descender.
        bottom = if g.bottom < -0.03 { bottom.min(g.bottom) } else { bottom };
    }
    let size = font_size(text.height);
    let (w, up, down) = (advance * size, top * size, -bottom * size);
    let before = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => w / 2.0,
        Anchor::End => w,
    };
    let at = text.at;
    if text.upright {
        // Reads upwards: the baseline runs towards smaller y, the tops of the letters point left.
        Rect::around(point(at.x - up, at.y + before), point(at.x + down, at.y + before - w))
    } else {
        Rect::around(point(at.x - before, at.y - up), point(at.x - before + w, at.y + down))
    }
}

/// Broken at blanks into lines no wider than `max_width`; a word wider than that is broken inside.
/// An empty text gives no line.
pub fn wrap(content: &str, cap_height: f64, bold: bool, max_width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in content.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, cap_height, bold) <= max_width {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if line.chars().count() > 1 && width(&line, cap_height, bold) > max_width {
                line.pop();
                lines.push(std::mem::replace(&mut line, c.to_string()));
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The text itself if it fits, else as much of its beginning as fits with an ellipsis after it.
pub fn fit(content: &str, cap_height: f64, bold: bool, max_width: f64) -> Cow<'_, str> {
    if width(content, cap_height, bold) <= max_width {
        return Cow::Borrowed(content);
    }
    let mut room = max_width - width("…", cap_height, bold);
    let size = font_size(cap_height);
    let kept: String = glyphs(content, bold)
        .map_while(|(c, g)| {
            room -= g.advance * size;
            (room >= 0.0).then_some(c)
        })
        .collect();
    Cow::Owned(format!("{}…", kept.trim_end()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::scene::Ink;

    fn text(content: &str, anchor: Anchor, upright: bool) -> Text {
        let (at, ink) = (point(50.0, 50.0), Ink::BLACK);
        Text { at, content: content.into(), height: 2.5, bold: false, anchor, ink, upright }
    }

    #[test]
    fn both_faces_show_every_sign_the_sheets_use() {
        for c in "Ω µ ° × → ← ↑ ↓ ≥ ≤ ² − – ✓ □ ⚠ … ~ ≈ ± · ½ √ Δ äöüßéèøå".chars()
        {
            assert!(has_glyph(c), "no glyph for {c}");
        }
        assert!(!has_glyph('\u{23da}')); // earth sign: drawn as a symbol instead
    }

    #[test]
    fn a_capital_is_as_high_as_its_nominal_height() {
        // ISO 3098: h is the height of a capital.
        let (_, h) = glyphs("H", false).next().unwrap();
        assert!((h.top * font_size(2.5) - 2.5).abs() < 0.01, "{}", h.top);
        let b = bounds(&text("H", Anchor::Start, false));
        assert!((b.max.y - 50.0).abs() < 1e-9 && (b.height() - 2.5).abs() < 0.01);
    }

    #[test]
    fn only_descending_letters_reach_below_the_baseline() {
        assert!(bounds(&text("Boss", Anchor::Start, false)).max.y == 50.0);
        assert!(bounds(&text("Bogy", Anchor::Start, false)).max.y > 50.5);
        assert!(bounds(&text("Ä", Anchor::Start, false)).min.y < 47.0);
    }

    #[test]
    fn an_upright_text_is_its_level_box_turned() {
        let level = bounds(&text("Bogy 12", Anchor::Middle, false));
        let turned = bounds(&text("Bogy 12", Anchor::Middle, true));
        assert!((level.width() - turned.height()).abs() < 1e-9);
        assert!((level.height() - turned.width()).abs() < 1e-9);
        let start = bounds(&text("Bogy", Anchor::Start, true));
        assert!((start.max.y - 50.0).abs() < 1e-9 && start.max.x > 50.0);
    }

    #[test]
    fn wrapped_lines_fit_and_lose_nothing() {
        let content = "Switch off, wait until the lamp is dark, measure: Capacitorbankdischargeresistor 2";
        let lines = wrap(content, 1.8, false, 25.0);
        assert!(lines.iter().all(|l| width(l, 1.8, false) <= 25.0), "{lines:?}");
        let bare = |s: &str| s.replace(' ', "");
        assert_eq!(bare(&lines.concat()), bare(content));
        assert!(wrap("  ", 1.8, false, 25.0).is_empty());
    }

    #[test]
    fn a_text_too_wide_ends_in_an_ellipsis() {
        assert_eq!(fit("T1", 2.5, false, 30.0), "T1");
        let short = fit("The very long name of a layout", 2.5, true, 30.0);
        assert!(short.ends_with('…') && width(&short, 2.5, true) <= 30.0, "{short}");
    }

    #[test]
    fn control_characters_are_not_printed() {
        assert_eq!(printable("a\u{1}b\nc"), "ab c");
        assert!((width("a\u{1}b", 2.5, false) - width("ab", 2.5, false)).abs() < 1e-9);
    }
}
