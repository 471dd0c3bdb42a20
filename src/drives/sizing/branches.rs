//! What protects each branch, and whether a short at its far end is ended in time.

use super::tolerance::{REGULATED_LOW, UNLOADED_AC, WINDING_LOW};
use super::{WireClass, Work};
use crate::diag::Diagnostic;
use crate::drives::{Pairing, SUPPLY_LEAD, UsePlan, WITHIN_PANEL};
use crate::electrics::fuse::{self, Characteristic};
use crate::electrics::resettable::{self, Resettable};
use crate::electrics::{conductor, drop, supply};
use crate::parse::{SupplyKind, SupplyUse};
use crate::units::{Amps, Length, Ohms, Seconds, Volts, WireSize};

/// What ends a short.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Protection {
    Fuse {
        characteristic: Characteristic,
        rating: Amps,
    },
    /// The booster or controller, at this current.
    SupplyTrips(Amps),
}

/// A branch from a supply to the farthest thing it feeds.
#[derive(Clone, Debug, PartialEq)]
pub struct Branch {
    pub what: &'static str,
    /// `None`: the track.
    pub belongs_to: Option<SupplyUse>,
    pub load: Amps,
    pub protection: Protection,
    /// A resettable part instead of a fuse link; `None` where none holds the load, or it is too slow.
    pub resettable: Option<Resettable>,
    /// What that holds at the highest ambient temperature.
    pub resettable_holds: Option<Amps>,
    /// The thinnest wire behind the protection without anything else that limits the current.
    pub wire: WireSize,
    /// What that wire may carry for good.
    pub permitted: Amps,
    /// Wires hot, the supply's own winding included.
    pub loop_resistance: Ohms,
    /// Of a dead short at the far end, the supply low.
    pub short: Amps,
    /// What a short must draw for the protection to act for sure: 2.75 times a link's rating, or the
    /// current at which the supply cuts off. A supply that limits itself to less must end it by itself.
    pub opens_from: Amps,
    /// The protection opens within this time at the latest; `None`: not for sure.
    pub opens_within: Option<Seconds>,
    /// Where the branch ends, and what else limits.
    pub note: &'static str,
}

/// Boosters and controllers cut off within this (from memory: some milliseconds to a quarter second).
const TRIP_TIME: Seconds = Seconds::new(0.25);

pub(super) fn all(work: &mut Work) -> Vec<Branch> {
    let mut branches = Vec::new();
    let plan = work.plan;
    for use_plan in &plan.uses {
        let Some((load, rating)) = load_and_fuse(work, use_plan.kind) else { continue };
        let branch = branch(work, use_plan, load, rating);
        if branch.short < branch.opens_from && !limits_itself(use_plan, &branch) {
            complain(work, use_plan, &branch);
        }
        branches.push(branch);
    }
    branches.extend(track(work));
    branches
}

fn load_and_fuse(work: &Work, kind: SupplyUse) -> Option<(Amps, Amps)> {
    let sizing = &work.sizing;
    match kind {
        SupplyUse::Solenoids => sizing.solenoids.as_ref().map(|s| (s.lasting, s.fuse)),
        SupplyUse::SlowMotion => sizing.slow_motion.as_ref().map(|s| (s.standing, s.fuse)),
        SupplyUse::Servos => sizing.servos.as_ref().map(|s| (s.worst, s.fuse)),
    }
}

/// Stretches of the loop: the class of wire and the length of conductor, and where it ends.
fn stretches(work: &Work, use_plan: &UsePlan) -> (Vec<(WireClass, Length)>, &'static str) {
    let members = use_plan.members.as_slice();
    let of = |pairing| members.iter().any(|b| work.plan.of(*b).is_some_and(|p| p.pairing == pairing));
    let far = members.iter().map(|b| work.to_drive(*b)).fold(Length::new(0.0), Length::max);
    let mut loop_ = vec![(WireClass::Supply, SUPPLY_LEAD * 2.0)];
    match use_plan.kind {
        SupplyUse::Solenoids if of(Pairing::SolenoidDirect) => {
            loop_.extend([
                (WireClass::Common, WITHIN_PANEL),
                (WireClass::Command, far),
                (WireClass::Return, far),
            ]);
            (loop_, "at the farthest coil")
        }
        SupplyUse::Solenoids if of(Pairing::SolenoidDischarge) => {
            (loop_, "at the discharge unit; behind it the limiter bounds the current, and the fuse holds")
        }
        SupplyUse::Solenoids => (loop_, "at the decoders; behind them their outputs limit"),
        SupplyUse::SlowMotion => {
            let back = if use_plan.supply.kind == SupplyKind::SplitDc {
                WireClass::Return
            } else {
                WireClass::Command
            };
            loop_.extend([(WireClass::Common, WITHIN_PANEL * 2.0), (WireClass::Command, far), (back, far)]);
            (loop_, "at the farthest motor")
        }
        SupplyUse::Servos => {
            let by_board = |b: &_| work.to_board(work.document.turnout_of(*b).board);
            let cable = members.iter().map(by_board).fold(Length::new(0.0), Length::max);
            let lead = members.iter().map(|b| work.strip_to_drive(*b)).fold(Length::new(0.0), Length::max);
            loop_.extend([
                (WireClass::ServoSupply, (cable + WITHIN_PANEL * 2.0) * 2.0),
                (WireClass::ServoLead, lead * 2.0),
            ]);
            (loop_, "at the farthest servo, through its controller")
        }
    }
}

