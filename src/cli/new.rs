//! `underboard new`

use std::fs::OpenOptions;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use clap::Args;

use super::Outcome;
use super::report::{Failure, Terminal};

/// Write a small layout with comments, to be changed into yours
#[derive(Args)]
#[command(after_help = "Examples:\n  underboard new\n  underboard new my-railway/layout.toml\n\n\
    A file that exists is left alone.")]
pub struct Arguments {
    /// The file to write
    #[arg(default_value = "layout.toml")]
    path: PathBuf,
}

pub fn run(arguments: &Arguments, terminal: &Terminal) -> Result<Outcome, Failure> {
    let path = &arguments.path;
    let shown = path.display();
    if path.is_dir() {
        return Err(Failure::new(format!("{shown} is a folder"))
            .help(format!("name a file in it: underboard new {}", path.join("layout.toml").display())));
    }
    if let Some(folder) = path.parent().filter(|f| *f != Path::new("")) {
        std::fs::create_dir_all(folder).map_err(|error| cannot_write(folder, &error))?;
    }
    // Created only if it is new: there is no moment in which somebody else's file could be lost.
    let file = OpenOptions::new().write(true).create_new(true).open(path);
    let mut file = file.map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => Failure::new(format!("{shown} exists and is left as it is"))
            .help("give another name, or move the file away"),
        _ => cannot_write(path, &error),
    })?;
    file.write_all(crate::parse::STARTER.as_bytes()).map_err(|error| cannot_write(path, &error))?;
    terminal.result(format!("{shown} written; change it to your layout, then: underboard build {shown}"));
    Ok(Outcome::Fine)
}

fn cannot_write(path: &Path, error: &std::io::Error) -> Failure {
    Failure::new(format!("{} cannot be written: {error}", path.display()))
        .help("name a place where you may write")
}
