//! The discharge unit: capacitor, limiter, bleed, rectifier, fuse, supply.

use super::conductors::Demand;
use super::{Figure, Load, Stress, WireClass, Work};
use crate::diag::Diagnostic;
use crate::drives::{Pairing, UsePlan, WITHIN_PANEL};
use crate::electrics::bank::{Bank, Coil, electrolytic_esr};
use crate::electrics::charging::{self, RectifiedCharge};
use crate::electrics::conductor::COPPER_PER_KELVIN;
use crate::electrics::discharge::Discharge;
use crate::electrics::preferred::{self, Series};
use crate::electrics::rectifier::{Rectifier, sine_peak};
use crate::electrics::{fuse, supply};
use crate::parse::{BarId, ControlId, DriveModel, Solenoid, SupplyKind, SupplyUse};
use crate::units::{Amps, Farads, Joules, Length, Ohms, Seconds, Volts, Watts, WireSize};

#[derive(Clone, Debug)]
pub struct SolenoidSizing {
    pub bank: Option<BankSizing>,
    pub fuse: Amps,
    /// What the supply should be able to give.
    pub supply: Amps,
}

/// The discharge unit's values.
#[derive(Clone, Debug)]
pub struct BankSizing {
    pub capacitor: Farads,
    pub capacitor_voltage: Volts,
    pub limiter: Ohms,
    pub limiter_power: Watts,
    pub bleed: Ohms,
    pub bleed_power: Watts,
    pub rectifier_current: Amps,
    pub rectifier_voltage: Volts,
    /// On the charged capacitor at the supply's rated voltage.
    pub rest: Volts,
    /// The highest it may come to: supply unloaded, mains high.
    pub highest: Volts,
    pub recharge: Seconds,
    pub discharged_in: Seconds,
    pub stuck: Amps,
    /// The control that fires most coils at once, and how many.
    pub worst_control: ControlId,
    pub together: usize,
    /// One coil's discharge in the worst corner, with its needs.
    pub worst: Discharge,
    pub worst_turnout: BarId,
    pub energy: Joules,
    pub peak: Amps,
    pub needs: (Joules, Amps),
    /// Through the control and the common return in the opposite corner: supply unloaded and mains
    /// high, capacitor at the high end, coils cold. What switches must bear.
    pub surge: Amps,
    /// Nothing listed was enough: the largest capacitor stands here.
    pub enough: bool,
}

/// Capacitor tolerance of ordinary electrolytics (from memory), and the supply's under load.
const CAPACITOR_LOW: f64 = 0.8;
const CAPACITOR_HIGH: f64 = 1.2;
const SUPPLY_LOW: f64 = 0.9;
/// Mains tolerance (from memory), on top of the winding's rise without load.
const MAINS_HIGH: f64 = 1.1;
/// Rise without load where the builder did not measure it: 1.25 for small transformers (domain
/// figures 1.10–1.25), 1.1 for regulated DC.
const UNLOADED_AC: f64 = 1.25;
const UNLOADED_DC: f64 = 1.1;
/// A bank ready again within this time (common practice, no source).
const READY: Seconds = Seconds::new(2.0);
/// The bank down to a tenth within this time after switching off.
const EMPTY: Seconds = Seconds::new(60.0);
/// What a coil stands for good while its contact sticks (common practice, no source).
const STUCK_POWER: Watts = Watts::new(1.0);
/// A decoder with its own discharge unit (from memory).
const DECODER: Amps = Amps::new(0.25);

