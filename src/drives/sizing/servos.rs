//! Servos: what they draw together, the voltage left at each, the wire and the capacitor for it.

use super::conductors::Demand;
use super::tolerance::REGULATED_LOW;
use super::{Figure, ServoSizing, WireClass, Work, typical};
use crate::diag::Diagnostic;
use crate::drives::{Pairing, SERVO_CHANNELS, SUPPLY_LEAD, UsePlan, WITHIN_PANEL};
use crate::electrics::supply::SourceKind;
use crate::electrics::{conductor, fuse, preferred, servo};
use crate::parse::{BarId, BoardId, DriveModel, Servo};
use crate::units::{Amps, Farads, Length, Ohms, Seconds, Volts, WireSize};

/// A bistable relay's coil for 5 V (from memory).
const RELAY: Amps = Amps::new(0.04);
/// What the capacitor bridges until the supply follows, and the sag meanwhile as a share of the voltage
/// (common practice, no source).
const SURGE_TIME: Seconds = Seconds::new(0.5e-3);
const SURGE_SAG: f64 = 0.1;
/// Beside each group of servos 470–1000 µF are in use (from memory); never less.
const LEAST_BULK: Farads = Farads::new(470e-6);
const NOTHING: Amps = Amps::new(0.0);

/// What is left at one servo.
#[derive(Clone, Debug, PartialEq)]
pub struct ServoVoltage {
    /// Of its turnout or tie bar.
    pub name: String,
    pub board: String,
    /// The stated number moving, this one stalled.
    pub moving: Volts,
    /// All started at once, this one stalled.
    pub switch_on: Volts,
    pub lowest: Volts,
}

/// How long a lead from the board's strip may be.
#[derive(Clone, Debug, PartialEq)]
pub struct LeadLimit {
    pub size: WireSize,
    /// One way, at the strip farthest from the supply.
    pub longest: Length,
}

/// The controllers that a board needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Controllers {
    pub board: String,
    pub count: usize,
    pub used: usize,
    pub spare: usize,
}

/// What all servos of the use share.
struct Group<'a> {
    members: &'a [BarId],
    /// How many move at the same time.
    together: usize,
    stall: Amps,
    idle: Amps,
    relays: usize,
    /// One stalled, the others of those together moving, the rest idle.
    worst: Amps,
    /// All moving, one of them stalled.
    switch_on: Amps,
    /// What must be borne: the second if the start is not staggered.
    bears: Amps,
}

fn model(work: &Work, bar: BarId) -> Servo {
    let drive = work.document.drive_of(bar);
    let DriveModel::Servo(s) = &drive.model else { unreachable!("members of this use are servos") };
    Servo {
        voltage: s.voltage,
        lowest: s.lowest,
        idle: typical::current(drive, "idle", s.idle),
        moving: typical::current(drive, "moving", s.moving),
        stall: typical::current(drive, "stall", s.stall),
    }
}

fn group<'a>(work: &Work, use_plan: &'a UsePlan) -> Group<'a> {
    let members = use_plan.members.as_slice();
    let largest = use_plan.groups.first().map_or(1, |(_, m)| m.len());
    let controller = work.document.servo_controller;
    let together = controller.moves.unwrap_or(largest).min(members.len());
    let models: Vec<Servo> = members.iter().map(|bar| model(work, *bar)).collect();
    let stall = models.iter().map(|m| m.stall).fold(NOTHING, Amps::max);
    let most = |of: fn(&Servo) -> Amps, count: usize| -> Amps {
        let mut all: Vec<Amps> = models.iter().map(of).collect();
        all.sort_by(|a, b| b.total_cmp(a));
        all.into_iter().take(count).sum()
    };
    let relays = members.iter().filter(|bar| work.plan.wants_relay(**bar)).count();
    let coils = RELAY * relays as f64;
    let idle = most(|m| m.idle, members.len() - together);
    let worst = stall + most(|m| m.moving, together.saturating_sub(1)) + idle + coils;
    let switch_on = stall + most(|m| m.moving, members.len().saturating_sub(1)) + coils;
    let bears = if controller.staggered_start { worst } else { worst.max(switch_on) };
    Group { members, together, stall, idle, relays, worst, switch_on, bears }
}

