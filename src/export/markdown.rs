//! Tables as Markdown, laid out so that they can also be read as plain text.

use crate::tables::Table;

/// Title, note and table.
pub fn markdown(table: &Table) -> String {
    let headings: Vec<&str> = table.columns.iter().map(|c| c.heading).collect();
    let numbers: Vec<bool> = table.columns.iter().map(|c| c.number).collect();
    let mut text = format!("# {}\n\n", table.title);
    if !table.note.is_empty() {
        text += &format!("{}\n\n", escape(table.note));
    }
    if table.rows.is_empty() {
        return text + "None.\n";
    }
    text + &pipe_table(&headings, &numbers, &table.rows)
}

/// A pipe table; columns marked in `numbers` are set to the right.
pub(super) fn pipe_table(headings: &[&str], numbers: &[bool], rows: &[Vec<String>]) -> String {
    let cells: Vec<Vec<String>> = rows.iter().map(|r| r.iter().map(|c| escape(c)).collect()).collect();
    let widths: Vec<usize> = (0..headings.len())
        .map(|i| {
            let widest = cells.iter().filter_map(|r| r.get(i)).map(|c| c.chars().count()).max();
            widest.unwrap_or(0).max(headings[i].chars().count()).max(3)
        })
        .collect();
    let line =
        |cells: &mut dyn Iterator<Item = String>| format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "));
    let pad = |text: &str, i: usize| {
        let width = widths[i];
        if numbers[i] { format!("{text:>width$}") } else { format!("{text:<width$}") }
    };
    let mut text = line(&mut headings.iter().enumerate().map(|(i, h)| pad(h, i)));
    text += &line(
        &mut widths
            .iter()
            .zip(numbers)
            .map(|(w, number)| if *number { format!("{}:", "-".repeat(w - 1)) } else { "-".repeat(*w) }),
    );
    for row in &cells {
        text += &line(&mut row.iter().enumerate().map(|(i, c)| pad(c, i)));
    }
    text
}

/// Takes from a text what Markdown would read as a mark: the layout's names may hold anything.
pub(super) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '|' | '\\' | '`' | '*' | '_' | '<' | '>' | '[' | ']' => {
                escaped.push('\\');
                escaped.push(c);
            }
            c if c.is_control() => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::Column;

    #[test]
    fn cells_cannot_break_the_table() {
        let table = Table {
            slug: "t",
            title: "T",
            note: "A note.",
            columns: vec![Column { heading: "Name", number: false }, Column { heading: "N", number: true }],
            rows: vec![vec!["a|b\nc".into(), "1".into()]],
        };
        let expected = "# T\n\nA note.\n\n| Name   |   N |\n| ------ | --: |\n| a\\|b c |   1 |\n";
        assert_eq!(markdown(&table), expected);
    }

    #[test]
    fn an_empty_table_says_so() {
        let table = Table { slug: "t", title: "T", note: "", columns: Vec::new(), rows: Vec::new() };
        assert_eq!(markdown(&table), "# T\n\nNone.\n");
    }
}