pub(super) fn size(work: &mut Work, use_plan: &UsePlan) {
    let pairing_of = |t: BarId| work.plan.of(t).map(|p| p.pairing);
    let fired: Vec<(ControlId, Vec<BarId>)> = use_plan
        .groups
        .iter()
        .filter(|(_, m)| pairing_of(m[0]) == Some(Pairing::SolenoidDischarge))
        .cloned()
        .collect();
    let decoders =
        use_plan.groups.iter().filter(|(_, m)| pairing_of(m[0]) == Some(Pairing::SolenoidDecoder)).count();
    let direct = use_plan
        .groups
        .iter()
        .filter(|(_, m)| pairing_of(m[0]) == Some(Pairing::SolenoidDirect))
        .map(|(_, m)| m.iter().map(|t| use_plan.supply.voltage / solenoid(work, *t).coil).sum::<Amps>())
        .fold(Amps::new(0.0), Amps::max);
    let bank = (!fired.is_empty()).then(|| bank(work, use_plan, &fired));
    if bank.is_none() {
        tail_wires(work, use_plan, direct);
    }
    let mut current = direct + DECODER * decoders as f64;
    if let Some(bank) = &bank {
        current = current + charging_current(use_plan, bank);
    }
    let fuse = fuse::rating_at_least(current * 1.25).unwrap_or(Amps::new(10.0));
    let supply = (current * 1.5).max(fuse);
    work.supply_wire("points", current, fuse, use_plan.supply.voltage);
    if let Some(available) = use_plan.supply.current {
        for (what, current) in [("supply of the points", current), ("fuse of the points' supply", fuse)] {
            work.sizing.loads.push(Load {
                what: what.into(),
                current,
                limit: available,
                pulse: false,
                belongs_to: Some(SupplyUse::Solenoids),
            });
        }
    }
    work.sizing.figures.push(
        Figure::new("points", "supply current, lasting", current)
            .input("decoders", decoders)
            .input("coils fired straight from the supply", direct)
            .input("to be bought: at least", supply)
            .by("charging current with a stuck contact + decoders + direct coils", "Ohm's law")
            .note("a supply of 1.5 times that, and no less than the fuse, stays cool"),
    );
    work.sizing.figures.push(
        Figure::new("points", "fuse, time-lag", fuse).input("lasting current", current).by(
            "first rating ≥ 1.25 · lasting current",
            "ratings: IEC 60127 (R10); factor: common practice, no source",
        ),
    );
    work.sizing.solenoids = Some(SolenoidSizing { bank, fuse, supply });
}

/// While a contact sticks the limiter bears the whole supply; that is the lasting worst.
fn charging_current(use_plan: &UsePlan, bank: &BankSizing) -> Amps {
    match use_plan.supply.kind {
        SupplyKind::Ac => use_plan.supply.voltage / bank.limiter,
        _ => bank.stuck,
    }
}

fn solenoid(work: &Work, turnout: BarId) -> Solenoid {
    match &work.document[*work.document[turnout].drive].model {
        DriveModel::Solenoid(s) => s.clone(),
        _ => unreachable!("members of this use are solenoids"),
    }
}

/// What the bank shows at a supply voltage, before the bleed takes its share.
fn charged(use_plan: &UsePlan, factor: f64) -> Volts {
    let v = use_plan.supply.voltage * factor;
    if use_plan.supply.kind == SupplyKind::Ac { Rectifier::Bridge.peak_output(v) } else { v }
}

fn highest(use_plan: &UsePlan) -> Volts {
    let s = &use_plan.supply;
    match s.kind {
        SupplyKind::Ac => {
            let unloaded = s.unloaded.unwrap_or(s.voltage * UNLOADED_AC);
            Rectifier::Bridge.peak_output(unloaded * MAINS_HIGH)
        }
        _ => s.unloaded.unwrap_or(s.voltage * UNLOADED_DC),
    }
}

fn bank(work: &mut Work, use_plan: &UsePlan, fired: &[(ControlId, Vec<BarId>)]) -> BankSizing {
    let low = charged(use_plan, SUPPLY_LOW);
    let high = highest(use_plan);
    wires(work, fired, low);
    let rated = preferred::rated_voltage_at_least(high * 1.1).unwrap_or(Volts::new(100.0));

    let mut choice = None;
    for c in preferred::BANK_CAPACITANCES {
        let trial = Trial { capacitor: c, rated, low };
        let worst = trial.worst(work, use_plan, fired);
        let enough = worst.enough;
        choice = Some((c, worst));
        if enough {
            break;
        }
    }
    let Some((capacitor, worst)) = choice else { unreachable!("the list of capacitors is not empty") };
    let (limiter, recharge) = limiter(use_plan, capacitor, worst.coil);
    let bleed = bleed_for(capacitor);
    let rest = charged(use_plan, 1.0) * (bleed / (bleed + limiter));
    let stuck = charging::stuck_contact_current(charged(use_plan, 1.0), limiter, worst.coil);
    let limiter_power = resistor_rating(charging::power(lasting(use_plan, limiter), limiter));
    let bleed_power = resistor_rating(charging::power(high / bleed, bleed));
    let discharged_in = charging::bleed_time(bleed, capacitor, rest, rest * 0.1);
    work.sizing.stresses.push(Stress {
        what: "the capacitor of the discharge unit".into(),
        voltage: high,
        rating: rated,
    });
    let bank = BankSizing {
        capacitor,
        capacitor_voltage: rated,
        limiter,
        limiter_power,
        bleed,
        bleed_power,
        rectifier_current: Amps::new(1.0).max(Amps::new((2.0 * stuck.amps()).ceil())),
        rectifier_voltage: rectifier_rating(use_plan),
        rest,
        highest: high,
        recharge,
        discharged_in,
        stuck,
        worst_control: worst.control,
        together: worst.together,
        worst: worst.discharge,
        worst_turnout: worst.turnout,
        energy: worst.energy,
        peak: worst.peak,
        needs: worst.needs,
        surge: surge(work, fired, capacitor, rated, high),
        enough: worst.enough,
    };
    if !bank.enough {
        work.diagnostics.push(too_weak(work, &bank));
    }
    figures(work, use_plan, &bank, high);
    bank
}