pub(super) fn size(work: &mut Work, use_plan: &UsePlan) {
    let group = group(work, use_plan);
    let members = group.members;
    let voltage = use_plan.supply.voltage;
    let low = voltage * REGULATED_LOW;
    let lowest = members.iter().map(|bar| model(work, *bar).lowest).fold(Volts::new(0.0), Volts::max);
    let fuse = fuse::rating_for(group.bears).unwrap_or(Amps::new(10.0));
    let lead = members.iter().map(|bar| work.strip_to_drive(*bar)).fold(Length::new(0.0), Length::max);
    let cable = members.iter().map(|bar| work.to_board(work.document.turnout_of(*bar).board));
    let cable = cable.fold(Length::new(0.0), Length::max) + SHARED;

    // Two thirds of what may be lost are spent on the supply's run, which is easily made thicker.
    let spare = low - lowest;
    let supply_wire = work.choose(Demand {
        part: "servos",
        class: WireClass::ServoSupply,
        current: group.bears,
        lasting: group.bears.max(fuse),
        length: cable * 2.0,
        allowed_drop: spare * (2.0 / 3.0),
        least: WireSize::mm2(0.5),
    });
    let lead_wire = work.choose(Demand {
        part: "servos",
        class: WireClass::ServoLead,
        current: group.stall,
        // A short in a lead passes the fuse before the controller.
        lasting: group.stall.max(fuse),
        length: lead * 2.0,
        allowed_drop: spare / 3.0,
        least: WireSize::mm2(0.25),
    });
    let voltages = voltages(work, &group, low);
    let least = |of: fn(&ServoVoltage) -> Volts| voltages.iter().map(of).fold(low, Volts::min);
    let (at_servo, at_start) = (least(|v| v.moving), least(|v| v.switch_on));
    complain(work, &group, &voltages);

    let supply = SourceKind::Regulated.rating_for(group.bears).max(fuse);
    work.supply_wire("servos", group.bears, fuse, voltage);
    work.supply_bears(
        use_plan,
        [("supply of the servos", group.bears), ("fuse of the servos' supply", fuse)],
    );
    let at_strip = low - work.resistance(supply_wire, cable * 2.0) * group.bears;
    let leads = leads(work, at_strip, lowest, group.stall);
    let controllers = controllers(work, members);
    let (surge, bulk) = bulk(work, &group, voltage);
    let rated = preferred::rated_voltage_at_least(voltage * 1.5).unwrap_or(Volts::new(16.0));
    let note = typical::note(
        work.document,
        members,
        &[("idle", typical::CURRENT), ("moving", typical::CURRENT), ("stall", typical::CURRENT)],
    );
    let staggered = work.document.servo_controller.staggered_start;
    let own_lead = leads.iter().find(|l| l.size == lead_wire).map(|l| l.longest);
    let channels: usize = controllers.iter().map(|c| c.used).sum();
    work.sizing.figures.extend([
        Figure::new("servos", "worst load", group.worst)
            .input("moving together", group.together)
            .input("one of them stalled", group.stall)
            .input("idle", group.idle)
            .input("relays", group.relays)
            .input("to be bought: at least", supply)
            .by("stall + (n − 1)·moving + the others' idle current + relays", "addition")
            .note(note.clone()),
        Figure::new("servos", "load if all start at once", group.switch_on)
            .input("start staggered", if staggered { "yes, not counted" } else { "no, sized for this" })
            .input("servos", members.len())
            .by("stall + (all − 1)·moving + relays", "addition")
            .note(note),
        Figure::new("servos", "voltage at the farthest servo", at_servo)
            .input("must be at least", lowest)
            .input("supply, low", low)
            .input("if all start at once", at_start)
            .input("supply wire, there and back", format!("{}, {}", cable * 2.0, supply_wire.label()))
            .input("lead, there and back", format!("{}, {}", lead * 2.0, lead_wire.label()))
            .by("V − I_worst·R_supply − I_stall·R_lead", "Ohm's law; IEC 60228 class 5"),
        Figure::new("servos", "longest lead of this wire", own_lead.unwrap_or(lead))
            .input("wire", lead_wire.label())
            .input("at the board's strip", at_strip)
            .input("one servo stalled", group.stall)
            .by("l = (V_strip − V_lowest)/(2·I_stall·r)", "Ohm's law; IEC 60228 class 5")
            .note("Pulses, not volts, often end a lead sooner: beyond 0.6 m keep it apart from power and coils."),
        Figure::new("servos", "fuse, time-lag", fuse).input("worst load", group.bears).by(
            "first rating of which the worst load is at most 0.8",
            "ratings: IEC 60127 (R10); factor: common practice, no source",
        ),
        Figure::new("servos", "bulk capacitor", format!("{bulk}, {rated}"))
            .input("surge at one controller", surge)
            .input("bridges", SURGE_TIME)
            .input("sag meanwhile", voltage * SURGE_SAG)
            .input("in use, for one or two servos", "470 to 1000 µF")
            .by(
                "C ≥ I·Δt/ΔV, at least 470 µF, as a stocked value",
                "Q = C·V (textbook); time and sag: common practice, no source",
            ),
        Figure::new("servos", "controllers", controllers.iter().map(|c| c.count).sum::<usize>())
            .input("channels used", channels)
            .input("channels spare", controllers.iter().map(|c| c.spare).sum::<usize>())
            .by("for each board, servos worked by toggles, eight to a controller", "common practice, no source"),
    ]);
    work.sizing.servos = Some(ServoSizing {
        fuse,
        worst: group.bears,
        supply,
        bulk: format!("{bulk}, {rated}"),
        at_servo,
        voltages,
        leads,
        controllers,
    });
}

/// From the supply to the panel's strip: what all boards share.
const SHARED: Length = Length::new(SUPPLY_LEAD.metres() + 2.0 * WITHIN_PANEL.metres());

