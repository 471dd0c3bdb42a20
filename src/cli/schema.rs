//! `underboard schema`

use clap::Args;

use super::Outcome;
use super::report::{Failure, Terminal};

/// Print the JSON Schema of layout files, for editors that complete and check while you type
#[derive(Args)]
#[command(after_help = "Example:\n  underboard schema > layout.schema.json\n\n\
    Then write as the first line of the layout file:\n  #:schema layout.schema.json")]
pub struct Arguments {}

pub fn run(_: &Arguments, terminal: &Terminal) -> Result<Outcome, Failure> {
    let schema = crate::parse::json_schema();
    terminal.raw_result(schema.trim_end());
    terminal.raw_result("\n");
    Ok(Outcome::Fine)
}
