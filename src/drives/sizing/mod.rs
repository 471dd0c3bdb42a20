//! Values for every part and wire, each with its inputs, formula and source.
//!
//! Most is by closed forms. The discharge unit is chosen by firing the wired circuit in simulation, which
//! needs the circuit first: so it is sized twice, the second time with what [`Fired`] brings back. What the
//! figures leave out is said in their notes.

mod bank;
mod bank_figures;
mod branches;
mod conductors;
mod figure;
mod fired;
mod left_out;
mod motors;
mod schemes;
mod servos;
mod sharing;
mod solenoids;
mod tolerance;
mod track;
pub mod typical;

pub use bank::{BankSizing, BankSupply, STUCK_POWER, resistor_rating};
pub(crate) use bank_figures::strongest;
pub use bank_figures::{STRONGEST, WEAKEST, bank_parts, to_millivolts, trigger_words, with_losses};
pub use branches::{Branch, Protection};
pub use figure::Figure;
pub use fired::{BankChoice, CoilPulse, Fired, Loss, MARGIN, Needs, Remedy, Shot, Trigger};
pub use left_out::{LOOK_FIRST, SHORT as LOOK_FIRST_SHORT, left_out_of};
pub use schemes::Scheme;
pub use servos::{Controllers, LeadLimit, ServoVoltage};
pub use sharing::{Sharing, Verdict};
pub use solenoids::{SolenoidSizing, coil_at, hot_coils, solenoid};
pub use track::{COIN, TrackRun};

use super::{Plan, Runs};
use crate::diag::Diagnostic;
use crate::electrics::fuse;
use crate::electrics::supply::SourceKind;
use crate::parse::{Document, SupplyUse};
use crate::units::{Amps, Volts, WireSize};
use std::collections::BTreeMap;

/// Wires that are sized together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WireClass {
    /// From the plug-in supply to what it feeds.
    Supply,
    /// Positive or negative that the controls share.
    Common,
    /// The drives' common return.
    Return,
    /// From a control to a drive.
    Command,
    /// Inputs, pulses, data.
    Signal,
    ServoSupply,
    ServoLead,
    TrackBus,
    Dropper,
    FrogFeed,
}

impl WireClass {
    pub const ALL: [WireClass; 10] = [
        WireClass::Supply,
        WireClass::Common,
        WireClass::Return,
        WireClass::Command,
        WireClass::Signal,
        WireClass::ServoSupply,
        WireClass::ServoLead,
        WireClass::TrackBus,
        WireClass::Dropper,
        WireClass::FrogFeed,
    ];

    pub fn word(self) -> &'static str {
        match self {
            WireClass::Supply => "supply",
            WireClass::Common => "common of the controls",
            WireClass::Return => "common return",
            WireClass::Command => "drive lines",
            WireClass::Signal => "signal lines",
            WireClass::ServoSupply => "servo supply",
            WireClass::ServoLead => "servo leads",
            WireClass::TrackBus => "track bus",
            WireClass::Dropper => "droppers",
            WireClass::FrogFeed => "frog feeds",
        }
    }
}

/// A current and what must bear it.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// "the fuse of the motors' supply"
    pub what: String,
    pub current: Amps,
    pub limit: Amps,
    /// Short pulses: an excess is a warning, not an error.
    pub pulse: bool,
    /// Which kind of drive it belongs to; `None`: the track.
    pub belongs_to: Option<SupplyUse>,
}

/// The highest voltage on a capacitor and its rating.
#[derive(Clone, Debug, PartialEq)]
pub struct Stress {
    pub what: String,
    pub voltage: Volts,
    pub rating: Volts,
}

#[derive(Clone, Debug)]
pub struct MotorSizing {
    pub fuse: Amps,
    /// All motors stalled at their stops.
    pub standing: Amps,
    /// What the supply should be able to give.
    pub supply: Amps,
    /// At the motor that comes off worst, all of them stalled.
    pub at_farthest: Volts,
    /// The ways to reverse these motors, side by side.
    pub schemes: Vec<Scheme>,
}

