//! The tables of one example as they are printed, to be read as a builder reads them.

use underboard::export::markdown::markdown;
use underboard::source::SourceFile;
use underboard::tables;

#[test]
fn the_quarry_tramways_tables() {
    let text = include_str!("../examples/quarry-tramway/layout.toml");
    let (design, found) = underboard::design(&SourceFile::new("layout.toml", text));
    let design = design.unwrap_or_else(|| panic!("{found:#?}"));
    insta::assert_snapshot!("terminals", markdown(&tables::terminals::table(&design)));
    insta::assert_snapshot!("parts", markdown(&tables::parts::table(&design)));
    insta::assert_snapshot!("wire_lengths", markdown(&tables::lengths::table(&design)));
}
