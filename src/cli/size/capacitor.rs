//! `underboard size capacitor`

use clap::Args;

use super::answer::Answer;
use super::asked::{as_key, run, supply, typical_help, typical_note, usual, wire_size, within};
use crate::cli::report::{Failure, plural};
use crate::drives::sizing::{
    BankChoice, BankSupply, Figure, bank_parts, strongest, to_millivolts, with_losses,
};
use crate::firing::{Bare, BareShot, MARGIN, Values};
use crate::parse::{AMBIENT, FiredFrom, MOST_AC, MOST_AC_UNLOADED, MOST_DC, Solenoid, SupplyKind};
use crate::units::{Amps, Henries, Joules, Length, Ohms, Quantity, Seconds, Volts, WireSize};

/// The capacitor of a discharge unit: the smallest that throws every coil for sure
#[derive(Args)]
#[command(after_help = "Example:\n  \
    underboard size capacitor --coil \"4.5 ohm\" --coils 3 --supply \"16 V AC\"\n\n\
    What you do not give is taken from typical drives and asks for more, to be on the safe side: measure yours.")]
pub struct Arguments {
    /// Resistance of one coil at 20 °C
    #[arg(long, allow_hyphen_values = true, value_name = "RESISTANCE", value_parser = as_key::<Ohms>("drive", "solenoid", "coil"))]
    coil: Ohms,

    /// How many coils are fired at once
    #[arg(long, allow_hyphen_values = true, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=40))]
    coils: u8,

    /// The supply's rated voltage, AC or DC
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", value_parser = supply)]
    supply: BankSupply,

    /// The supply's voltage without load, as measured [default: 1.25 times the rated one for AC, 1.1 for DC]
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", value_parser = as_key::<Volts>("supply", "", "unloaded"))]
    unloaded: Option<Volts>,

    #[arg(long, allow_hyphen_values = true, value_name = "INDUCTANCE", value_parser = as_key::<Henries>("drive", "solenoid", "inductance"),
        help = typical_help("Inductance of one coil", "drive", "solenoid", "inductance"))]
    inductance: Option<Henries>,

    #[arg(long, allow_hyphen_values = true, value_name = "ENERGY", value_parser = as_key::<Joules>("drive", "solenoid", "energy"),
        help = typical_help("Energy that one coil needs for a sure throw", "drive", "solenoid", "energy"))]
    energy: Option<Joules>,

    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", value_parser = as_key::<Amps>("drive", "solenoid", "current"),
        help = typical_help("Current that one coil needs to pull", "drive", "solenoid", "current"))]
    current: Option<Amps>,

    #[arg(long, allow_hyphen_values = true, value_name = "TIME", value_parser = as_key::<Seconds>("drive", "solenoid", "pulse"),
        help = typical_help("How long one coil needs at least that current", "drive", "solenoid", "pulse"))]
    pulse: Option<Seconds>,

    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", value_parser = within::<Length>("10 mm", "100 m"),
        help = format!("The wire that each coil has to itself, one way [typical: {LENGTH}]"))]
    feed_length: Option<Length>,

    #[arg(long, allow_hyphen_values = true, value_name = "LENGTH", value_parser = within::<Length>("10 mm", "100 m"),
        help = format!("The return that all coils share, one way [typical: {LENGTH}]"))]
    return_length: Option<Length>,

    /// The size of both wires
    #[arg(long, allow_hyphen_values = true, value_name = "SIZE", default_value = "0.5 mm2", value_parser = wire_size)]
    wire: WireSize,
}

/// From panel to turnout where nobody says (common practice, no source).
const LENGTH: &str = "3 m";

