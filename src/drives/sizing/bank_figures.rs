//! How the discharge unit's values came about.

use super::bank::{BankSizing, BankSupply, READY, STUCK_POWER};
use super::fired::{Fired, Loss, MARGIN, Trigger};
use super::{Figure, Work};
use crate::drives::UsePlan;
use crate::electrics::{charging, supply};
use crate::parse::{Document, SupplyKind};
use crate::units::{JouleIntegral, Volts};

/// The corners of the simulation in words. Macros, because formulas are made of them while compiling.
macro_rules! weakest {
    () => {
        "capacitor −20 %, its own resistance doubled, supply −10 % and giving nothing during the pulse, coils and \
         wires hot, contacts and joints poor"
    };
}
macro_rules! strongest {
    () => {
        "supply unloaded, mains +10 %, capacitor +20 %, coils and wires cold, contacts and joints perfect"
    };
}
pub(crate) use strongest;

pub const WEAKEST: &str = weakest!();
pub const STRONGEST: &str = strongest!();

pub(super) fn figures(work: &mut Work, use_plan: &UsePlan, bank: &BankSizing) {
    if let Some(fired) = &bank.fired {
        let of_pulse = pulse(work.document, bank, fired);
        work.sizing.figures.extend(of_pulse);
    }
    work.sizing.figures.extend(bank_parts((&use_plan.supply).into(), bank));
}

/// "S1 to normal"
pub fn trigger_words(document: &Document, trigger: Trigger) -> String {
    match trigger {
        Trigger::Control(control, position) => format!("{} to {}", *document[control].name, position.word()),
        Trigger::Route(route) => format!("route {}", *document[route].name),
    }
}

fn pulse(document: &Document, bank: &BankSizing, fired: &Fired) -> Vec<Figure> {
    let coil = &fired.coil;
    let turnout = &document[coil.bar];
    let drive = document.drive_of(coil.bar);
    let typical =
        drive.typical.iter().filter(|k| ["coil", "inductance", "energy", "current", "pulse"].contains(k));
    let typical: Vec<&str> = typical.copied().collect();
    let note = if typical.is_empty() {
        String::new()
    } else {
        let (keys, drive) = (typical.join(", "), &*drive.name);
        format!("typical, measure yours: {keys} of drive {drive}; such figures widen the corners")
    };
    let worst = trigger_words(document, fired.worst.trigger);
    let mut capacitor =
        Figure::new("points", "capacitor", format!("{}, {}", bank.choice.words(), bank.capacitor_voltage))
            .input("worst control", format!("{worst}, {} at once", fired.worst.coils.len()))
            .input("coil that comes off worst", &turnout.name)
            .input("bank at the start, weakest corner", fired.worst.start)
            .input("left on the bank", to_millivolts(fired.worst.left))
            .input("energy in the coil", format!("{} (needs {})", coil.energy, coil.needs.energy))
            .input(
                "peak current in the coil, weakest corner",
                format!("{} after {} (needs {})", coil.peak, coil.peak_at, coil.needs.current),
            )
            .input("time at or above that current", format!("{} (needs {})", coil.above, coil.needs.time))
            .input("margin", format!("{:.2}, by {}; asked for {MARGIN:.2}", coil.margin(), coil.least()));
    capacitor = with_losses(capacitor, fired.worst.losses.iter().take(4));
    for remedy in &fired.remedies {
        capacitor = capacitor.input(format!("margin with {}", remedy.words), format!("{:.2}", remedy.margin));
    }
    vec![
        capacitor
            .by(
                concat!(
                    "smallest preferred capacitor with which every coil of every control has energy, current and \
                     time with the margin, each fired in simulation of the wired circuit in the weakest corner: ",
                    weakest!()
                ),
                "modified nodal analysis of the netlist; values IEC 60063 E6; corners from memory",
            )
            .note(note),
        Figure::new("points", "strongest pulse through a control", fired.surge)
            .input("bank at its highest", bank.highest)
            .input("∫ i² dt", fired.surge_integral)
            .by(
                concat!("the same simulation in the strongest corner: ", strongest!()),
                "modified nodal analysis of the netlist; corners from memory",
            )
            .note("choose switches and buttons for at least this pulse"),
    ]
}