fn lasting(use_plan: &UsePlan, limiter: Ohms) -> Amps {
    // With a winding, its rms voltage without the diodes' drop is on the safe side.
    use_plan.supply.voltage / limiter
}

/// Ratings of resistors in the shops (common practice, no source), half as much again as needed.
fn resistor_rating(power: Watts) -> Watts {
    let wanted = power * 1.5;
    [0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 17.0, 25.0, 50.0]
        .map(Watts::new)
        .into_iter()
        .find(|w| *w >= wanted)
        .unwrap_or(Watts::new(100.0))
}

/// Peak inverse is the winding's peak; twice that is left for mains peaks (from memory).
fn rectifier_rating(use_plan: &UsePlan) -> Volts {
    let wanted = sine_peak(use_plan.supply.voltage) * 2.0;
    [50.0, 100.0, 200.0].map(Volts::new).into_iter().find(|v| *v >= wanted).unwrap_or(Volts::new(400.0))
}

fn bleed_for(capacitor: Farads) -> Ohms {
    let most = EMPTY / (capacitor * (10f64).ln());
    Series::E12.at_most(most).unwrap_or(Ohms::new(1000.0))
}

/// As large as the recharge time allows, or larger where a stuck contact would heat the coil.
fn limiter(use_plan: &UsePlan, capacitor: Farads, coil: Ohms) -> (Ohms, Seconds) {
    let one_ohm = Ohms::new(1.0);
    let time = |r: Ohms| match use_plan.supply.kind {
        SupplyKind::Ac => {
            RectifiedCharge { supply: use_plan.supply.voltage, resistance: r, capacitance: capacitor }
                .time_to(0.95)
        }
        _ => charging::time_to(0.95, r, capacitor),
    };
    let by_time = one_ohm * (READY / time(one_ohm));
    let current = Amps::new((STUCK_POWER.watts() / coil.ohms()).sqrt());
    let by_heat = charged(use_plan, 1.0) / current - coil;
    let chosen = match (Series::E12.at_most(by_time), Series::E12.at_least(by_heat.max(one_ohm))) {
        (Some(a), Some(b)) => a.max(b),
        (a, b) => a.or(b).unwrap_or(Ohms::new(100.0)),
    };
    (chosen, time(chosen))
}

/// The highest pulse through any control.
fn surge(
    work: &Work,
    fired: &[(ControlId, Vec<BarId>)],
    capacitor: Farads,
    rated: Volts,
    high: Volts,
) -> Amps {
    let cold = work.document.layout.ambient.0.degrees();
    let mut most = Amps::new(0.0);
    for (_, members) in fired {
        let mut all = Amps::new(0.0);
        for turnout in members {
            let model = solenoid(work, *turnout);
            let coil = model.coil * (1.0 + COPPER_PER_KELVIN * (cold - 20.0));
            let (feed, shared) = path(work, *turnout);
            let bank = Bank {
                voltage: high,
                capacitance: capacitor * CAPACITOR_HIGH,
                esr: electrolytic_esr(capacitor, rated),
                common_return: shared,
            };
            let seen = Coil { resistance: coil, inductance: model.inductance, feed };
            if let Some(discharge) = bank.discharge_per_coil(seen, members.len() as u32) {
                all = all + discharge.peak().1;
            }
        }
        most = most.max(all);
    }
    most
}

struct Trial {
    capacitor: Farads,
    rated: Volts,
    low: Volts,
}

struct Worst {
    control: ControlId,
    turnout: BarId,
    together: usize,
    discharge: Discharge,
    coil: Ohms,
    energy: Joules,
    peak: Amps,
    needs: (Joules, Amps),
    enough: bool,
    margin: f64,
}