/// At each servo: V − I·R_shared − I_board·R_cable − I_stall·R_lead.
fn voltages(work: &Work, group: &Group, low: Volts) -> Vec<ServoVoltage> {
    let supply = work.sizing.wire(WireClass::ServoSupply);
    let lead = work.sizing.wire(WireClass::ServoLead);
    let there_and_back = |size, run: Length| -> Ohms { work.resistance(size, run * 2.0) };
    group
        .members
        .iter()
        .map(|bar| {
            let board = work.document.turnout_of(*bar).board;
            let own = model(work, *bar);
            let tail = there_and_back(lead, work.strip_to_drive(*bar)) * own.stall;
            let left = |all: Amps, here: Amps| {
                low - there_and_back(supply, SHARED) * all
                    - there_and_back(supply, work.to_board(board)) * here
                    - tail
            };
            // Those that move together may all be on this board.
            let starting = starting_on(work, group, board);
            ServoVoltage {
                name: work.document[*bar].name.clone(),
                board: work.document[board].name.value.clone(),
                moving: left(group.worst, group.worst),
                switch_on: left(group.switch_on, starting.min(group.switch_on)),
                lowest: own.lowest,
            }
        })
        .collect()
}

/// What the servos of a board draw when all start, one of them stalled, relays included.
fn starting_on(work: &Work, group: &Group, board: BoardId) -> Amps {
    let here = group.members.iter().filter(|bar| work.document.turnout_of(**bar).board == board);
    let moving: Amps = here.map(|bar| model(work, *bar).moving).sum();
    moving + group.stall + RELAY * group.relays as f64
}

fn complain(work: &mut Work, group: &Group, voltages: &[ServoVoltage]) {
    let help =
        "use thicker wire, a shorter run, or a supply of a slightly higher voltage if the servos allow it";
    let lack = |of: fn(&ServoVoltage) -> Volts| {
        let short = voltages.iter().filter(|v| of(v) < v.lowest);
        short.min_by(|a, b| of(a).total_cmp(&of(b)))
    };
    if let Some(v) = lack(|v| v.moving) {
        work.diagnostics.push(
            Diagnostic::error(
                "servo-voltage-too-low",
                format!(
                    "with {} moving and one of them stalled, {} is left at the servo of {}, which needs {}",
                    group.together, v.moving, v.name, v.lowest
                ),
            )
            .help(help),
        );
    } else if let Some(v) = lack(|v| v.switch_on)
        && !work.document.servo_controller.staggered_start
    {
        work.diagnostics.push(
            Diagnostic::error(
                "servo-voltage-too-low",
                format!(
                    "when it is switched on and all {} servos start, {} is left at the servo of {}, which needs {}",
                    group.members.len(),
                    v.switch_on,
                    v.name,
                    v.lowest
                ),
            )
            .help(format!("take a controller that staggers the start, or {help}")),
        );
    }
}

fn leads(work: &Work, at_strip: Volts, lowest: Volts, stall: Amps) -> Vec<LeadLimit> {
    let hot = work.document.layout.ambient.1;
    let mut sizes = conductor::usual_sizes();
    sizes.extend(work.document.wire_stock.iter().copied());
    sizes.sort_by(|a, b| a.area().total_cmp(&b.area()));
    sizes.dedup();
    sizes
        .into_iter()
        .map(|size| {
            let resistance = conductor::at_temperature(conductor::resistance_at_20(size), hot);
            LeadLimit { size, longest: servo::longest_lead(at_strip, lowest, stall, resistance) }
        })
        .collect()
}

/// The boards' controllers, for servos that toggles work; decoders have outputs of their own.
fn controllers(work: &Work, members: &[BarId]) -> Vec<Controllers> {
    let by_toggle = |bar: &&BarId| work.plan.of(**bar).is_some_and(|b| b.pairing == Pairing::ServoToggle);
    (0..work.document.boards.len())
        .map(BoardId)
        .filter_map(|board| {
            let here = |bar: &&BarId| work.document.turnout_of(**bar).board == board;
            let used = members.iter().filter(by_toggle).filter(here).count();
            let count = used.div_ceil(SERVO_CHANNELS);
            let board = work.document[board].name.value.clone();
            (used > 0).then(|| Controllers { board, count, used, spare: count * SERVO_CHANNELS - used })
        })
        .collect()
}

/// The surge at one controller, all that start together on it as good as stalled, and the stocked
/// capacitor for it.
fn bulk(work: &Work, group: &Group, voltage: Volts) -> (Amps, Farads) {
    let staggered = work.document.servo_controller.staggered_start;
    let starting = if staggered { group.together } else { group.members.len() }.min(SERVO_CHANNELS);
    let surge = group.stall * starting as f64;
    let wanted = servo::surge_capacitance(surge, SURGE_TIME, voltage * SURGE_SAG).max(LEAST_BULK);
    let most = preferred::BANK_CAPACITANCES[preferred::BANK_CAPACITANCES.len() - 1];
    (surge, preferred::capacitor_at_least(wanted).unwrap_or(most))
}
