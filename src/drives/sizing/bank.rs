//! The discharge unit's parts, once its capacitance is known.

use super::fired::{BankChoice, Fired};
use super::tolerance::{MAINS_HIGH, UNLOADED_AC, UNLOADED_DC, WINDING_LOW};
use crate::drives::SupplyPlan;
use crate::electrics::bank::electrolytic_esr;
use crate::electrics::charging::{self, RectifiedCharge};
use crate::electrics::preferred::{self, Series};
use crate::electrics::rectifier::{Rectifier, sine_peak};
use crate::parse::SupplyKind;
use crate::units::{Amps, Farads, Ohms, Seconds, Volts, Watts};

/// What charges a bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BankSupply {
    pub kind: SupplyKind,
    /// As rated; rms if it alternates.
    pub voltage: Volts,
    /// Without load, if that was measured.
    pub unloaded: Option<Volts>,
}

/// The discharge unit's values.
#[derive(Clone, Debug)]
pub struct BankSizing {
    pub choice: BankChoice,
    /// All of it together.
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
    /// The lowest it is charged to: supply low.
    pub lowest: Volts,
    /// The highest it may come to: supply unloaded, mains high.
    pub highest: Volts,
    pub recharge: Seconds,
    pub discharged_in: Seconds,
    /// Through a coil whose contact sticks.
    pub stuck: Amps,
    /// What firing it in simulation gave; `None` while nothing has been fired.
    pub fired: Option<Fired>,
}

/// A bank ready again within this time (common practice, no source).
pub(super) const READY: Seconds = Seconds::new(2.0);
/// The bank down to a tenth within this time after switching off.
const EMPTY: Seconds = Seconds::new(60.0);
/// What a coil stands for good while its contact sticks (common practice, no source).
pub const STUCK_POWER: Watts = Watts::new(1.0);

impl BankSizing {
    /// For a capacitance, with the coils (at their hottest) that a contact may stick on.
    pub fn of(supply: BankSupply, choice: BankChoice, coils: &[Ohms]) -> BankSizing {
        let capacitor = choice.total();
        let high = supply.highest();
        let limiter = limiter(supply, capacitor, coils);
        let bleed = bleed_for(capacitor);
        let held = |v: Volts| v * (bleed / (bleed + limiter));
        let rest = held(supply.charged(1.0));
        let least = coils.iter().copied().fold(Ohms::new(f64::INFINITY), Ohms::min);
        let stuck = charging::stuck_contact_current(supply.charged(1.0), limiter, least);
        BankSizing {
            choice,
            capacitor,
            capacitor_voltage: rated(high),
            limiter,
            limiter_power: resistor_rating(charging::power(supply.voltage / limiter, limiter)),
            bleed,
            bleed_power: resistor_rating(charging::power(high / bleed, bleed)),
            rectifier_current: Amps::new(1.0).max(Amps::new((2.0 * stuck.amps()).ceil())),
            rectifier_voltage: rectifier_rating(supply.voltage),
            rest,
            lowest: held(supply.charged(WINDING_LOW)),
            highest: high,
            recharge: supply.time_to(0.95, limiter, capacitor),
            discharged_in: charging::bleed_time(bleed, capacitor, rest, rest * 0.1),
            stuck,
            fired: None,
        }
    }

    /// Series resistance of all the capacitors together.
    pub fn esr(&self) -> Ohms {
        electrolytic_esr(self.choice.each, self.capacitor_voltage) / self.choice.count as f64
    }

    /// How often in a minute it can be fired with a full bank.
    pub fn throws_per_minute(&self) -> f64 {
        (60.0 / self.recharge.seconds()).floor()
    }
}

/// The rated voltage of the capacitors: the first a tenth above the highest they meet.
fn rated(highest: Volts) -> Volts {
    preferred::rated_voltage_at_least(highest * 1.1).unwrap_or(Volts::new(100.0))
}

impl BankSupply {
    /// What a bank shows with the supply at a share of its rated voltage, before the bleed takes its part.
    pub fn charged(&self, share: f64) -> Volts {
        let v = self.voltage * share;
        if self.kind == SupplyKind::Ac { Rectifier::Bridge.peak_output(v) } else { v }
    }

    /// The highest voltage on the bank: supply unloaded, mains high.
    pub fn highest(&self) -> Volts {
        match self.kind {
            SupplyKind::Ac => {
                let unloaded = self.unloaded.unwrap_or(self.voltage * UNLOADED_AC);
                Rectifier::Bridge.peak_output(unloaded * MAINS_HIGH)
            }
            _ => self.unloaded.unwrap_or(self.voltage * UNLOADED_DC),
        }
    }

    /// Time to charge a bank from empty to a share of what it would come to.
    pub fn time_to(&self, share: f64, limiter: Ohms, capacitor: Farads) -> Seconds {
        match self.kind {
            SupplyKind::Ac => {
                RectifiedCharge { supply: self.voltage, resistance: limiter, capacitance: capacitor }
                    .time_to(share)
            }
            _ => charging::time_to(share, limiter, capacitor),
        }
    }
}

impl From<&SupplyPlan> for BankSupply {
    fn from(plan: &SupplyPlan) -> BankSupply {
        BankSupply { kind: plan.kind, voltage: plan.voltage, unloaded: plan.unloaded }
    }
}

/// Ratings of resistors in the shops (common practice, no source), half as much again as needed.
pub fn resistor_rating(power: Watts) -> Watts {
    let wanted = power * 1.5;
    [0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 17.0, 25.0, 50.0]
        .map(Watts::new)
        .into_iter()
        .find(|w| *w >= wanted)
        .unwrap_or(Watts::new(100.0))
}

/// Peak inverse is the winding's peak; twice that is left for mains peaks (from memory).
fn rectifier_rating(supply: Volts) -> Volts {
    let wanted = sine_peak(supply) * 2.0;
    [50.0, 100.0, 200.0].map(Volts::new).into_iter().find(|v| *v >= wanted).unwrap_or(Volts::new(400.0))
}

fn bleed_for(capacitor: Farads) -> Ohms {
    let most = EMPTY / (capacitor * (10f64).ln());
    Series::E12.at_most(most).unwrap_or(Ohms::new(1000.0))
}

/// As large as the recharge time allows, or larger where a stuck contact would heat a coil.
fn limiter(supply: BankSupply, capacitor: Farads, coils: &[Ohms]) -> Ohms {
    let one_ohm = Ohms::new(1.0);
    let by_time = one_ohm * (READY / supply.time_to(0.95, one_ohm, capacitor));
    let spares = |coil: &Ohms| {
        let current = Amps::new((STUCK_POWER.watts() / coil.ohms()).sqrt());
        supply.charged(1.0) / current - *coil
    };
    let by_heat = coils.iter().map(spares).fold(one_ohm, Ohms::max);
    match (Series::E12.at_most(by_time), Series::E12.at_least(by_heat)) {
        (Some(a), Some(b)) => a.max(b),
        (a, b) => a.or(b).unwrap_or(Ohms::new(100.0)),
    }
}