/// An input for each place where energy is lost.
pub fn with_losses<'a>(figure: Figure, losses: impl IntoIterator<Item = &'a Loss>) -> Figure {
    losses.into_iter().fold(figure, |figure, loss| {
        let share = (loss.share * 100.0).round();
        figure.input(format!("lost in {}", loss.place), format!("{} ({share} % of the loss)", loss.energy))
    })
}

/// A bank that is empty shows 0 V, and no picovolts.
pub fn to_millivolts(v: Volts) -> Volts {
    Volts::new((v.volts().abs() * 1e3).round() / 1e3)
}

/// The values of its parts besides the capacitance, each with its working.
pub fn bank_parts(supply_of: BankSupply, bank: &BankSizing) -> Vec<Figure> {
    let ac = supply_of.kind == SupplyKind::Ac;
    vec![
        Figure::new("points", "capacitor's rated voltage", bank.capacitor_voltage)
            .input("highest voltage without load", bank.highest)
            .by(
                "first rating ≥ 1.1 · highest; AC: √2·(unloaded · 1.1) − 1.4 V",
                "common practice; mains +10 % from memory",
            ),
        Figure::new("points", "touch voltage, at most", bank.highest)
            .by("highest voltage without load ≤ 60 V DC", "IEC 61140, second-hand"),
        Figure::new("points", "stored energy, at most", supply::stored_energy(bank.capacitor, bank.highest))
            .input("charged to", bank.highest)
            .input("capacitor", bank.capacitor)
            .input("as a rule", supply::stored_energy(bank.capacitor, bank.rest))
            .by(
                "W = ½·C·V²; below 20 J, from where stored energy counts as hazardous",
                "textbook; limit of IEC 60950-1, from memory",
            ),
        Figure::new("points", "charging limiter", format!("{}, {}", bank.limiter, bank.limiter_power))
            .input("decided by", limiter_reason(bank))
            .input("wanted: ready again within", READY)
            .input("coil power while a contact sticks", format!("at most {STUCK_POWER}"))
            .by(
                "largest E12 value that recharges to 95 % in time, but R ≥ V/√(P/R_coil) − R_coil",
                "IEC 60063; limits: common practice, no source",
            ),
        Figure::new("points", "recharge to 95 %", bank.recharge)
            .input("limiter", bank.limiter)
            .input("capacitor", bank.capacitor)
            .input("throws in a minute", bank.throws_per_minute())
            .by(
                if ac {
                    "∫ dv/(mean charging current) over half cycles of the rectified sine"
                } else {
                    "t = −R·C·ln(1 − 0.95)"
                },
                "textbook",
            ),
        Figure::new("points", "pulse through the fuse while charging", bank.highest / bank.limiter)
            .input("bank at its highest, limiter", format!("{}, {}", bank.highest, bank.limiter))
            .input(
                "∫ i² dt",
                JouleIntegral::new(
                    supply::stored_energy(bank.capacitor * 1.2, bank.highest).joules() / bank.limiter.ohms(),
                ),
            )
            .by(
                "I = V/R at the first instant, ∫ i² dt = ½·(1.2·C)·V²/R; a time-lag link holds 1.5 times its rating \
                 for an hour at least",
                "textbook; IEC 60127-2 sheet 3, second-hand",
            ),
        Figure::new("points", "current while a contact sticks", bank.stuck)
            .input("limiter", bank.limiter)
            .input("heat in the limiter", charging::power(supply_of.voltage / bank.limiter, bank.limiter))
            .by("I = V/(R_limiter + R_coil)", "Ohm's law"),
        Figure::new("points", "bleed", format!("{}, {}", bank.bleed, bank.bleed_power))
            .input("down to a tenth in", bank.discharged_in)
            .by("largest E12 value with R·C·ln 10 ≤ 60 s", "IEC 60063; time: common practice, no source"),
    ]
}

/// Which of the two wishes ruled.
fn limiter_reason(bank: &BankSizing) -> String {
    if bank.recharge > READY {
        format!("a stuck coil's heat; {READY} not met")
    } else {
        format!("recharge within {READY}")
    }
}