#[derive(Clone, Debug)]
pub struct ServoSizing {
    pub fuse: Amps,
    /// With the stated number moving, or all of them if their start is not staggered.
    pub worst: Amps,
    pub supply: Amps,
    /// Value of the bulk capacitor, as printed.
    pub bulk: String,
    /// At the farthest servo, in the worst case.
    pub at_servo: Volts,
    /// At each servo.
    pub voltages: Vec<ServoVoltage>,
    /// How long a lead of each size may be, thinnest first.
    pub leads: Vec<LeadLimit>,
    /// What each board needs.
    pub controllers: Vec<Controllers>,
}

/// The fuse link for a lasting load on a regulated supply, and what the supply should be able to give: its
/// margin, and no less than the fuse. No finer fuse than 100 mA; `None` above what links there are.
pub fn fuse_and_supply(load: Amps) -> Option<(Amps, Amps)> {
    let fuse = fuse::rating_for(load.max(Amps::new(0.08)))?;
    Some((fuse, SourceKind::Regulated.rating_for(load).max(fuse)))
}

/// The product of this stage.
#[derive(Clone, Debug)]
pub struct Sizing {
    wires: BTreeMap<WireClass, WireSize>,
    pub solenoids: Option<SolenoidSizing>,
    pub slow_motion: Option<MotorSizing>,
    pub servos: Option<ServoSizing>,
    /// Board by board, in the order of the file.
    pub track: Vec<TrackRun>,
    /// What protects each branch.
    pub branches: Vec<Branch>,
    /// Which circuits may have one supply.
    pub sharing: Vec<Sharing>,
    pub loads: Vec<Load>,
    pub stresses: Vec<Stress>,
    pub figures: Vec<Figure>,
}

impl Sizing {
    /// The size of the wires of a class: at least half a square millimetre where nothing asks for
    /// more, because thinner wire breaks at screws (common practice, no source).
    pub fn wire(&self, class: WireClass) -> WireSize {
        self.wires.get(&class).copied().unwrap_or(WireSize::mm2(0.5))
    }

    /// The discharge unit, if there is one.
    pub fn bank(&self) -> Option<&BankSizing> {
        self.solenoids.as_ref()?.bank.as_ref()
    }

    /// What firing it gave.
    pub fn fired(&self) -> Option<&Fired> {
        self.bank()?.fired.as_ref()
    }

    /// The classes that something was sized for.
    pub fn wires(&self) -> impl Iterator<Item = (WireClass, WireSize)> + '_ {
        self.wires.iter().map(|(c, s)| (*c, *s))
    }
}

/// Sizes everything. The diagnostics say what no listed part or wire can do. Without `fired` the
/// discharge unit stands in for the one that will be chosen.
pub fn size(
    document: &Document,
    plan: &Plan,
    runs: &Runs,
    fired: Option<&Fired>,
) -> (Sizing, Vec<Diagnostic>) {
    let mut work = Work {
        document,
        plan,
        runs,
        sizing: Sizing {
            wires: BTreeMap::new(),
            solenoids: None,
            slow_motion: None,
            servos: None,
            track: Vec::new(),
            branches: Vec::new(),
            sharing: sharing::table(document, plan),
            loads: Vec::new(),
            stresses: Vec::new(),
            figures: Vec::new(),
        },
        diagnostics: Vec::new(),
    };
    for use_plan in &plan.uses {
        match use_plan.kind {
            SupplyUse::Solenoids => solenoids::size(&mut work, use_plan, fired),
            SupplyUse::SlowMotion => motors::size(&mut work, use_plan),
            SupplyUse::Servos => servos::size(&mut work, use_plan),
        }
    }
    track::size(&mut work);
    work.sizing.branches = branches::all(&mut work);
    work.say_what_is_wired();
    (work.sizing, work.diagnostics)
}

/// What the steps share while they work.
struct Work<'a> {
    document: &'a Document,
    plan: &'a Plan,
    runs: &'a Runs,
    sizing: Sizing,
    diagnostics: Vec<Diagnostic>,
}

#[cfg(test)]
mod tests;
