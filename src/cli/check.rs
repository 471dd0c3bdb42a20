//! `underboard check`

use std::path::PathBuf;

use clap::Args;

use super::Outcome;
use super::input::examine;
use super::report::{Failure, Terminal};

/// Say what is wrong or doubtful in a layout, and write nothing
#[derive(Args)]
#[command(after_help = "Example:\n  underboard check layout.toml\n\n\
    Errors must be mended before there is a book. Warnings and notes are for you to judge: with these alone \
    the exit code is 0.")]
pub struct Arguments {
    /// The layout file
    layout: PathBuf,
}

pub fn run(arguments: &Arguments, terminal: &Terminal) -> Result<Outcome, Failure> {
    let examined = examine(&arguments.layout, terminal)?;
    if examined.findings.is_empty() {
        terminal.result(format!("{}: nothing found", arguments.layout.display()));
    }
    Ok(examined.outcome())
}
