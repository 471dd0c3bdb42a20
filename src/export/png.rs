//! One sheet as a picture of pixels: the SVG, drawn with the embedded font alone, on white.

use std::fmt;
use std::sync::{Arc, LazyLock};

use resvg::tiny_skia::{Color, Pixmap, Transform};
use resvg::usvg::{self, fontdb::Source};

use crate::draw::text::{FAMILY, font};

/// Largest picture made, in pixels along one side; beyond it memory runs to gigabytes.
const LARGEST: f32 = 20_000.0;

#[derive(Debug)]
pub enum PngError {
    /// The text is not an SVG document.
    Svg(usvg::Error),
    /// The picture would have no pixel, or too many to hold.
    Size {
        width: f32,
        height: f32,
    },
    Encoding(String),
}

impl fmt::Display for PngError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PngError::Svg(e) => write!(f, "the sheet cannot be drawn as pixels: {e}"),
            PngError::Size { width, height } => {
                write!(f, "a picture of {width:.0} by {height:.0} pixels cannot be made")
            }
            PngError::Encoding(e) => write!(f, "the picture cannot be written as PNG: {e}"),
        }
    }
}

impl std::error::Error for PngError {}

/// The parsed SVG; the font data base is built once.
fn tree(svg: &str) -> Result<usvg::Tree, PngError> {
    static OPTIONS: LazyLock<usvg::Options<'static>> = LazyLock::new(|| {
        let mut options = usvg::Options { font_family: FAMILY.into(), ..usvg::Options::default() };
        let fonts = options.fontdb_mut();
        for bold in [false, true] {
            fonts.load_font_source(Source::Binary(Arc::new(font(bold))));
        }
        fonts.set_sans_serif_family(FAMILY);
        options
    });
    usvg::Tree::from_str(svg, &OPTIONS).map_err(PngError::Svg)
}

/// The SVG document as PNG bytes at `dpi` dots per inch.
pub fn png(svg: &str, dpi: f32) -> Result<Vec<u8>, PngError> {
    let tree = tree(svg)?;
    let size = tree.size();
    // Lengths in the tree are CSS pixels, 96 to the inch.
    let (width, height) = ((size.width() * dpi / 96.0).round(), (size.height() * dpi / 96.0).round());
    let too_large = || PngError::Size { width, height };
    if !(width <= LARGEST && height <= LARGEST) {
        return Err(too_large());
    }
    let mut pixels = Pixmap::new(width as u32, height as u32).ok_or_else(too_large)?;
    pixels.fill(Color::WHITE);
    let scale = Transform::from_scale(width / size.width(), height / size.height());
    resvg::render(&tree, scale, &mut pixels.as_mut());
    pixels.encode_png().map_err(|e| PngError::Encoding(e.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::scene::{Anchor, Scene};
    use crate::draw::text::width;
    use crate::export::svg::svg;
    use crate::geom::point;

    fn texts(group: &usvg::Group) -> Vec<&usvg::Text> {
        let mut found = Vec::new();
        for node in group.children() {
            match node {
                usvg::Node::Group(g) => found.extend(texts(g)),
                usvg::Node::Text(t) => found.push(&**t),
                _ => {}
            }
        }
        found
    }

    #[test]
    fn no_text_is_lost_between_scene_and_pixels() {
        let mut scene = Scene::new("t", "T", 100.0, 100.0);
        scene.text(point(10.0, 10.0), 2.5, Anchor::Start, "1 GN 0.5");
        scene.bold(point(10.0, 20.0), 3.5, Anchor::Middle, "S1");
        scene.upright(point(10.0, 60.0), 1.8, Anchor::End, "upright");
        let written = svg(&scene);
        let tree = tree(&written).unwrap();
        let found = texts(tree.root());
        assert_eq!(found.len(), scene.texts().count());
        assert!(found.iter().all(|t| !t.layouted().is_empty()));
    }

    #[test]
    fn widths_foretold_are_the_widths_drawn() {
        for (content, bold) in [("LTA. V 12 GN 0.5", false), ("LTA. V 12 GN 0.5", true), ("4.7 Ω × 2", false)]
        {
            let mut scene = Scene::new("t", "T", 200.0, 100.0);
            let height = 6.0 * crate::draw::text::CAP_HEIGHT_EM; // a size that rounds to itself
            match bold {
                true => scene.bold(point(10.0, 20.0), height, Anchor::Start, content),
                false => scene.text(point(10.0, 20.0), height, Anchor::Start, content),
            }
            let tree = tree(&svg(&scene)).unwrap();
            let found = texts(tree.root());
            let drawn = f64::from(found[0].bounding_box().width()) / 96.0 * 25.4;
            let foretold = width(content, height, bold);
            // usvg's box spans the advances, in the tree's own scale.
            let scale = f64::from(found[0].abs_transform().sx) / (96.0 / 25.4);
            let drawn = if (scale - 1.0).abs() < 1e-3 { drawn * 96.0 / 25.4 } else { drawn };
            assert!((drawn - foretold).abs() < 0.02, "{content}: drawn {drawn}, foretold {foretold}");
        }
    }

    #[test]
    fn pixels_follow_from_the_page_and_the_resolution() {
        let page = svg(&Scene::new("t", "T", 297.0, 210.0));
        let bytes = png(&page, 150.0).unwrap();
        // PNG (ISO/IEC 15948): IHDR's width and height are big-endian at bytes 16 and 20.
        let at = |i: usize| u32::from_be_bytes(bytes[i..i + 4].try_into().unwrap());
        assert_eq!((at(16), at(20)), (1754, 1240));
        assert!(matches!(png(&page, 1e6), Err(PngError::Size { .. })));
        assert!(matches!(png("not svg", 96.0), Err(PngError::Svg(_))));
    }
}