impl Trial {
    /// The coil that comes off worst over all controls, in the worst corner: capacitor at the low
    /// end of its tolerance, supply low, coils and wires hot.
    fn worst(&self, work: &Work, use_plan: &UsePlan, fired: &[(ControlId, Vec<BarId>)]) -> Worst {
        let hot = work.document.layout.ambient.1.degrees();
        let bleed = bleed_for(self.capacitor);
        let mut worst: Option<Worst> = None;
        for (control, members) in fired {
            for turnout in members {
                let model = solenoid(work, *turnout);
                let coil = model.coil * (1.0 + COPPER_PER_KELVIN * (hot - 20.0));
                let (limiter, _) = limiter(use_plan, self.capacitor, coil);
                let (own, shared) = path(work, *turnout);
                let bank = Bank {
                    voltage: self.low * (bleed / (bleed + limiter)),
                    capacitance: self.capacitor * CAPACITOR_LOW,
                    esr: electrolytic_esr(self.capacitor, self.rated),
                    common_return: shared,
                };
                let seen = Coil { resistance: coil, inductance: model.inductance, feed: own };
                let Some(discharge) = bank.discharge_per_coil(seen, members.len() as u32) else { continue };
                let (energy, peak) = (discharge.energy_in(coil), discharge.peak().1);
                let margin = (energy / model.energy).min(peak / model.current);
                if worst.as_ref().is_none_or(|w| margin < w.margin) {
                    worst = Some(Worst {
                        control: *control,
                        turnout: *turnout,
                        together: members.len(),
                        discharge,
                        coil,
                        energy,
                        peak,
                        needs: (model.energy, model.current),
                        enough: margin >= 1.0,
                        margin,
                    });
                }
            }
        }
        worst.unwrap_or_else(|| unreachable!("coils have a resistance above zero: the file is checked"))
    }
}

/// Resistance of what a coil has for itself, and of what it shares with the others that its control
/// fires: along the cable one line and one return carry the current of all.
fn path(work: &Work, turnout: BarId) -> (Ohms, Ohms) {
    let (tail, shared) = lengths(work, turnout);
    let line = work.sizing.wire(WireClass::Command);
    let back = work.sizing.wire(WireClass::Return);
    let both = |length| work.resistance(line, length) + work.resistance(back, length);
    (both(tail), both(shared))
}

/// From the board's strip to the drive, and from the panel to that strip.
fn lengths(work: &Work, turnout: BarId) -> (Length, Length) {
    let tail = work.runs.strip_to_drive[turnout.0];
    let cable = work.runs.panel_to_board[work.document.turnout_of(turnout).board.0];
    (tail, cable + WITHIN_PANEL)
}

/// Wire for coils: no more than a twentieth of the bank's voltage lost in the line of the worst
/// coil, and as much in its return (common practice, no source). A stretch that several coils share
/// counts once for each of them, because it carries the current of each.
fn wires(work: &mut Work, fired: &[(ControlId, Vec<BarId>)], low: Volts) {
    let demand = |class, current, length| Demand {
        part: "points",
        class,
        current,
        lasting: Amps::new(0.5),
        length,
        allowed_drop: low * 0.05,
        least: WireSize::mm2(0.5),
    };
    let mut demands = Vec::new();
    for (_, members) in fired {
        let n = members.len() as f64;
        for turnout in members {
            let current = low / solenoid(work, *turnout).coil;
            let (tail, shared) = lengths(work, *turnout);
            demands.push(demand(WireClass::Command, current, tail + shared * n));
            demands.push(demand(WireClass::Return, current, tail + shared * n));
            demands.push(demand(WireClass::Common, current * n, WITHIN_PANEL));
        }
    }
    for class in [WireClass::Command, WireClass::Return, WireClass::Common] {
        let weight = |d: &Demand| d.current.amps() * d.length.metres();
        let of_class = demands.iter().copied().filter(|d| d.class == class);
        if let Some(worst) = of_class.max_by(|a, b| weight(a).total_cmp(&weight(b))) {
            work.choose(worst);
        }
    }
}

/// Without a bank the lines carry a decoder's pulse or the supply's current.
fn tail_wires(work: &mut Work, use_plan: &UsePlan, direct: Amps) {
    let longest = use_plan.members.iter().map(|t| work.runs.panel_to_drive(work.document, *t));
    let length = longest.fold(Length::new(0.0), Length::max);
    for class in [WireClass::Command, WireClass::Return, WireClass::Common] {
        work.choose(Demand {
            part: "points",
            class,
            current: direct.max(Amps::new(2.0)),
            // A button may be held.
            lasting: direct.max(Amps::new(0.5)),
            length,
            allowed_drop: use_plan.supply.voltage * 0.1,
            least: WireSize::mm2(0.5),
        });
    }
}

