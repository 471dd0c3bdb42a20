//! `underboard size wire`

use clap::Args;

use super::answer::{Answer, Grid};
use super::asked::{Fed, Share, fed, run, share, temperature, wire_size, within};
use crate::cli::report::Failure;
use crate::drives::sizing::Figure;
use crate::electrics::{conductor, drop};
use crate::units::{Amps, Celsius, Length, Volts, WireSize};

/// A wire there and back: what it loses, what it may carry, the smallest size that does
#[derive(Args)]
#[command(after_help = "Example:\n  \
    underboard size wire --current \"3 A\" --length \"6 m\" --voltage \"12 V\" --loss \"5 %\"")]
pub struct Arguments {
    /// The highest lasting current
    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", value_parser = within::<Amps>("1 mA", "50 A"))]
    current: Amps,

    /// Of the run, one way
    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", value_parser = within::<Length>("10 mm", "1000 m"))]
    length: Length,

    /// What the supply gives
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", default_value = "12 V", value_parser = fed)]
    voltage: Fed,

    /// The share of it that may be lost there and back
    #[arg(long, allow_hyphen_values = true, value_name = "SHARE", default_value = "5 %", value_parser = share)]
    loss: Share,

    #[command(flatten)]
    wires: Wires,
}

/// The wires that are compared.
#[derive(Args)]
pub struct Wires {
    /// Sizes to compare, instead of the usual ones; may be given several times
    #[arg(long, allow_hyphen_values = true, value_name = "SIZE", value_parser = wire_size)]
    wire: Vec<WireSize>,

    /// The warmest the wire gets
    #[arg(long, allow_hyphen_values = true, value_name = "TEMPERATURE", default_value = "35 degC", value_parser = temperature)]
    pub temperature: Celsius,
}

impl Wires {
    /// What to compare: the sizes given, else others; the smallest first.
    pub fn sizes(&self, else_these: Vec<WireSize>) -> Vec<WireSize> {
        let mut sizes = if self.wire.is_empty() { else_these } else { self.wire.clone() };
        sizes.sort_by(|a, b| a.area().total_cmp(&b.area()));
        sizes.dedup();
        sizes
    }
}

pub fn answer(asked: &Arguments) -> Result<Answer, Failure> {
    let Arguments { current, length, voltage, loss, wires: Wires { temperature, .. } } = asked;
    let (current, length, supply) = (*current, *length, voltage.voltage);
    let allowed = supply * loss.0;
    let sizes = asked.wires.sizes(conductor::usual_sizes());
    let best = conductor::smallest_size(&sizes, current, length * 2.0, allowed, *temperature);
    let row = |size: WireSize| row(size, current, length, supply, allowed, *temperature);
    let marked = best.and_then(|b| sizes.iter().position(|s| *s == b));
    let thickest = sizes[sizes.len() - 1];
    let shown = best.unwrap_or(thickest);
    let line = Line::of(shown, current, length, *temperature);
    let result = match best {
        Some(size) => format!(
            "Wire for {current} over {}: {}. It loses {} of {supply}, {}; {} is left at the end.",
            run(length),
            size.label(),
            line.drop,
            Share(line.drop / supply),
            supply - line.drop
        ),
        None => {
            let longest = drop::longest_run(allowed, current, line.per_metre);
            let hot = conductor::ampacity(thickest) < current;
            let why = if hot {
                format!("{} may carry {}", thickest.label(), conductor::ampacity(thickest))
            } else {
                format!("with {} the run may be {}", thickest.label(), metres(longest))
            };
            format!(
                "No wire of these does for {current} over {}: {why}. Feed from nearer by, with several wires \
                 in parallel, or with thicker wire.",
                run(length)
            )
        }
    };
    Ok(Answer {
        result,
        enough: best.is_some(),
        table: Some(Grid {
            heads: vec!["wire", "there and back", "lost", "share", "left", "may carry", "verdict"],
            rows: sizes.iter().map(|size| row(*size)).collect(),
            marked,
        }),
        figures: vec![
            Figure::new("wire", format!("lost in {}", shown.label()), line.drop)
                .input("current", current)
                .input("conductor, there and back", run(length * 2.0))
                .input("its resistance", line.per_metre * (length * 2.0))
                .input("temperature", temperature)
                .input("may be lost", format!("{allowed}, {loss} of {voltage}"))
                .by(
                    "U = 2·I·r(θ)·l; r(θ) = r20·(1 + 0.00393·(θ − 20 °C))",
                    "Ohm's law; resistance: IEC 60228 class 5 (second-hand tables), ASTM B258 for AWG, IEC 60028 for \
                     the temperature",
                ),
            Figure::new("wire", format!("{} may carry", shown.label()), conductor::ampacity(shown)).by(
                "table by cross-section, for wires in a bundle under a board",
                "equipment-wire practice and VDE 0298-4, second-hand or from memory",
            ),
        ],
        cautions: Vec::new(),
        leaves_out: "contacts, plugs and joints on the way; that alternating and pulsing currents have peaks; whatever \
            the supply itself loses under load",
        look_first: "a poor joint (feel for a warm one), a wire that has broken at a screw, and a supply that sags",
    })
}

/// One size over the run.
struct Line {
    per_metre: crate::units::OhmsPerMetre,
    drop: Volts,
}

impl Line {
    fn of(size: WireSize, current: Amps, length: Length, at: Celsius) -> Line {
        let per_metre = conductor::at_temperature(conductor::resistance_at_20(size), at);
        Line { per_metre, drop: drop::run_drop(current, per_metre, length) }
    }
}

fn row(
    size: WireSize,
    current: Amps,
    length: Length,
    supply: Volts,
    allowed: Volts,
    at: Celsius,
) -> Vec<String> {
    let line = Line::of(size, current, length, at);
    let carries = conductor::ampacity(size);
    let verdict = match (carries < current, line.drop > allowed) {
        (true, true) => "gets too hot, loses too much",
        (true, false) => "gets too hot",
        (false, true) => "loses too much",
        (false, false) => "will do",
    };
    // More cannot be lost than there is; then the current is not reached.
    let all = line.drop >= supply;
    let left = (supply - line.drop).max(Volts::new(0.0));
    vec![
        size.label(),
        (line.per_metre * (length * 2.0)).to_string(),
        if all { "all of it".into() } else { line.drop.to_string() },
        if all { String::new() } else { Share(line.drop / supply).to_string() },
        left.to_string(),
        carries.to_string(),
        verdict.into(),
    ]
}

/// "13.4 m"
pub fn metres(length: Length) -> String {
    format!("{:.1} m", length.metres())
}
