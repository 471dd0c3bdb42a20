//! The command line: the only part that touches files, the terminal and the environment.
//!
//! Results go to the standard output, findings and complaints to the standard error. The exit code
//! is 0 if all is well, 1 if the design has errors, 2 if the input or the command cannot be used.

mod asked;
mod build;
mod check;
mod input;
mod manifest;
mod new;
mod output;
mod report;
mod schema;
mod size;
mod throw;

use std::process::ExitCode;

use clap::{Parser, Subcommand, ValueEnum};

use report::Terminal;

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    Fine,
    /// The design has errors.
    Findings,
    /// The input or the command cannot be used.
    Unusable,
}

impl Outcome {
    fn code(self) -> u8 {
        match self {
            Outcome::Fine => 0,
            Outcome::Findings => 1,
            Outcome::Unusable => 2,
        }
    }
}

#[derive(Parser)]
#[command(
    version,
    about = "Makes a printable wiring book for a model railway from a description of its track.",
    long_about = "Makes a printable wiring book for a model railway from a description of its track.\n\n\
        You describe turnouts, tracks, drives, switches and supplies in a text file; the program works out \
        frog polarity, insulated joints, droppers, the discharge unit, fuses, wire sizes, terminal strips \
        and every single wire, checks them, and writes drawings and lists.",
    after_help = "Start with:\n  \
        underboard new layout.toml      write a small layout with comments, to be changed to yours\n  \
        underboard check layout.toml    say what is wrong or doubtful\n  \
        underboard build layout.toml    write the book into a folder under out/\n\n\
        Exit codes: 0 all is well, 1 the design has errors, 2 the file or the command cannot be used."
)]
struct Cli {
    /// Whether messages are coloured
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto", display_order = 900)]
    color: Colouring,

    #[command(subcommand)]
    command: Command,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Colouring {
    /// On a terminal only
    Auto,
    /// Even into a file or a pipe
    Always,
    /// Not at all
    Never,
}

#[derive(Subcommand)]
enum Command {
    Build(build::Arguments),
    Check(check::Arguments),
    New(new::Arguments),
    Schema(schema::Arguments),
    Size(size::Arguments),
    Throw(throw::Arguments),
}

/// Runs the command that the program was started with.
pub fn run() -> ExitCode {
    // The parser itself answers --help and wrong usage, the latter with exit code 2.
    let cli = Cli::parse();
    let terminal = Terminal::new(cli.color);
    let outcome = match &cli.command {
        Command::Build(arguments) => build::run(arguments, &terminal),
        Command::Check(arguments) => check::run(arguments, &terminal),
        Command::New(arguments) => new::run(arguments, &terminal),
        Command::Schema(arguments) => schema::run(arguments, &terminal),
        Command::Size(arguments) => size::run(arguments, &terminal),
        Command::Throw(arguments) => throw::run(arguments, &terminal),
    };
    ExitCode::from(outcome.unwrap_or_else(|failure| terminal.fail(&failure)).code())
}
