//! The whole book as files in memory: sheets, tables, circuit and sizing. Where they go is the
//! command line's business.

use std::fmt;

use crate::Design;
use crate::draw::sheets;
use crate::export::pdf::{PdfError, pdf};
use crate::export::png::{PngError, png};
use crate::export::{
    csv::csv, discharge_deck::discharge_deck, json, markdown::markdown, sizing_report::sizing_report,
    svg::svg,
};
use crate::tables;

/// A file of the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutputFile {
    /// Relative to the book's folder, with `/` between folders: "tables/wires.csv".
    pub name: String,
    pub bytes: Vec<u8>,
}

/// What the book holds beyond the usual, and how it is marked.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BookOptions {
    /// Marked as a draft on every sheet.
    pub draft: bool,
    /// Sheets as pictures of pixels too, at so many dots per inch.
    pub png: Option<f32>,
}

#[derive(Debug)]
pub enum BookError {
    Pdf(PdfError),
    Png { sheet: String, error: PngError },
}

impl fmt::Display for BookError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BookError::Pdf(error) => write!(f, "the PDF of the book cannot be made: {error}"),
            BookError::Png { sheet, error } => {
                write!(f, "the picture of sheet `{sheet}` cannot be made: {error}")
            }
        }
    }
}

impl std::error::Error for BookError {}

/// All files of the book, sorted by name. The same design gives the same bytes.
pub fn book(design: &Design, options: &BookOptions) -> Result<Vec<OutputFile>, BookError> {
    let mut files = sheet_files(design, options)?;
    // What has no place for a mark inside bears it in its name.
    let mark = if options.draft { "DRAFT-" } else { "" };
    let stamped = |text: String| {
        if options.draft { text.replacen("\n\n", "\n\n**DRAFT – NOT FOR WIRING**\n\n", 1) } else { text }
    };
    for table in tables::all(design) {
        files.push(file(format!("tables/{mark}{}.csv", table.slug), csv(&table)));
        files.push(file(format!("tables/{mark}{}.md", table.slug), stamped(markdown(&table))));
    }
    files.push(file(format!("{mark}circuit.json"), json::circuit(design)));
    files.push(file(format!("{mark}rails.json"), json::rails(design)));
    files.push(file(format!("{mark}proof.json"), json::proof(design)));
    files.push(file(format!("{mark}sizing.json"), json::sizing(design)));
    files.push(file(format!("{mark}sizing.md"), stamped(sizing_report(design))));
    files.extend(discharge_deck(design).map(|text| file(format!("{mark}circuit.cir"), text)));
    files.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(files)
}

fn sheet_files(design: &Design, options: &BookOptions) -> Result<Vec<OutputFile>, BookError> {
    let sheets = sheets::draw(design, options.draft);
    let mut files = Vec::new();
    for (i, sheet) in sheets.iter().enumerate() {
        let name = format!("{:02}-{}", i + 1, sheet.slug);
        let drawing = svg(sheet);
        if let Some(dpi) = options.png {
            let picture =
                png(&drawing, dpi).map_err(|error| BookError::Png { sheet: sheet.title.clone(), error })?;
            files.push(file(format!("png/{name}.png"), picture));
        }
        files.push(file(format!("sheets/{name}.svg"), drawing));
    }
    if !sheets.is_empty() {
        let title = format!("{}: wiring book", *design.document.layout.name);
        files.push(file("wiring-book.pdf", pdf(&title, &sheets).map_err(BookError::Pdf)?));
    }
    Ok(files)
}

fn file(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> OutputFile {
    OutputFile { name: name.into(), bytes: bytes.into() }
}
