//! `underboard build`

use std::path::{Path, PathBuf};

use clap::Args;

use super::Outcome;
use super::input::examine;
use super::output;
use super::report::{Failure, Terminal, plural};
use crate::book::{BookOptions, book};

/// Write the wiring book: drawings, lists, shopping list, sizing
#[derive(Args)]
#[command(after_help = "Examples:\n  \
    underboard build layout.toml\n  \
    underboard build my-railway/layout.toml --out book --png=150\n  \
    underboard build layout.toml --draft\n\n\
    If the design has errors there is no book, unless you ask for a draft; its sheets are marked as such, and \
    the exit code is still 1.\n\n\
    Files in the folder that you edited or added are left alone: if one is in the way, nothing is written. \
    underboard-files.txt in the folder lists what the program wrote.")]
pub struct Arguments {
    /// The layout file
    layout: PathBuf,

    /// The folder to write into [default: out/ and the name of the layout]
    #[arg(long, short, value_name = "FOLDER")]
    out: Option<PathBuf>,

    /// Write the book even if the design has errors, marked as a draft
    #[arg(long)]
    draft: bool,

    /// Write the sheets as PNG pictures too, at so many dots per inch
    #[arg(long, value_name = "DPI", num_args = 0..=1, require_equals = true, default_missing_value = "150",
        value_parser = clap::value_parser!(u16).range(36..=600))]
    png: Option<u16>,
}

pub fn run(arguments: &Arguments, terminal: &Terminal) -> Result<Outcome, Failure> {
    let examined = examine(&arguments.layout, terminal)?;
    let outcome = examined.outcome();
    let Some(design) = &examined.design else { return Ok(outcome) };
    if examined.has_errors() && !arguments.draft {
        terminal.remark("Nothing written: mend the errors first, or ask for a draft with --draft.");
        return Ok(outcome);
    }
    let options = BookOptions { draft: arguments.draft, png: arguments.png.map(f32::from) };
    let files = book(design, &options).map_err(|error| Failure::new(error.to_string()))?;
    let folder = match &arguments.out {
        Some(folder) => folder.clone(),
        None => Path::new("out").join(layout_slug(&arguments.layout)),
    };
    let written = output::write(&folder, &files)?;
    let count = |start: &str, end: &str| {
        files.iter().filter(|f| f.name.starts_with(start) && f.name.ends_with(end)).count()
    };
    terminal.result(format!(
        "{}{} in {}: {}, {}",
        if arguments.draft { "Draft of " } else { "" },
        *design.document.layout.name,
        folder.display(),
        plural(count("sheets/", ".svg"), "sheet"),
        plural(count("tables/", ".csv"), "table"),
    ));
    terminal.result(format!(
        "{} written, {} unchanged, {} removed",
        plural(written.written, "file"),
        written.unchanged,
        written.removed
    ));
    Ok(outcome)
}

/// The folder's name for a file called layout.toml, otherwise the file's own, fit for a file name.
fn layout_slug(path: &Path) -> String {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let called_layout = path.file_name().is_some_and(|n| n.eq_ignore_ascii_case("layout.toml"));
    let folder = || {
        let full = path.canonicalize().ok()?;
        Some(full.parent()?.file_name()?.to_string_lossy().into_owned())
    };
    let name = if called_layout { folder().unwrap_or(stem) } else { stem };
    slug(&name)
}

/// Letters and digits in lower case, the rest as single hyphens.
fn slug(name: &str) -> String {
    let words: Vec<String> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    if words.is_empty() { "layout".to_owned() } else { words.join("-") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slugs_are_fit_for_file_names() {
        for (name, expected) in [
            ("Hollin Quarry", "hollin-quarry"),
            ("..", "layout"),
            ("a//b", "a-b"),
            ("Höhbahn_2", "höhbahn-2"),
        ] {
            assert_eq!(slug(name), expected);
        }
    }

    #[test]
    fn the_folder_names_a_file_called_layout() {
        assert_eq!(layout_slug(Path::new("examples/quarry-tramway/layout.toml")), "quarry-tramway");
        assert_eq!(layout_slug(Path::new("nowhere/My Yard.toml")), "my-yard");
    }
}
