//! The `underboard` program; everything it does is in [`underboard::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    underboard::cli::run()
}
