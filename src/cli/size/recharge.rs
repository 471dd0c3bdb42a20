//! `underboard size recharge`

use clap::Args;

use super::answer::{Answer, Grid};
use super::asked::{as_key, supply, within};
use crate::cli::report::Failure;
use crate::drives::sizing::{BankSupply, Figure, STUCK_POWER, resistor_rating};
use crate::electrics::charging;
use crate::parse::SupplyKind;
use crate::units::{Farads, Ohms, Seconds};

/// The charging of a bank through its limiter: how long, how hot, how often in a minute
#[derive(Args)]
#[command(after_help = "Example:\n  \
    underboard size recharge --capacitor \"4700 uF\" --limiter \"100 ohm\" --supply \"16 V AC\"")]
pub struct Arguments {
    /// The whole bank
    #[arg(long, allow_hyphen_values = true, value_name = "CAPACITANCE", value_parser = within::<Farads>("10 uF", "1 F"))]
    capacitor: Farads,

    /// The resistor between supply and bank
    #[arg(long, allow_hyphen_values = true, value_name = "RESISTANCE", value_parser = within::<Ohms>("0.1 ohm", "100 kohm"))]
    limiter: Ohms,

    /// The supply's rated voltage, AC (with a bridge rectifier) or DC
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", value_parser = supply)]
    supply: BankSupply,

    /// The coil on which a contact may stick
    #[arg(long, allow_hyphen_values = true, value_name = "RESISTANCE", default_value = "4.5 ohm",
        value_parser = as_key::<Ohms>("drive", "solenoid", "coil"))]
    coil: Ohms,
}

/// The bank counts as ready at this share of its final voltage.
const READY: f64 = 0.95;
/// The mean over half cycles stands for the pulses from this R·C on: ten half cycles of 50 Hz.
const SLOW: Seconds = Seconds::new(0.1);

pub fn answer(asked: &Arguments) -> Result<Answer, Failure> {
    let Arguments { capacitor, limiter, supply, coil } = asked;
    let (capacitor, limiter, coil) = (*capacitor, *limiter, *coil);
    let ac = supply.kind == SupplyKind::Ac;
    let full = supply.charged(1.0);
    let time = |share| supply.time_to(share, limiter, capacitor);
    let ready = time(READY);
    let rows = [0.63, 0.90, READY, 0.99].map(|share| {
        let energy = (share * share * 100.0_f64).round();
        vec![
            format!("{:.0} %", share * 100.0),
            (full * share).to_string(),
            format!("{energy} %"),
            time(share).to_string(),
        ]
    });
    let stuck = charging::stuck_contact_current(supply.voltage, limiter, coil);
    let short = charging::power(supply.voltage / limiter, limiter);
    let in_coil = charging::power(stuck, coil);
    let note = if ac && limiter * capacitor < SLOW {
        "R·C is shorter than ten half cycles of the mains: the bank charges in a few pulses, and the time is rough"
    } else {
        ""
    };
    let mut cautions = vec![
        "the bank stores its charge after the supply is unplugged: measure the capacitor before you touch it."
            .to_owned(),
    ];
    if in_coil > STUCK_POWER {
        cautions.insert(0, format!(
            "while a contact sticks the coil turns {in_coil} to heat, and only {STUCK_POWER} is taken to be borne for \
             long: use a larger limiter, or contacts that cannot stick.",
        ));
    }
    Ok(Answer {
        result: format!(
            "Ready again (95 %) in {ready}: {}. A limiter of {limiter}, {}.",
            in_a_minute(ready),
            resistor_rating(short)
        ),
        enough: true,
        table: Some(Grid {
            heads: vec!["charged to", "voltage", "energy", "after"],
            rows: rows.to_vec(),
            marked: Some(2),
        }),
        figures: vec![
            Figure::new("points", "voltage in the end", full).input("supply", supply_words(supply)).by(
                if ac { "√2·U − 1.4 V" } else { "that of the supply" },
                "textbook; two diodes of 0.7 V in the bridge",
            ),
            Figure::new("points", "recharge to 95 %", ready)
                .input("limiter", limiter)
                .input("capacitor", capacitor)
                .input("time constant R·C", limiter * capacitor)
                .input("can be fired", in_a_minute(ready))
                .by(
                    if ac {
                        "∫ dv/(mean charging current) over half cycles of the rectified sine"
                    } else {
                        "t = −R·C·ln(1 − share)"
                    },
                    "textbook",
                )
                .note(note),
            Figure::new("points", "current at first", full / limiter)
                .input("bank", "empty")
                .by(if ac { "I = (√2·U − 1.4 V)/R, in the peaks" } else { "I = U/R" }, "Ohm's law"),
            Figure::new("points", "current while a contact sticks", stuck)
                .input("coil", coil)
                .input("heat in the limiter", charging::power(stuck, limiter))
                .input("heat in the coil", in_coil)
                .by("I = U/(R_limiter + R_coil); P = I²·R", "Ohm's law")
                .note(if ac {
                    "rms, of the supply without the diodes' drops, to be on the safe side"
                } else {
                    ""
                }),
            Figure::new("points", "rating of the limiter", resistor_rating(short))
                .input("heat with the whole supply across it", short)
                .by("first rating ≥ 1.5 · U²/R", "ratings: common practice, no source"),
        ],
        cautions,
        leaves_out: "the supply's own resistance, the capacitor's leak and the bleed, which lower the voltage in the \
            end a little",
        look_first: "a supply that sags below its rated voltage, a limiter of the wrong value and a bleed that is \
            far too small",
    })
}

/// How often it can be fired, within what anybody does.
fn in_a_minute(ready: Seconds) -> String {
    match (60.0 / ready.seconds()).floor() {
        0.0 => "less than one throw in a minute".into(),
        1.0 => "one throw in a minute".into(),
        throws if throws <= 60.0 => format!("{throws} throws in a minute"),
        _ => "more than 60 throws in a minute".into(),
    }
}

fn supply_words(supply: &BankSupply) -> String {
    format!("{} {}", supply.voltage, if supply.kind == SupplyKind::Ac { "AC" } else { "DC" })
}
