//! A table as CSV (RFC 4180): a heading row, commas, quotes where needed, UTF-8.

use crate::tables::Table;

/// The table's columns and rows; title and note are left out, so that a spreadsheet sees only data.
pub fn csv(table: &Table) -> String {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let headings = table.columns.iter().map(|c| c.heading);
    // Writing to memory fails only for rows of unequal length, which a table does not have.
    let mut written = writer.write_record(headings);
    for row in &table.rows {
        written = written.and_then(|()| writer.write_record(row));
    }
    debug_assert!(written.is_ok(), "{written:?}");
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::Column;

    /// RFC 4180, section 2: fields with commas, quotes or line breaks stand in quotes, a quote is
    /// doubled, lines end in CR LF.
    #[test]
    fn quotes_what_needs_it() {
        let table = Table {
            slug: "t",
            title: "T",
            note: "",
            columns: vec![Column { heading: "a", number: false }, Column { heading: "b", number: true }],
            rows: vec![vec!["47 Ω, 10 W".into(), "6\"".into()], vec!["x".into(), String::new()]],
        };
        assert_eq!(csv(&table), "a,b\r\n\"47 Ω, 10 W\",\"6\"\"\"\r\nx,\r\n");
    }
}
