//! All sheets as one PDF, drawn straight from the scenes: lines as lines, words as words.

use std::fmt;

use krilla::Document;
use krilla::color::rgb;
use krilla::destination::XyzDestination;
use krilla::geom::{Path as Outline, PathBuilder, Point as At, Transform};
use krilla::metadata::Metadata;
use krilla::outline::{Outline as Contents, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineCap, LineJoin, Stroke as Pen, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::look::{self, Line};
use super::number::rounded;
use crate::draw::scene::{Anchor, Ink, Item, Path, Role, Scene, Stroke, Text};
use crate::draw::text;
use crate::geom::Point;

/// PDF's points to the millimetre.
const POINTS: f64 = 72.0 / 25.4;

#[derive(Debug)]
pub enum PdfError {
    /// A sheet has no area.
    PageSize {
        sheet: String,
    },
    Font,
    Encoding(String),
}

impl fmt::Display for PdfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PdfError::PageSize { sheet } => write!(f, "sheet {sheet} has no printable size"),
            PdfError::Font => f.write_str("the embedded font cannot be read"),
            PdfError::Encoding(e) => write!(f, "the PDF cannot be written: {e}"),
        }
    }
}

impl std::error::Error for PdfError {}

struct Fonts {
    regular: Font,
    bold: Font,
}

/// The book as PDF bytes, one page and one outline entry per sheet. The same scenes give the same
/// bytes: no time of day, no random name goes in.
pub fn pdf(title: &str, sheets: &[Scene]) -> Result<Vec<u8>, PdfError> {
    let face = |bold| Font::new(text::font(bold).into(), 0).ok_or(PdfError::Font);
    let fonts = Fonts { regular: face(false)?, bold: face(true)? };
    let mut document = Document::new();
    let mut contents = Contents::new();
    for (index, scene) in sheets.iter().enumerate() {
        let (width, height) = ((scene.width * POINTS) as f32, (scene.height * POINTS) as f32);
        let settings = PageSettings::from_wh(width, height)
            .ok_or_else(|| PdfError::PageSize { sheet: scene.title.clone() })?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface.push_transform(&Transform::from_scale(POINTS as f32, POINTS as f32));
        for item in &scene.items {
            draw(&mut surface, item, &fonts);
        }
        surface.pop();
        surface.finish();
        page.finish();
        let top = XyzDestination::new(index, At::from_xy(0.0, 0.0));
        contents.push_child(OutlineNode::new(text::printable(&scene.title).into_owned(), top));
    }
    document.set_outline(contents);
    let title = text::printable(title).into_owned();
    document.set_metadata(Metadata::new().title(title).language("en".to_owned()));
    document.finish().map_err(|e| PdfError::Encoding(format!("{e:?}")))
}

fn draw(surface: &mut Surface, item: &Item, fonts: &Fonts) {
    match item {
        Item::Path(p) => shape(surface, polygon(p), p.stroke.as_ref(), p.fill, &p.role),
        Item::Circle { centre, radius, stroke, fill, role } => {
            shape(surface, circle(*centre, *radius), stroke.as_ref(), *fill, role);
        }
        Item::Text(t) => label(surface, t, fonts),
    }
}

fn shape(
    surface: &mut Surface,
    path: Option<Outline>,
    stroke: Option<&Stroke>,
    fill: Option<Ink>,
    role: &Role,
) {
    let Some(path) = path else { return };
    if let Some(ink) = fill {
        surface.set_fill(Some(filling(ink)));
        surface.set_stroke(None);
        surface.draw_path(&path);
    }
    surface.set_fill(None);
    for line in stroke.into_iter().flat_map(|s| look::lines(s, role)) {
        surface.set_stroke(Some(pen(&line)));
        surface.draw_path(&path);
    }
}

fn label(surface: &mut Surface, t: &Text, fonts: &Fonts) {
    let content = text::printable(&t.content);
    let font = if t.bold { &fonts.bold } else { &fonts.regular };
    let size = rounded(text::font_size(t.height));
    let mut run = Vec::new();
    let (mut start, mut advance) = (0, 0.0);
    for (c, g) in text::glyphs(&content, t.bold) {
        let range = start..start + c.len_utf8();
        start = range.end;
        advance += g.advance;
        run.push(KrillaGlyph::new(GlyphId::new(g.id), g.advance as f32, 0.0, 0.0, 0.0, range, None));
    }
    if run.is_empty() {
        return;
    }
    let before = match t.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => advance * size / 2.0,
        Anchor::End => advance * size,
    };
    let at = place(t.at);
    surface.set_stroke(None);
    surface.set_fill(Some(filling(t.ink)));
    let turned = match t.upright {
        true => Transform::from_row(0.0, -1.0, 1.0, 0.0, at.x, at.y),
        false => Transform::from_translate(at.x, at.y),
    };
    surface.push_transform(&turned);
    surface.draw_glyphs(At::from_xy(-before as f32, 0.0), &run, font.clone(), &content, size as f32, false);
    surface.pop();
}

fn polygon(p: &Path) -> Option<Outline> {
    let mut builder = PathBuilder::new();
    for (i, q) in p.points.iter().enumerate() {
        let q = place(*q);
        if i == 0 { builder.move_to(q.x, q.y) } else { builder.line_to(q.x, q.y) }
    }
    if p.closed {
        builder.close();
    }
    builder.finish()
}

/// A circle as four Bézier curves; 0.5523 keeps them within 0.03 % of the radius.
fn circle(centre: Point, radius: f64) -> Option<Outline> {
    let (x, y, r) = (rounded(centre.x) as f32, rounded(centre.y) as f32, rounded(radius) as f32);
    let k = r * 0.5523;
    let mut b = PathBuilder::new();
    b.move_to(x + r, y);
    b.cubic_to(x + r, y + k, x + k, y + r, x, y + r);
    b.cubic_to(x - k, y + r, x - r, y + k, x - r, y);
    b.cubic_to(x - r, y - k, x - k, y - r, x, y - r);
    b.cubic_to(x + k, y - r, x + r, y - k, x + r, y);
    b.close();
    b.finish()
}

fn place(p: Point) -> At {
    At::from_xy(rounded(p.x) as f32, rounded(p.y) as f32)
}

fn filling(ink: Ink) -> Fill {
    Fill { paint: colour(ink).into(), ..Fill::default() }
}

fn colour(Ink(r, g, b): Ink) -> rgb::Color {
    rgb::Color::new(r, g, b)
}

fn pen(line: &Line) -> Pen {
    Pen {
        paint: colour(line.ink).into(),
        width: rounded(line.width) as f32,
        line_cap: if line.round_ends { LineCap::Round } else { LineCap::Butt },
        line_join: LineJoin::Round,
        dash: (!line.dash.is_empty())
            .then(|| StrokeDash { array: line.dash.iter().map(|d| *d as f32).collect(), offset: 0.0 }),
        ..Pen::default()
    }
}