pub fn answer(asked: &Arguments) -> Result<Answer, Failure> {
    let bare = bare(asked);
    let supply = bare.supply;
    let highest = supply.highest();
    if let Some(unloaded) = asked.unloaded.filter(|u| *u < supply.voltage) {
        return Err(Failure::new(format!(
            "without load the supply cannot give less, {unloaded}, than its rated {}",
            supply.voltage
        ))
        .help("measure it with nothing connected, on the range for its kind of current"));
    }
    if let Some(unloaded) = asked.unloaded.filter(|u| supply.kind == SupplyKind::Ac && *u > MOST_AC_UNLOADED)
    {
        return Err(Failure::new(format!(
            "{unloaded} AC without load is too much: {MOST_AC_UNLOADED} is the limit for supplies of toys (IEC 61558-2-7)"
        ))
        .help("use an approved plug-in supply of a lower voltage"));
    }
    if highest > MOST_DC {
        return Err(Failure::new(format!(
            "without load the bank may charge to {highest}, and no more than {MOST_DC} DC may be touched (IEC 61140)"
        ))
        .help("use a supply of a lower voltage, or measure its voltage without load and give it as --unloaded"));
    }
    let unsolvable =
        |e| Failure::new(format!("these values have no solution: {e}")).help("look at the units");
    let mut shots = bare.search().map_err(unsolvable)?;
    let Some(shot) = shots.pop() else {
        return Err(Failure::new(
            "every capacitor on offer could hold 20 J or more, which counts as hazardous",
        )
        .help("use a supply of a lower voltage"));
    };
    let enough = shot.is_enough();
    let coils = plural(bare.coils, "coil");
    let result = if enough {
        let rated = shot.bank.capacitor_voltage;
        format!(
            "Capacitor for {coils} at once: {}, rated {rated} or more. In the weakest corner each coil has {:.2} \
             times what it needs, by {}.",
            shot.bank.choice.words(),
            shot.margin(),
            shot.least()
        )
    } else {
        format!(
            "No capacitor on offer throws {coils} at once for sure: with {} each has {:.2} times what it needs, by \
             {}, and {MARGIN} times is asked for. {}",
            shot.bank.choice.words(),
            shot.margin(),
            shot.least(),
            remedies(&bare, shot.bank.choice).map_err(unsolvable)?
        )
    };
    let mut figures = vec![pulse(&bare, &shot), corner(&bare, &shot)];
    figures.extend(enough.then(|| shots.last()).flatten().map(next_smaller));
    figures.push(surge(&shot));
    figures.extend(bank_parts(supply, &shot.bank));
    Ok(Answer {
        result,
        enough,
        table: None,
        figures,
        cautions: vec![format!(
            "the bank stores its charge after the supply is unplugged. Switch off, wait {} for the bleed, measure \
             the capacitor, then work.",
            shot.bank.discharged_in
        )],
        leaves_out: "iron and its saturation, friction, and that the moving plunger changes the inductance; strips \
            and plugs on the way: each wire counts as one piece with a joint at each end",
        look_first: LOOK_FIRST,
    })
}

const LOOK_FIRST: &str = "friction in the tie bar, off-centre mounting, tight screws and two springs that fight; then \
    measure the coil's resistance and the voltage on the charged capacitor";

fn bare(asked: &Arguments) -> Bare {
    let length = Length::parse(LENGTH).unwrap_or_default();
    let given = [
        ("inductance", asked.inductance.is_some()),
        ("energy", asked.energy.is_some()),
        ("current", asked.current.is_some()),
        ("pulse", asked.pulse.is_some()),
        ("feed", asked.feed_length.is_some()),
        ("return", asked.return_length.is_some()),
    ];
    Bare {
        supply: BankSupply { unloaded: asked.unloaded, ..asked.supply },
        solenoid: Solenoid {
            coil: asked.coil,
            inductance: asked.inductance.unwrap_or_else(|| usual("drive", "solenoid", "inductance")),
            energy: asked.energy.unwrap_or_else(|| usual("drive", "solenoid", "energy")),
            current: asked.current.unwrap_or_else(|| usual("drive", "solenoid", "current")),
            pulse: asked.pulse.unwrap_or_else(|| usual("drive", "solenoid", "pulse")),
            fired_from: FiredFrom::DischargeUnit,
        },
        typical: given.into_iter().filter(|(_, given)| !given).map(|(key, _)| key).collect(),
        coils: usize::from(asked.coils),
        feed: asked.feed_length.unwrap_or(length),
        back: asked.return_length.unwrap_or(length),
        wire: asked.wire,
        ambient: AMBIENT,
    }
}

fn pulse(bare: &Bare, shot: &BareShot) -> Figure {
    let needs = &shot.needs;
    let figure = Figure::new("points", "capacitor", shot.bank.choice.words())
        .input("coils fired at once", bare.coils)
        .input("bank at the start", shot.weak.charged)
        .input("left on the bank", to_millivolts(shot.left))
        .input("energy in each coil", format!("{} (needs {})", shot.energy, needs.energy))
        .input(
            "peak current in each coil",
            format!("{} after {} (needs {})", shot.peak, shot.peak_at, needs.current),
        )
        .input("time at or above that current", format!("{} (needs {})", shot.above, needs.time))
        .input("margin", format!("{:.2}, by {}; asked for {MARGIN:.2}", shot.margin(), shot.least()));
    with_losses(figure, &shot.losses)
        .by(
            "smallest preferred capacitor with which each coil has energy, current and time with the margin, fired in \
             simulation in the weakest corner",
            "modified nodal analysis; values IEC 60063 E6; corners from memory",
        )
        .note(guessed(bare))
}

