//! Metres of wire to buy, by colour and size.

use super::wires::{WireRow, rows as wires};
use super::{Table, colour_words, number, text};
use crate::Design;
use crate::parse::Colour;
use crate::units::{Length, WireSize};

/// What is lost when pieces are cut from a reel (common practice, no source).
const OFFCUTS: f64 = 1.1;

/// All wire of one colour and size.
#[derive(Clone, Debug, PartialEq)]
pub struct LengthRow {
    pub colour: Colour,
    pub size: WireSize,
    /// How many pieces.
    pub pieces: usize,
    /// Of all pieces together.
    pub cut: Length,
    /// With a tenth for offcuts, in whole metres.
    pub buy: Length,
}

/// Thickest first, then in the order of the colour codes.
pub fn rows(design: &Design) -> Vec<LengthRow> {
    let mut rows: Vec<LengthRow> = Vec::new();
    for WireRow { colour, size, length, .. } in wires(design) {
        match rows.iter_mut().find(|r| (r.colour, r.size) == (colour, size)) {
            Some(row) => {
                row.pieces += 1;
                row.cut = row.cut + length;
            }
            None => rows.push(LengthRow { colour, size, pieces: 1, cut: length, buy: length }),
        }
    }
    for row in &mut rows {
        // A billionth less, so that a whole number of metres stays one.
        row.buy = Length::new((row.cut.metres() * OFFCUTS - 1e-9).ceil());
    }
    rows.sort_by(|a, b| {
        let by_size = b.size.area().total_cmp(&a.size.area());
        by_size.then(a.size.label().cmp(&b.size.label())).then(a.colour.cmp(&b.colour))
    });
    rows
}

pub fn table(design: &Design) -> Table {
    let rows = rows(design)
        .into_iter()
        .map(|r| {
            vec![
                colour_words(r.colour),
                r.size.label(),
                r.pieces.to_string(),
                format!("{:.1}", r.cut.metres()),
                format!("{:.0}", r.buy.metres()),
            ]
        })
        .collect();
    Table {
        slug: "wire-lengths",
        title: "Wire to buy",
        note: "Flexible (stranded) wire. Wire already fitted to a drive or servo counts towards it.",
        columns: vec![
            text("Colour"),
            text("Size"),
            number("Pieces"),
            number("All pieces (m)"),
            number("Buy, 10 % offcuts included (m)"),
        ],
        rows,
    }
}
