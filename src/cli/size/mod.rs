//! `underboard size`: the calculators, without a layout file. One file for each; none has a formula of
//! its own that sizing a layout has too.

mod answer;
mod asked;
mod capacitor;
mod led;
mod recharge;
mod supply;
mod track;
mod wire;

use clap::{Args, Subcommand};

use super::Outcome;
use super::report::{Failure, Terminal};
use answer::Answer;

/// Work out one part without a layout file: a capacitor, a wire, a supply, a resistor
#[derive(Args)]
#[command(after_help = "Examples:\n  \
    underboard size capacitor --coil \"4.5 ohm\" --coils 3 --supply \"16 V AC\"\n  \
    underboard size wire --current \"3 A\" --length \"6 m\"\n\n\
    Quantities are written with their units, as on the part. The working is shown with the result. The exit \
    code is 1 if nothing on offer is enough, 2 if a value cannot be used.")]
pub struct Arguments {
    #[command(subcommand)]
    calculator: Calculator,
}

#[derive(Subcommand)]
enum Calculator {
    Capacitor(capacitor::Arguments),
    Recharge(recharge::Arguments),
    Wire(wire::Arguments),
    Supply(supply::Arguments),
    Led(led::Arguments),
    Track(track::Arguments),
}

pub fn run(arguments: &Arguments, terminal: &Terminal) -> Result<Outcome, Failure> {
    let answer: Answer = match &arguments.calculator {
        Calculator::Capacitor(asked) => capacitor::answer(asked),
        Calculator::Recharge(asked) => recharge::answer(asked),
        Calculator::Wire(asked) => wire::answer(asked),
        Calculator::Supply(asked) => supply::answer(asked),
        Calculator::Led(asked) => led::answer(asked),
        Calculator::Track(asked) => track::answer(asked),
    }?;
    terminal.raw_result(&answer.text());
    Ok(if answer.enough { Outcome::Fine } else { Outcome::Findings })
}