fn guessed(bare: &Bare) -> String {
    let words = |key: &&str| match *key {
        "feed" => "length of the feeds",
        "return" => "length of the return",
        "inductance" => "inductance",
        "energy" => "energy",
        "current" => "current",
        _ => "pulse",
    };
    let typical: Vec<&str> = bare.typical.iter().map(words).collect();
    match typical.is_empty() {
        true => String::new(),
        false => format!("{}; such figures widen the corners", typical_note(&typical)),
    }
}

/// The loop's values with what they come from.
fn corner(bare: &Bare, shot: &BareShot) -> Figure {
    let Values { capacitance, esr, coil, inductance, feed, back, contact, .. } = shot.weak;
    let n = bare.coils as f64;
    let own = coil + feed;
    let shared = esr + contact + back;
    let wire = bare.wire.label();
    Figure::new("points", "loop of one coil, weakest corner", own + shared * n)
        .input("coil", format!("{coil} ({} at 20 °C, hot)", bare.solenoid.coil))
        .input("its inductance", inductance)
        .input("its own wire", format!("{feed} ({} of {wire}, two joints)", run(bare.feed)))
        .input("shared return", format!("{back} ({} of {wire}, two joints)", run(bare.back)))
        .input("contact", contact)
        .input("the capacitor's own resistance", format!("{esr} (old)"))
        .input("its capacitance", format!("{capacitance} ({} printed)", shot.bank.capacitor))
        .by(
            "R = R_coil + R_feed + N·(R_return + R_contact + ESR); capacitor −20 %, ESR doubled, supply −10 % and \
             giving nothing during the pulse, coil and wires hot, contacts and joints poor",
            "Kirchhoff's voltage law; IEC 60228, IEC 60028; corners from memory",
        )
}

fn next_smaller(shot: &BareShot) -> Figure {
    let needs = &shot.needs;
    Figure::new("points", format!("the next smaller, {}", shot.bank.choice.words()), "not enough")
        .input("energy in each coil", format!("{} (needs {})", shot.energy, needs.energy))
        .input("peak current in each coil", format!("{} (needs {})", shot.peak, needs.current))
        .input("time at or above that current", format!("{} (needs {})", shot.above, needs.time))
        .input("margin", format!("{:.2}, by {}; asked for {MARGIN:.2}", shot.margin(), shot.least()))
        .by("the same simulation", "as above")
}

fn surge(shot: &BareShot) -> Figure {
    Figure::new("points", "strongest pulse through the contact", shot.surge)
        .input("bank at its highest", shot.bank.highest)
        .input("∫ i² dt", shot.surge_integral)
        .by(
            concat!("the same simulation in the strongest corner: ", strongest!()),
            "modified nodal analysis; corners from memory",
        )
        .note("choose switches and buttons for at least this pulse")
}

/// What would help, tried out: fewer coils at once, thicker wire.
fn remedies(bare: &Bare, largest: BankChoice) -> Result<String, crate::electrics::transient::SolveError> {
    let mut words = Vec::new();
    for coils in (1..bare.coils).rev() {
        if (Bare { coils, ..bare.clone() }).fire(largest)?.is_enough() {
            words.push(format!("it throws {} at once", plural(coils, "coil")));
            break;
        }
    }
    for wire in crate::electrics::conductor::usual_sizes() {
        let thicker = wire.area().mm2() > bare.wire.area().mm2() * 1.05;
        if thicker && (Bare { wire, ..bare.clone() }).fire(largest)?.is_enough() {
            words.push(format!("{} would do for the wires", wire.label()));
            break;
        }
    }
    // Up to what supplies of toys may give, and a bank may show; on direct current with some air.
    let higher = match bare.supply.kind {
        SupplyKind::Ac if bare.supply.voltage < MOST_AC => {
            "a supply of a higher voltage (up to 24 V AC), or "
        }
        SupplyKind::Dc if bare.supply.highest() < MOST_DC * 0.8 => "a supply of a higher voltage, or ",
        _ => "",
    };
    let measured = "a drive whose energy, current and pulse were measured";
    Ok(match words.is_empty() {
        true => format!("Use {higher}{measured}."),
        false => format!("What helps: {}; or {higher}{measured}.", words.join("; ")),
    })
}
