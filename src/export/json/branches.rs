//! The tables of `sizing.json`: branches, sharing of supplies, track, schemes, servos.

use super::rounded;
use crate::drives::sizing::{Protection, Sizing};
use serde::Serialize;

#[derive(Serialize)]
pub struct BranchView {
    what: &'static str,
    load_a: f64,
    fuse_a: Option<f64>,
    fuse_mark: Option<&'static str>,
    trip_a: Option<f64>,
    resettable_hold_a: Option<f64>,
    resettable_hold_hot_a: Option<f64>,
    wire: String,
    permitted_a: f64,
    loop_ohm: f64,
    short_a: f64,
    opens_from_a: f64,
    opens_within_s: Option<f64>,
    note: &'static str,
}

#[derive(Serialize)]
pub struct SharingView {
    one: &'static str,
    other: &'static str,
    verdict: &'static str,
    why: &'static str,
    source: &'static str,
}

#[derive(Serialize)]
pub struct TrackView {
    board: String,
    run_mm: f64,
    wires_ohm: f64,
    rails_ohm: f64,
    loop_ohm: f64,
    drop_v: f64,
    short_a: f64,
    trips: bool,
}

#[derive(Serialize)]
pub struct SchemeView {
    scheme: &'static str,
    in_use: bool,
    switch_poles: usize,
    own_wires: usize,
    lines: usize,
    returns: usize,
    supply_v: f64,
    current_a: f64,
    motor_v: f64,
    behind_diodes_v: f64,
    behind_resistor_v: f64,
    slowed_current_a: f64,
}

#[derive(Serialize)]
pub struct ServosView {
    voltages: Vec<VoltageView>,
    leads: Vec<LeadView>,
    controllers: Vec<ControllersView>,
}

#[derive(Serialize)]
struct VoltageView {
    name: String,
    board: String,
    moving_v: f64,
    switch_on_v: f64,
    lowest_v: f64,
}

#[derive(Serialize)]
struct LeadView {
    size: String,
    longest_mm: f64,
}

#[derive(Serialize)]
struct ControllersView {
    board: String,
    count: usize,
    used: usize,
    spare: usize,
}

pub fn branches(sizing: &Sizing) -> Vec<BranchView> {
    sizing
        .branches
        .iter()
        .map(|b| {
            let (fuse, mark, trip) = match b.protection {
                Protection::Fuse { characteristic, rating } => {
                    (Some(rating.amps()), Some(characteristic.mark()), None)
                }
                Protection::SupplyTrips(current) => (None, None, Some(current.amps())),
            };
            BranchView {
                what: b.what,
                load_a: rounded(b.load.amps()),
                fuse_a: fuse.map(rounded),
                fuse_mark: mark,
                trip_a: trip.map(rounded),
                resettable_hold_a: b.resettable.map(|part| rounded(part.hold.amps())),
                resettable_hold_hot_a: b.resettable_holds.map(|hold| rounded(hold.amps())),
                wire: b.wire.label(),
                permitted_a: rounded(b.permitted.amps()),
                loop_ohm: rounded(b.loop_resistance.ohms()),
                short_a: rounded(b.short.amps()),
                opens_from_a: rounded(b.opens_from.amps()),
                opens_within_s: b.opens_within.map(|t| rounded(t.seconds())),
                note: b.note,
            }
        })
        .collect()
}

pub fn sharing(sizing: &Sizing) -> Vec<SharingView> {
    let view = |s: &crate::drives::sizing::Sharing| SharingView {
        one: s.one,
        other: s.other,
        verdict: s.verdict.word(),
        why: s.why,
        source: s.source,
    };
    sizing.sharing.iter().map(view).collect()
}

pub fn track(sizing: &Sizing) -> Vec<TrackView> {
    sizing
        .track
        .iter()
        .map(|t| TrackView {
            board: t.board.clone(),
            run_mm: rounded(t.run.mm()),
            wires_ohm: rounded(t.wires.ohms()),
            rails_ohm: rounded(t.rails.ohms()),
            loop_ohm: rounded(t.loop_resistance().ohms()),
            drop_v: rounded(t.drop.volts()),
            short_a: rounded(t.short.amps()),
            trips: t.trips,
        })
        .collect()
}

pub fn schemes(sizing: &Sizing) -> Vec<SchemeView> {
    sizing
        .slow_motion
        .iter()
        .flat_map(|m| &m.schemes)
        .map(|s| SchemeView {
            scheme: s.name(),
            in_use: s.in_use,
            switch_poles: s.reversal.switch_poles(),
            own_wires: s.reversal.own_wires(),
            lines: s.lines,
            returns: s.reversal.shared_returns(),
            supply_v: rounded(s.supply.volts()),
            current_a: rounded(s.current.amps()),
            motor_v: rounded(s.motor.volts()),
            behind_diodes_v: rounded(s.behind_diodes.volts()),
            behind_resistor_v: rounded(s.behind_resistor.volts()),
            slowed_current_a: rounded(s.slowed_current.amps()),
        })
        .collect()
}

pub fn servos(sizing: &Sizing) -> Option<ServosView> {
    let servos = sizing.servos.as_ref()?;
    let voltage = |v: &crate::drives::sizing::ServoVoltage| VoltageView {
        name: v.name.clone(),
        board: v.board.clone(),
        moving_v: rounded(v.moving.volts()),
        switch_on_v: rounded(v.switch_on.volts()),
        lowest_v: rounded(v.lowest.volts()),
    };
    let lead = |l: &crate::drives::sizing::LeadLimit| LeadView {
        size: l.size.label(),
        longest_mm: rounded(l.longest.mm()),
    };
    let controllers = |c: &crate::drives::sizing::Controllers| ControllersView {
        board: c.board.clone(),
        count: c.count,
        used: c.used,
        spare: c.spare,
    };
    Some(ServosView {
        voltages: servos.voltages.iter().map(voltage).collect(),
        leads: servos.leads.iter().map(lead).collect(),
        controllers: servos.controllers.iter().map(controllers).collect(),
    })
}
