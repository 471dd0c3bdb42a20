//! Solenoids: the wires to begin with, the discharge unit, fuse and supply.

use super::bank::BankSizing;
use super::conductors::Demand;
use super::fired::{BankChoice, Fired};
use super::{Figure, Stress, WireClass, Work, bank_figures};
use crate::diag::Diagnostic;
use crate::drives::{Pairing, UsePlan, WITHIN_PANEL};
use crate::electrics::conductor::COPPER_PER_KELVIN;
use crate::electrics::{fuse, preferred};
use crate::parse::{BarId, ControlId, Document, DriveModel, MOST_DC, Solenoid, SupplyKind};
use crate::units::{Amps, Celsius, Length, Ohms, Volts, WireSize};

#[derive(Clone, Debug)]
pub struct SolenoidSizing {
    pub bank: Option<BankSizing>,
    pub fuse: Amps,
    /// What flows for good at most.
    pub lasting: Amps,
    /// What the supply should be able to give.
    pub supply: Amps,
}

/// A decoder with its own discharge unit (from memory).
const DECODER: Amps = Amps::new(0.25);

pub(super) fn size(work: &mut Work, use_plan: &UsePlan, fired: Option<&Fired>) {
    let pairing_of = |t: BarId| work.plan.of(t).map(|p| p.pairing);
    let discharged: Vec<(ControlId, Vec<BarId>)> = use_plan
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
        .map(|(_, m)| {
            m.iter().map(|t| use_plan.supply.voltage / solenoid(work.document, *t).coil).sum::<Amps>()
        })
        .fold(Amps::new(0.0), Amps::max);
    let bank = (!discharged.is_empty()).then(|| bank(work, use_plan, &discharged, fired));
    if bank.is_none() {
        tail_wires(work, use_plan, direct);
    }
    let mut current = direct + DECODER * decoders as f64;
    if let Some(bank) = &bank {
        current = current + charging_current(use_plan, bank);
    }
    let fuse = fuse::rating_for(current).unwrap_or(Amps::new(10.0));
    let supply = (current * 1.5).max(fuse);
    work.supply_wire("points", current, fuse, use_plan.supply.voltage);
    work.supply_bears(use_plan, [("supply of the points", current), ("fuse of the points' supply", fuse)]);
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
    work.sizing.solenoids = Some(SolenoidSizing { bank, fuse, lasting: current, supply });
}

/// While a contact sticks the limiter bears the whole supply; that is the lasting worst.
fn charging_current(use_plan: &UsePlan, bank: &BankSizing) -> Amps {
    match use_plan.supply.kind {
        SupplyKind::Ac => use_plan.supply.voltage / bank.limiter,
        _ => bank.stuck,
    }
}

/// The solenoid that moves a bar of the solenoids' use.
pub fn solenoid(document: &Document, bar: BarId) -> Solenoid {
    match &document.drive_of(bar).model {
        DriveModel::Solenoid(s) => s.clone(),
        _ => unreachable!("members of this use are solenoids"),
    }
}

/// A coil's resistance at an ambient temperature.
pub fn coil_at(at_20: Ohms, ambient: Celsius) -> Ohms {
    at_20 * (1.0 + COPPER_PER_KELVIN * (ambient.degrees() - 20.0))
}

/// The different coils of some bars, at the highest ambient temperature.
pub fn hot_coils(document: &Document, bars: impl Iterator<Item = BarId>) -> Vec<Ohms> {
    let hottest = document.layout.ambient.1;
    let mut coils: Vec<Ohms> = bars.map(|b| coil_at(solenoid(document, b).coil, hottest)).collect();
    coils.sort_by(Ohms::total_cmp);
    coils.dedup();
    coils
}

/// The discharge unit as the simulation chose it; before it has, the smallest, to have a circuit at all.
fn bank(
    work: &mut Work,
    use_plan: &UsePlan,
    discharged: &[(ControlId, Vec<BarId>)],
    fired: Option<&Fired>,
) -> BankSizing {
    let coils = hot_coils(work.document, discharged.iter().flat_map(|(_, m)| m.iter().copied()));
    let smallest = BankChoice { each: preferred::BANK_CAPACITANCES[0], count: 1 };
    let mut bank = BankSizing::of((&use_plan.supply).into(), fired.map_or(smallest, |f| f.bank), &coils);
    match fired {
        None => wires(work, discharged, bank.lowest),
        Some(fired) => {
            for (class, size) in &fired.wires {
                work.sizing.wires.insert(*class, *size);
            }
            bank.capacitor_voltage = fired.rated;
        }
    }
    bank.fired = fired.cloned();
    work.sizing.stresses.push(Stress {
        what: "the capacitor of the discharge unit".into(),
        voltage: bank.highest,
        rating: bank.capacitor_voltage,
    });
    if bank.highest > MOST_DC {
        work.diagnostics.push(bank_unsafe(work.document, use_plan, bank.highest));
    }
    bank_figures::figures(work, use_plan, &bank);
    bank
}

fn bank_unsafe(document: &Document, use_plan: &UsePlan, highest: Volts) -> Diagnostic {
    let d = Diagnostic::error(
        "unsafe-voltage",
        format!("without load the bank may charge to {highest}, and no more than 60 V DC may be touched (IEC 61140)"),
    )
    .help("use a supply of a lower voltage, or measure its voltage without load and give it as `unloaded`");
    match use_plan.supply.owned {
        Some(id) => d.label(document[id].span, "charges the discharge unit"),
        None => d,
    }
}

/// Wire to begin with: no more than a twentieth of the bank's voltage lost in the line of the worst
/// coil, and as much in its return (common practice, no source). A stretch that several coils share
/// counts once for each of them, because it carries the current of each.
fn wires(work: &mut Work, discharged: &[(ControlId, Vec<BarId>)], low: Volts) {
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
    for (_, members) in discharged {
        let n = members.len() as f64;
        for bar in members {
            let current = low / solenoid(work.document, *bar).coil;
            let tail = work.runs.strip_to_drive[bar.0];
            let shared = work.runs.panel_to_board[work.document.turnout_of(*bar).board.0] + WITHIN_PANEL;
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
