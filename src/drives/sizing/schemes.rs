//! The ways to reverse the layout's slow-motion motors, side by side.

use super::tolerance::WINDING_LOW;
use super::typical;
use crate::drives::{Pairing, Plan, UsePlan};
use crate::electrics::motor::{
    HALF_WAVE_FORM_FACTOR, INDICATOR_DROP, Reversal, SLOWING_RESISTOR, Series, stalled_resistance,
    winding_for_half_wave,
};
use crate::electrics::supply::SourceKind;
use crate::parse::{Document, DriveModel, SlowMotion};
use crate::units::{Amps, Volts};

/// One way to reverse all slow-motion motors of the layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Scheme {
    pub reversal: Reversal,
    /// Whether the plan wires the layout's toggles this way.
    pub in_use: bool,
    /// Wires from switches to motors, all together; motors thrown by one control share theirs.
    pub lines: usize,
    /// What to buy: voltage (of one half, if split; rms for AC) and current.
    pub supply: Volts,
    pub current: Amps,
    /// On the stalled motor, mean.
    pub motor: Volts,
    /// The same behind two antiparallel light-emitting diodes.
    pub behind_diodes: Volts,
    /// The same behind these and a resistor of 470 Ω.
    pub behind_resistor: Volts,
    /// Through the diode and resistor, and so through the motor.
    pub slowed_current: Amps,
}

impl Scheme {
    pub fn name(&self) -> &'static str {
        match self.reversal {
            Reversal::DoublePole => "double-pole reversing, one DC supply",
            Reversal::SplitSupply => "single-pole, split DC supply",
            Reversal::HalfWave => "single-pole, half-wave AC, two diodes at the switch",
        }
    }

    /// "12 V DC, 250 mA"
    pub fn to_buy(&self) -> String {
        match self.reversal {
            Reversal::DoublePole => format!("{} DC, {}", self.supply, self.current),
            Reversal::SplitSupply => format!("twice {} DC in series, {} each", self.supply, self.current),
            Reversal::HalfWave => format!("one winding of {} AC, {}", self.supply, self.current),
        }
    }
}

/// Windings in the shops, rms, up to the limit for supplies of toys (IEC 61558-2-7; list from memory).
const WINDINGS: [f64; 5] = [12.0, 15.0, 16.0, 18.0, 24.0];

/// The three ways for the motors of a use; `one` is the motor that draws most.
pub(super) fn compare(document: &Document, plan: &Plan, use_plan: &UsePlan, standing: Amps) -> Vec<Scheme> {
    let used =
        |pairing| use_plan.members.iter().any(|bar| plan.of(*bar).is_some_and(|b| b.pairing == pairing));
    let models: Vec<(&SlowMotion, Volts)> = use_plan
        .members
        .iter()
        .filter_map(|bar| {
            let drive = document.drive_of(*bar);
            let DriveModel::SlowMotion(model) = &drive.model else { return None };
            Some((model, typical::lowest(drive, model.lowest, model.voltage)))
        })
        .collect();
    let hungriest = models.iter().max_by(|a, b| a.1.total_cmp(&b.1));
    let Some((model, lowest)) = hungriest else { return Vec::new() };
    let motor = stalled_resistance(model.voltage, model.stall);
    let wanted = winding_for_half_wave(*lowest) / WINDING_LOW;
    let winding = WINDINGS.map(Volts::new).into_iter().find(|w| *w >= wanted);
    let winding = winding.unwrap_or(Volts::new(WINDINGS[WINDINGS.len() - 1]));
    let controls = use_plan.groups.len();
    Reversal::ALL
        .into_iter()
        .map(|reversal| {
            let supply = if reversal == Reversal::HalfWave { winding } else { use_plan.supply.voltage };
            let diodes = Series { drop: INDICATOR_DROP, ..Series::NOTHING };
            let slowed = Series { resistance: SLOWING_RESISTOR, ..diodes };
            let left = |series| reversal.motor_voltage(supply, series, motor);
            // Stall currents are for the rated voltage; at another they follow Ohm's law.
            let load = standing * (left(Series::NOTHING) / model.voltage);
            let current = match reversal {
                Reversal::DoublePole | Reversal::SplitSupply => SourceKind::Regulated.rating_for(load),
                Reversal::HalfWave => SourceKind::Transformer.rating_for(load * HALF_WAVE_FORM_FACTOR),
            };
            Scheme {
                reversal,
                in_use: match reversal {
                    Reversal::DoublePole => used(Pairing::MotorReversing),
                    Reversal::SplitSupply => used(Pairing::MotorSplit),
                    Reversal::HalfWave => false,
                },
                lines: controls * reversal.own_wires(),
                supply,
                current,
                motor: left(Series::NOTHING),
                behind_diodes: left(diodes),
                behind_resistor: left(slowed),
                slowed_current: reversal.stalled_current(supply, slowed, motor),
            }
        })
        .collect()
}
