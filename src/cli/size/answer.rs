//! What a calculator answers, and how it is printed: plain text, no wider than a terminal.

use crate::drives::sizing::Figure;

/// Columns of the text.
const WIDTH: usize = 100;

/// The answer of a calculator.
pub struct Answer {
    /// The result in a sentence or two.
    pub result: String,
    /// Whether it is one: `false` if nothing on offer is enough.
    pub enough: bool,
    pub table: Option<Grid>,
    /// How it came about.
    pub figures: Vec<Figure>,
    /// What to beware of.
    pub cautions: Vec<String>,
    /// What the calculation does not know.
    pub leaves_out: &'static str,
    /// Where to look if the electrics are sufficient and it still does not work.
    pub look_first: &'static str,
}

/// A table of words, with a mark beside the rows that are the result.
pub struct Grid {
    pub heads: Vec<&'static str>,
    pub rows: Vec<Vec<String>>,
    pub marked: Option<usize>,
}

impl Answer {
    /// All of it, each line ended.
    pub fn text(&self) -> String {
        let mut text = paragraph("", "", &self.result);
        if let Some(table) = &self.table {
            text += "\n";
            text += &table.text();
        }
        if !self.figures.is_empty() {
            text += "\nWorking\n";
        }
        for figure in &self.figures {
            text += "\n";
            text += &working(figure);
        }
        for caution in &self.cautions {
            text += "\n";
            text += &paragraph("Caution: ", "  ", caution);
        }
        text += "\n";
        text += &paragraph("Left out: ", "  ", &format!("{}.", self.leaves_out));
        let look = format!("{}.", self.look_first);
        text + &paragraph("If the electrics are sufficient and it still fails, look first for ", "  ", &look)
    }
}

fn working(figure: &Figure) -> String {
    let mut text = paragraph("  ", "      ", &format!("{}: {}", figure.name, figure.value));
    for (name, value) in &figure.inputs {
        text += &paragraph("      ", "        ", &format!("{name}: {value}"));
    }
    for (word, content) in [("by", figure.formula), ("source", figure.source), ("note", &figure.note)] {
        if !content.is_empty() {
            text += &paragraph("      ", "        ", &format!("{word}: {content}"));
        }
    }
    text
}

/// Words in lines, the first with one indentation and the rest with another.
fn paragraph(first: &str, rest: &str, words: &str) -> String {
    let mut lines = vec![first.to_owned()];
    for word in unbroken(words) {
        let line = lines.last_mut().expect("there is a first line");
        let length = line.chars().count();
        let begun = length > 0 && !line.ends_with(' ');
        if begun && length + 1 + word.chars().count() > WIDTH {
            lines.push(format!("{rest}{word}"));
        } else {
            if begun {
                line.push(' ');
            }
            line.push_str(&word);
        }
    }
    lines.iter().map(|line| format!("{}\n", line.trim_end())).collect()
}

/// The words of a text; a number keeps its unit.
fn unbroken(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if last.ends_with(|c: char| c.is_ascii_digit()) && word.chars().count() <= 4 => {
                *last += &format!(" {word}");
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

impl Grid {
    fn text(&self) -> String {
        let width = |column: usize| {
            let cells = self.rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count());
            cells.chain([self.heads[column].chars().count()]).max().unwrap_or(0)
        };
        let widths: Vec<usize> = (0..self.heads.len()).map(width).collect();
        let line = |mark: &str, cells: &[&str]| {
            let mut line = mark.to_owned();
            for (n, (cell, width)) in cells.iter().zip(&widths).enumerate() {
                let space = " ".repeat(width - cell.chars().count());
                // Names and verdicts begin at the left, numbers end at the right.
                if n == 0 || n + 1 == cells.len() {
                    line += &format!("{cell}{space}  ");
                } else {
                    line += &format!("{space}{cell}  ");
                }
            }
            format!("{}\n", line.trim_end())
        };
        let mut text = line("  ", &self.heads);
        for (n, row) in self.rows.iter().enumerate() {
            let cells: Vec<&str> = row.iter().map(String::as_str).collect();
            text += &line(if self.marked == Some(n) { "> " } else { "  " }, &cells);
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_wrap_at_the_width_and_none_is_lost() {
        let words = "ohm ".repeat(60);
        let text = paragraph("Left out: ", "  ", &words);
        assert!(text.lines().count() > 1 && text.lines().all(|l| l.chars().count() <= WIDTH));
        assert_eq!(text.matches("ohm").count(), 60);
        assert!(text.lines().skip(1).all(|l| l.starts_with("  ohm")));
    }

    #[test]
    fn columns_stand_below_one_another() {
        let row = |a: &str, b: &str, c: &str| vec![a.to_owned(), b.to_owned(), c.to_owned()];
        let grid = Grid {
            heads: vec!["wire", "loop", "verdict"],
            rows: vec![row("0.5 mm²", "78 mΩ", "too thin"), row("1 mm²", "8 mΩ", "will do")],
            marked: Some(1),
        };
        assert_eq!(
            grid.text(),
            "  wire      loop  verdict\n  0.5 mm²  78 mΩ  too thin\n> 1 mm²     8 mΩ  will do\n"
        );
    }
}
