//! `underboard size led`

use clap::Args;

use super::answer::{Answer, Grid};
use super::asked::{Fed, fed, within};
use crate::cli::report::{Failure, plural};
use crate::drives::sizing::{Figure, resistor_rating};
use crate::electrics::charging;
use crate::electrics::led::{LedResistor, series_resistor_of};
use crate::electrics::preferred::Series;
use crate::electrics::rectifier::sine_peak;
use crate::parse::SupplyKind;
use crate::units::{Amps, Volts, Watts};

/// The resistor in series with light-emitting diodes
#[derive(Args)]
#[command(after_help = "Example:\n  \
    underboard size led --supply \"12 V\" --led \"2 V\" --current \"10 mA\"\n\n\
    Forward voltages: red 1.8 to 2 V, yellow 2 V, green 2 to 3 V, blue and white 3 to 3.4 V (from memory).")]
pub struct Arguments {
    /// What feeds it; a voltage without AC or DC is direct
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", value_parser = fed)]
    supply: Fed,

    /// Forward voltage of one diode
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", default_value = "2 V", value_parser = within::<Volts>("1 V", "5 V"))]
    led: Volts,

    /// Diodes in series
    #[arg(long, allow_hyphen_values = true, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=30))]
    leds: u8,

    /// The current through them; on AC in the peaks
    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", default_value = "10 mA", value_parser = within::<Amps>("0.1 mA", "1 A"))]
    current: Amps,

    /// The supply is AC, and there is no rectifier
    #[arg(long)]
    ac: bool,
}

pub fn answer(asked: &Arguments) -> Result<Answer, Failure> {
    let Arguments { supply, led, leds, current, .. } = asked;
    let (led, current, count) = (*led, *current, u32::from(*leds));
    if asked.ac && supply.kind == Some(SupplyKind::Dc) {
        return Err(Failure::new(format!("the supply is called {supply} and AC at once"))
            .help("leave out --ac, or say AC in --supply"));
    }
    let ac = asked.ac || supply.kind == Some(SupplyKind::Ac);
    let over = if ac { sine_peak(supply.voltage) } else { supply.voltage };
    let forward = led * f64::from(count);
    let of = |series| series_resistor_of(series, over, led, count, current);
    let (Some(e12), Some(e24)) = (of(Series::E12), of(Series::E24)) else {
        return Err(Failure::new(format!(
            "{} of {led} in series need {forward}, and the supply gives {over}{}",
            plural(count as usize, "diode"),
            if ac { " in the peaks" } else { "" }
        ))
        .help("put fewer of them in series, or use a supply of a higher voltage"));
    };
    let heat = |resistor: &LedResistor| -> Watts {
        if ac {
            charging::power(supply.voltage / resistor.resistance, resistor.resistance)
        } else {
            resistor.power
        }
    };
    let row = |name: &str, r: &LedResistor| {
        let rating = resistor_rating(heat(r));
        vec![
            name.to_owned(),
            r.resistance.to_string(),
            r.current.to_string(),
            heat(r).to_string(),
            rating.to_string(),
        ]
    };
    let exact = (over - forward) / current;
    let mut cautions = Vec::new();
    if ac {
        cautions.push(
            "a diode bears only about 5 V backwards: put another diode (or a second LED) across it, turned the other \
             way."
                .to_owned(),
        );
    }
    Ok(Answer {
        result: format!(
            "Resistor for {} of {led} on {}{}: {}, {}; {} then flows{}.",
            plural(count as usize, "diode"),
            supply.voltage,
            if ac { " AC" } else { "" },
            e12.resistance,
            resistor_rating(heat(&e12)),
            e12.current,
            if ac { " in the peaks" } else { "" },
        ),
        enough: true,
        table: Some(Grid {
            heads: vec!["series", "resistor", "current", "heat", "rating"],
            rows: vec![row("E12", &e12), row("E24", &e24)],
            marked: Some(0),
        }),
        figures: vec![
            Figure::new("led", "resistor, exact", exact)
                .input("supply", if ac { format!("{over}, the peak of {} AC", supply.voltage) } else { over.to_string() })
                .input("diodes in series", count)
                .input("forward voltage of each", led)
                .input("current", current)
                .by(
                    if ac {
                        "R = (√2·U − n·U_f)/I, so that no peak is more than I; then the next preferred value up"
                    } else {
                        "R = (U − n·U_f)/I, then the next preferred value up"
                    },
                    "textbook; values IEC 60063",
                ),
            Figure::new("led", "heat in the resistor", heat(&e12)).input("rating", resistor_rating(heat(&e12))).by(
                if ac {
                    "P ≤ U²/R: current flows in both half cycles, and the diodes' share is left to be on the safe \
                     side; rating ≥ 1.5 · P"
                } else {
                    "P = I²·R; rating ≥ 1.5 · P"
                },
                "textbook; ratings: common practice, no source",
            ),
        ],
        cautions,
        leaves_out: "the spread of the forward voltage, and what the supply gives without load: then more flows; on AC \
            the diode is lit for less than half the time, and looks dimmer than its peak current",
        look_first: "the diode put in the wrong way round, and a supply that is AC where DC was taken",
    })
}
