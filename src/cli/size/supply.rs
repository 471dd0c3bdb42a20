//! `underboard size supply`

use clap::{ArgGroup, Args};

use super::answer::Answer;
use super::asked::{Fed, fed, is_believed, typical_help, typical_note, usual, within};
use crate::cli::report::{Failure, plural};
use crate::drives::sizing::{Figure, fuse_and_supply};
use crate::electrics::fuse;
use crate::electrics::supply::{apparent_power, group_current};
use crate::parse::SupplyKind;
use crate::units::{Amps, Volts};

/// The supply of motors or servos: the load, what to buy, the fuse
#[derive(Args)]
#[command(
    group(ArgGroup::new("drives").required(true).args(["motors", "servos"])),
    after_help = "Examples:\n  \
        underboard size supply --motors 24 --stall \"16 mA\"\n  \
        underboard size supply --servos 8 --moving 2 --stall \"700 mA\""
)]
pub struct Arguments {
    /// Slow-motion motors, all standing against their stops under power
    #[arg(long, allow_hyphen_values = true, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1000))]
    motors: Option<u16>,

    /// Servos
    #[arg(long, allow_hyphen_values = true, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1000))]
    servos: Option<u16>,

    /// Servos that move at once; one of them is taken to be held fast [default: 1]
    #[arg(long, allow_hyphen_values = true, value_name = "NUMBER", requires = "servos", value_parser = clap::value_parser!(u16).range(1..=1000))]
    moving: Option<u16>,

    /// Current of one that is held fast [typical: 20 mA for motors, 700 mA for servos]
    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", value_parser = within::<Amps>("1 mA", "10 A"))]
    stall: Option<Amps>,

    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", requires = "servos", value_parser = within::<Amps>("1 mA", "10 A"),
        help = typical_help("Current of a servo while it moves", "drive", "servo", "moving"))]
    running: Option<Amps>,

    #[arg(long, allow_hyphen_values = true, value_name = "CURRENT", requires = "servos", value_parser = within::<Amps>("0.1 mA", "1 A"),
        help = typical_help("Current of a servo at rest", "drive", "servo", "idle"))]
    idle: Option<Amps>,

    /// The supply's voltage [default: 12 V for motors, 5 V for servos]
    #[arg(long, allow_hyphen_values = true, value_name = "VOLTAGE", value_parser = fed)]
    voltage: Option<Fed>,
}

/// What was asked for, as a load.
struct Load {
    what: String,
    current: Amps,
    figure: Figure,
    /// The voltage if none is given.
    voltage: Volts,
    fuse: Amps,
    fuse_by: &'static str,
    /// What the supply should be able to give.
    buy: Amps,
    buy_by: &'static str,
    leaves_out: &'static str,
    look_first: &'static str,
}

pub fn answer(asked: &Arguments) -> Result<Answer, Failure> {
    let load = match (asked.motors, asked.servos) {
        (Some(motors), _) => motors_load(asked, motors)?,
        (None, servos) => servos_load(asked, servos.unwrap_or(1))?,
    };
    let given = asked.voltage.unwrap_or(Fed { voltage: load.voltage, kind: None });
    let volts = given.voltage;
    if fuse_and_supply(load.current).is_none() {
        let most = fuse::RATED_CURRENTS[fuse::RATED_CURRENTS.len() - 1];
        let supplies = (load.current.amps() * 1.25 / most.amps()).ceil();
        return Err(Failure::new(format!(
            "{} draw {}, and there is no fuse link above {most}",
            load.what, load.current
        ))
        .help(format!(
            "divide them among at least {supplies} supplies, and ask again for the drives of one"
        )));
    }
    let (buy, fuse) = (load.buy, load.fuse);
    let power = apparent_power(volts, buy);
    let power = match given.kind {
        Some(SupplyKind::Ac) => power.to_string(),
        _ => (volts * buy).to_string(),
    };
    Ok(Answer {
        result: format!(
            "{} draw {}. Buy a supply of {given} and {buy} or more ({power}); fuse T {fuse}.",
            load.what, load.current
        ),
        enough: true,
        table: None,
        figures: vec![
            load.figure,
            Figure::new("supply", "to be bought, at least", buy)
                .input("load", load.current)
                .input("fuse", fuse)
                .input("margin", format!("{:.2} times the load", buy / load.current))
                .by(load.buy_by, "common practice, no source"),
            Figure::new("supply", "fuse, time-lag", fuse)
                .input("load", load.current)
                .by(load.fuse_by, "ratings: IEC 60127 (R10); factor: common practice, no source"),
        ],
        cautions: vec![format!(
            "every wire behind the fuse must carry {fuse} for good; thinner branches need fuses of their own."
        )],
        leaves_out: load.leaves_out,
        look_first: load.look_first,
    })
}