fn too_weak(work: &Work, bank: &BankSizing) -> Diagnostic {
    let control = &work.document[bank.worst_control];
    let turnout = &work.document[bank.worst_turnout];
    Diagnostic::error(
        "bank-too-weak",
        format!(
            "no listed capacitor throws all turnouts of {} for sure: with {} fired together, {} gets {} and \
             {} of the {} and {} that its drive needs",
            *control.name, bank.together, turnout.name, bank.energy, bank.peak, bank.needs.0, bank.needs.1
        ),
    )
    .label(control.span, format!("throws {} at once", bank.together))
    .help(
        "use a supply of a higher voltage (up to 24 V AC), thicker wire for the common return, or split the \
         group over two controls",
    )
}

/// Which of the two wishes ruled.
fn limiter_reason(bank: &BankSizing) -> String {
    if bank.recharge > READY {
        format!("a stuck coil's heat; {READY} not met")
    } else {
        format!("recharge within {READY}")
    }
}

fn figures(work: &mut Work, use_plan: &UsePlan, bank: &BankSizing, high: Volts) {
    let document = work.document;
    let turnout = &document[bank.worst_turnout];
    let typical = document[*turnout.drive].typical.join(", ");
    let note = if typical.is_empty() {
        String::new()
    } else {
        format!("typical, measure yours: {typical} of drive {}", *document[*turnout.drive].name)
    };
    let control = document[bank.worst_control].name.value.clone();
    let figures = [
        Figure::new("points", "capacitor", format!("{}, {}", bank.capacitor, bank.capacitor_voltage))
            .input("worst control", format!("{control}, {} at once", bank.together))
            .input("bank at the start, weakest corner", bank.worst.voltage_at(Seconds::new(0.0)))
            .input("all resistance in the loop", bank.worst.resistance())
            .input("capacitance in the worst corner", format!("{CAPACITOR_LOW} of the printed value"))
            .input("energy in the coil", format!("{} (needs {})", bank.energy, bank.needs.0))
            .input(
                "peak current in the coil, weakest corner",
                format!("{} (needs {})", bank.peak, bank.needs.1),
            )
            .by(
                "smallest preferred C with W_coil = ½·(C/N)·V²·R_coil/R ≥ need and I_peak ≥ need, \
                 R = R_coil + R_line + N·(R_return + ESR)",
                "series RLC discharge (textbook); values IEC 60063 E6",
            )
            .note(note.clone()),
        Figure::new("points", "capacitor's rated voltage", bank.capacitor_voltage)
            .input("highest voltage without load", high)
            .by(
                "first rating ≥ 1.1 · highest; AC: √2·(unloaded · 1.1) − 1.4 V",
                "common practice; mains +10 % from memory",
            ),
        Figure::new("points", "stored energy, at most", supply::stored_energy(bank.capacitor, bank.highest))
            .input("charged to", bank.highest)
            .input("capacitor", bank.capacitor)
            .input("as a rule", supply::stored_energy(bank.capacitor, bank.rest))
            .by("W = ½·C·V²", "textbook"),
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
            .by(
                if use_plan.supply.kind == SupplyKind::Ac {
                    "∫ dv/(mean charging current) over half cycles of the rectified sine"
                } else {
                    "t = −R·C·ln(1 − 0.95)"
                },
                "textbook",
            ),
        Figure::new("points", "current while a contact sticks", bank.stuck)
            .input("limiter", bank.limiter)
            .by("I = V/(R_limiter + R_coil)", "Ohm's law"),
        Figure::new("points", "bleed", format!("{}, {}", bank.bleed, bank.bleed_power))
            .input("down to a tenth in", bank.discharged_in)
            .by("largest E12 value with R·C·ln 10 ≤ 60 s", "IEC 60063; time: common practice, no source"),
        Figure::new("points", "strongest pulse through a control", bank.surge)
            .input("most coils at once", bank.together)
            .input("bank at its highest", high)
            .input("capacitance", format!("{CAPACITOR_HIGH} of the printed value"))
            .by(
                "sum of the coils' peaks, supply unloaded, mains high, coils cold",
                "series RLC discharge (textbook)",
            )
            .note("choose switches and buttons for at least this pulse"),
    ];
    work.sizing.figures.extend(figures);
}
