//! `underboard throw`

use std::path::{Path, PathBuf};

use clap::Args;

use super::Outcome;
use super::asked::asked;
use super::input::examine;
use super::output;
use super::report::{Failure, Terminal};
use crate::Design;
use crate::book::OutputFile;
use crate::drives::{ChangeoverId, Decider};
use crate::export::svg::svg;
use crate::parse::{Port, TurnoutId, Word};
use crate::proof::{FrogState, State};
use crate::track::Formation;

/// Show one setting of the turnouts: every rail in its feed, every frog and what feeds it
#[derive(Args)]
#[command(after_help = "Examples:\n  \
    underboard throw layout.toml T1=reverse T2=normal\n  \
    underboard throw layout.toml T5=left T6=a-d --out state\n\n\
    What is not named lies normal. A turnout with several roads takes the road to be used, by its far end or \
    by both its ends. The exit code is 1 if the setting has a short or a frog with the wrong feed.")]
pub struct Arguments {
    /// The layout file
    layout: PathBuf,

    /// Positions, such as T1=reverse, T5=left, T6=a-d
    #[arg(value_name = "NAME=POSITION")]
    positions: Vec<String>,

    /// The folder to write the drawing into [default: out/throw]
    #[arg(long, short, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

pub fn run(arguments: &Arguments, terminal: &Terminal) -> Result<Outcome, Failure> {
    let examined = examine(&arguments.layout, terminal)?;
    let Some(design) = &examined.design else { return Ok(examined.outcome()) };
    let positions = asked(design, &arguments.positions)?;
    let state = State::of(&design.document, &design.rails, &design.plan, &design.circuit, positions);
    terminal.raw_result(&report(design, &state));
    let files: Vec<OutputFile> = crate::draw::sheets::state(design, &state, examined.has_errors())
        .iter()
        .enumerate()
        .map(|(i, sheet)| OutputFile {
            name: format!("{:02}-{}.svg", i + 1, sheet.slug),
            bytes: svg(sheet).into_bytes(),
        })
        .collect();
    let folder = arguments.out.clone().unwrap_or_else(|| Path::new("out").join("throw"));
    output::write(&folder, &files)?;
    for file in &files {
        terminal.result(format!("drawn in {}", folder.join(&file.name).display()));
    }
    Ok(if is_sound(&state) { Outcome::Fine } else { Outcome::Findings })
}

fn is_sound(state: &State) -> bool {
    state.shorts.is_empty() && state.frogs.iter().all(FrogState::is_right)
}

/// The state in words, a line each.
fn report(design: &Design, state: &State) -> String {
    let mut text = String::from("Set:\n");
    for (i, spec) in design.document.turnouts.iter().enumerate() {
        let roads = state.roads(&design.document, &design.rails, &design.plan, TurnoutId(i));
        let all = Formation::of(spec).roads();
        let names: Vec<String> = roads.iter().map(|r| all[*r].name()).collect();
        let how: Vec<String> = design
            .document
            .bars_of(TurnoutId(i))
            .map(|bar| format!("{} {}", design.document[bar].name, state.position(Decider::Bar(bar)).word()))
            .collect();
        let how = if how.is_empty() { String::new() } else { format!("  ({})", how.join(", ")) };
        text += &format!("  {:<12} {}{how}\n", spec.name.as_str(), names.join(", "));
    }
    text += "Frogs:\n";
    for frog in &state.frogs {
        text += &format!("  {}\n", frog_line(design, state, frog));
    }
    text += "Feeds at the ends of the turnouts (left and right rail, looking outward):\n";
    for i in 0..design.document.turnouts.len() {
        text += &format!("  {}\n", ports_line(design, state, TurnoutId(i)));
    }
    for (a, b) in &state.shorts {
        text +=
            &format!("SHORT: {} and {} touch\n", design.rails.pole_words(*a), design.rails.pole_words(*b));
    }
    text
}

fn frog_line(design: &Design, state: &State, frog: &FrogState) -> String {
    let name = &design.rails[design.rails[frog.frog].rail].name;
    let has = frog.has.map_or("dead".to_owned(), |p| design.rails.pole_words(p));
    let by = frog.changeover.map_or("nothing".to_owned(), |c| closed_contact(design, state, c));
    let judged = match frog.needs {
        None => "no road over it is set".to_owned(),
        Some(_) if frog.is_right() => "as the road needs".to_owned(),
        Some(needs) => format!("WRONG, the road needs {}", design.rails.pole_words(needs)),
    };
    format!("{name:<24} {has:<8} by {by}; {judged}")
}

fn closed_contact(design: &Design, state: &State, id: ChangeoverId) -> String {
    let contact = design.circuit.contact_of(id);
    contact.map_or("nothing".into(), |c| design.circuit.closed_pins(c, state.position(c.decider)))
}

fn ports_line(design: &Design, state: &State, id: TurnoutId) -> String {
    use crate::track::Side;
    let spec = &design.document[id];
    let words = |port: &Port| {
        let rail = |side: Side| {
            let found = design.rails.rail_at(&design.document, id, *port, side)?;
            state.rails[found.0]
        };
        let feed = |side| rail(side).map_or("–".to_owned(), |p| design.rails.pole_words(p));
        format!("{} {}/{}", port.word(), feed(Side::Left), feed(Side::Right))
    };
    let ports: Vec<String> = spec.kind.ports().iter().map(words).collect();
    format!("{:<12} {}", spec.name.as_str(), ports.join("   "))
}