fn motors_load(asked: &Arguments, motors: u16) -> Result<Load, Failure> {
    let stall = stall(asked, "slow-motion")?;
    let standing = stall * f64::from(motors);
    // Refused before it is used if there is none.
    let (fuse, buy) = fuse_and_supply(standing).unwrap_or_default();
    Ok(Load {
        what: format!("{}, all standing at their stops,", plural(usize::from(motors), "motor")),
        current: standing,
        figure: Figure::new("motors", "standing load", standing)
            .input("motors", motors)
            .input("each, held fast", stall)
            .by("sum of the stall currents: every motor is stalled at its stop", "addition")
            .note(typical_note(&absent(&[("stall", asked.stall.is_none())]))),
        voltage: Volts::new(12.0),
        fuse,
        fuse_by: "first rating ≥ 1.25 · load, 100 mA at least",
        buy,
        buy_by: "1.25 · load, and no less than the fuse",
        leaves_out: "lamps, relays and electronics on the same supply; that a supply gives more than its rated voltage \
            without load, and motors then draw more",
        look_first: "friction in the tie bar, a motor off centre, a spring that is too strong, and voltage lost in \
            long thin wires",
    })
}

fn servos_load(asked: &Arguments, servos: u16) -> Result<Load, Failure> {
    let moving = asked.moving.unwrap_or(1);
    if moving > servos {
        return Err(Failure::new(format!("{moving} servos cannot move where there are {servos}"))
            .help(format!("give --moving a number from 1 to {servos}")));
    }
    let stall = stall(asked, "servo")?;
    let running = asked.running.unwrap_or_else(|| usual::<Amps>("drive", "servo", "moving").min(stall));
    let idle = asked.idle.unwrap_or_else(|| usual("drive", "servo", "idle"));
    if running > stall {
        return Err(Failure::new(format!(
            "a servo cannot draw more while it moves, {running}, than held fast, {stall}"
        ))
        .help("look at --running and --stall"));
    }
    let resting = servos - moving;
    let worst = stall + group_current(u32::from(moving - 1), running, u32::from(resting), idle);
    let (fuse, buy) = fuse_and_supply(worst).unwrap_or_default();
    Ok(Load {
        what: format!("{}, {moving} of them moving,", plural(usize::from(servos), "servo")),
        current: worst,
        figure: Figure::new("servos", "worst load", worst)
            .input("moving together", moving)
            .input("one of them held fast", stall)
            .input("each of the others while it moves", running)
            .input("at rest", format!("{resting}, each {idle}"))
            .by("stall + (n − 1)·moving + the others' idle current", "addition")
            .note(typical_note(&absent(&[
                ("stall", asked.stall.is_none()),
                ("running", asked.running.is_none()),
                ("idle", asked.idle.is_none()),
            ]))),
        voltage: Volts::new(5.0),
        fuse,
        fuse_by: "first rating ≥ 1.25 · load",
        buy,
        buy_by: "1.25 · load, and no less than the fuse",
        leaves_out: "the surge of the first moment, for which 470 to 1000 µF stand beside each group of servos; relays \
            and electronics on the same supply; servos that all twitch when switched on",
        look_first: "voltage lost on the way to the farthest servo, a linkage that binds so that the servo hums, and a \
            missing capacitor beside the servos",
    })
}

/// The stall current, within what is believed of this kind of drive.
fn stall(asked: &Arguments, kind: &str) -> Result<Amps, Failure> {
    let Some(stall) = asked.stall else { return Ok(usual("drive", kind, "stall")) };
    let believed = is_believed(stall, "drive", kind, "stall");
    believed.map(|()| stall).map_err(|why| {
        Failure::new(format!("{stall} cannot be right for one {kind} drive that is held fast")).help(why)
    })
}

/// The names of what is not there.
fn absent<'a>(figures: &[(&'a str, bool)]) -> Vec<&'a str> {
    figures.iter().filter(|(_, absent)| *absent).map(|(name, _)| *name).collect()
}