fn branch(work: &Work, use_plan: &UsePlan, load: Amps, rating: Amps) -> Branch {
    let (loop_, note) = stretches(work, use_plan);
    let wires: Ohms =
        loop_.iter().map(|(class, length)| work.resistance(work.sizing.wire(*class), *length)).sum();
    let (voltage, source) = source(use_plan, load);
    let loop_resistance = wires + source;
    let short = drop::fault_current(voltage, loop_resistance);
    let sizes = loop_.iter().map(|(class, _)| work.sizing.wire(*class));
    let wire = sizes.min_by(|a, b| a.area().total_cmp(&b.area())).unwrap_or(WireSize::mm2(0.5));
    let characteristic = Characteristic::TimeLag;
    let hot = work.document.layout.ambient.1;
    let resettable = resettable::holding(load, hot)
        .filter(|_| short <= resettable::MOST_FAULT && voltage <= resettable::MOST_VOLTAGE);
    Branch {
        what: match use_plan.kind {
            SupplyUse::Solenoids => "solenoids",
            SupplyUse::SlowMotion => "slow-motion motors",
            SupplyUse::Servos => "servos",
        },
        belongs_to: Some(use_plan.kind),
        load,
        protection: Protection::Fuse { characteristic, rating },
        resettable,
        resettable_holds: resettable.map(|part| part.hold_at(hot)),
        wire,
        permitted: conductor::ampacity(wire),
        loop_resistance,
        short,
        opens_from: rating * fuse::SURE,
        opens_within: fuse::opens_within(characteristic, rating, short),
        note,
    }
}

/// The lowest voltage that drives a short, and what the supply has in series by itself.
fn source(use_plan: &UsePlan, load: Amps) -> (Volts, Ohms) {
    let plan = &use_plan.supply;
    match plan.kind {
        SupplyKind::Ac => {
            let unloaded = plan.unloaded.unwrap_or(plan.voltage * UNLOADED_AC);
            let current = plan.current.unwrap_or(supply::SourceKind::Transformer.rating_for(load));
            (unloaded * WINDING_LOW, supply::source_resistance(unloaded, plan.voltage, current))
        }
        SupplyKind::Dc | SupplyKind::SplitDc => (plan.voltage * REGULATED_LOW, Ohms::new(0.0)),
    }
}

/// Whether it is the supply's own winding that holds a short down, and to what the wire may carry for
/// good: then the wire is in no danger, and the supply has to bear it (NEM 609: protected against short
/// circuit).
fn limits_itself(use_plan: &UsePlan, branch: &Branch) -> bool {
    let (voltage, own) = source(use_plan, branch.load);
    let wires = branch.loop_resistance - own;
    branch.short <= branch.permitted && drop::fault_current(voltage, wires) >= branch.opens_from
}

fn complain(work: &mut Work, use_plan: &UsePlan, branch: &Branch) {
    let Protection::Fuse { characteristic, rating } = branch.protection else { return };
    let (voltage, _) = source(use_plan, branch.load);
    let Some(most) = fuse::largest_loop(characteristic, rating, voltage) else {
        let message = format!("no fuse link of IEC 60127 is known for the {} of the {}", rating, branch.what);
        let found = Diagnostic::warning("fuse-may-not-open", message)
            .help("split them over two supplies, or take one that limits its current by itself");
        work.diagnostics.push(found);
        return;
    };
    let (short, loop_) = (branch.short, branch.loop_resistance);
    let place = branch.note.split([';', ',']).next().unwrap_or_default();
    let mut found = Diagnostic::warning(
        "fuse-may-not-open",
        format!(
            "a short {place} ({}) draws {short} through {loop_}; the fuse of {rating} opens for sure only from {}",
            branch.what,
            branch.opens_from,
        ),
    )
    .help(format!(
        "use thicker wire (at most {most} there and back), split the load for a smaller fuse, or take a supply \
         that limits its current by itself to what the wire may carry, {}",
        branch.permitted
    ));
    if let Some(id) = use_plan.supply.owned {
        found = found.label(work.document[id].span, "this supply");
    }
    work.diagnostics.push(found);
}

/// The worst run of the track: electronics, not a fuse, end a short there.
fn track(work: &Work) -> Option<Branch> {
    let worst =
        work.sizing.track.iter().max_by(|a, b| a.loop_resistance().total_cmp(&b.loop_resistance()))?;
    let trip = work.document.track_power.trip;
    let classes = [WireClass::TrackBus, WireClass::Dropper].map(|class| work.sizing.wire(class));
    let wire = classes.into_iter().min_by(|a, b| a.area().total_cmp(&b.area()))?;
    Some(Branch {
        what: "track",
        belongs_to: None,
        load: trip,
        protection: Protection::SupplyTrips(trip),
        resettable: None,
        resettable_holds: None,
        wire,
        permitted: conductor::ampacity(wire),
        loop_resistance: worst.loop_resistance(),
        short: worst.short,
        opens_from: trip,
        opens_within: worst.trips.then_some(TRIP_TIME),
        note: "on the farthest rail; a fuse or resettable part takes seconds and is no substitute",
    })
}
