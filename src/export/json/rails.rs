//! `rails.json`: what the track needs, port by port, and where it comes from.

use crate::Design;
use crate::drives::{ChangeoverId, Decider};
use crate::parse::{Port, TurnoutId, Word};
use crate::track::{Formation, FrogId, Pole, Position, RailId, Side};
use serde::Serialize;

#[derive(Serialize)]
pub(super) struct RailsView {
    format: u32,
    layout: String,
    sections: Vec<SectionView>,
    turnouts: Vec<TurnoutView>,
    joints: Vec<JointView>,
    droppers: Vec<DropperView>,
    frogs: Vec<FrogView>,
    reversing: Vec<ReversingView>,
}

#[derive(Serialize)]
struct SectionView {
    name: String,
    feed: &'static str,
    tracks: Vec<String>,
    turnouts: Vec<String>,
}

#[derive(Serialize)]
struct TurnoutView {
    name: String,
    kind: &'static str,
    ports: Vec<PortView>,
    roads: Vec<RoadView>,
    /// Settings that no train may use, with the reason.
    forbidden: Vec<ForbiddenView>,
}

#[derive(Serialize)]
struct PortView {
    port: &'static str,
    /// Looking outward.
    left: PoleView,
    right: PoleView,
}

#[derive(Serialize)]
struct RoadView {
    road: String,
    /// By tie bar.
    set_by: Vec<PositionView>,
}

#[derive(Serialize)]
struct ForbiddenView {
    setting: Vec<PositionView>,
    reason: &'static str,
}

#[derive(Serialize)]
struct PositionView {
    of: String,
    position: String,
}

#[derive(Serialize)]
pub(super) struct PoleView {
    section: String,
    feed: &'static str,
}

#[derive(Serialize)]
struct JointView {
    joint: String,
    turnout: String,
    port: &'static str,
    /// Looking outward from the turnout.
    rail: &'static str,
    reason: String,
}

#[derive(Serialize)]
struct DropperView {
    dropper: String,
    rail: String,
    board: String,
    feed: Option<PoleView>,
    reason: String,
}

#[derive(Serialize)]
struct FrogView {
    frog: String,
    turnout: String,
    needs: Vec<NeedView>,
    fed_by: Option<FedView>,
}

#[derive(Serialize)]
struct NeedView {
    road: String,
    feed: PoleView,
}

#[derive(Serialize)]
struct FedView {
    /// "M3:21", a pin of the contact's common; absent if it has no contact.
    contact: Option<String>,
    by: &'static str,
    follows: String,
    normal: PoleView,
    reverse: PoleView,
    reason: String,
}

#[derive(Serialize)]
struct ReversingView {
    section: String,
    tracks: Vec<String>,
    /// The tracks on the way round that made it necessary.
    ring: Vec<String>,
    length: Option<String>,
    borders: Vec<BorderView>,
    fed_by: Vec<FedView>,
}

#[derive(Serialize)]
struct BorderView {
    turnout: String,
    port: &'static str,
    track: String,
    /// Whether A meets A here when the section is fed straight.
    fits: &'static str,
}

pub(super) fn pole(design: &Design, pole: Pole) -> PoleView {
    PoleView { section: design.rails[pole.zone].name.clone(), feed: pole.feed.letter() }
}

pub(super) fn decider(design: &Design, decider: Decider) -> String {
    match decider {
        Decider::Bar(bar) => design.document[bar].name.clone(),
        Decider::Selector(id) => {
            let part = design.circuit.contacts.iter().find(|c| c.decider == decider).map(|c| c.part);
            let name = &design.plan.selector(id).name;
            part.map_or_else(|| name.clone(), |p| format!("{} of {name}", design.circuit[p].designation))
        }
    }
}

pub(super) fn view(design: &Design) -> RailsView {
    let document = &design.document;
    let rails = &design.rails;
    let track = |t: crate::parse::TrackId| document[t].name.value.clone();
    RailsView {
        format: super::FORMAT,
        layout: document.layout.name.value.clone(),
        sections: sections(design),
        turnouts: (0..document.turnouts.len()).map(|t| turnout(design, TurnoutId(t))).collect(),
        joints: rails
            .joints
            .iter()
            .enumerate()
            .map(|(i, j)| JointView {
                joint: format!("J{}", i + 1),
                turnout: document[j.turnout].name.value.clone(),
                port: j.port.word(),
                rail: j.side.word(),
                reason: j.reason.clone(),
            })
            .collect(),
        droppers: rails
            .droppers
            .iter()
            .enumerate()
            .map(|(i, d)| DropperView {
                dropper: format!("D{}", i + 1),
                rail: rails[d.rail].name.clone(),
                board: document[d.board].name.value.clone(),
                feed: rails[d.rail].pole.map(|p| pole(design, p)),
                reason: d.reason.clone(),
            })
            .collect(),
        frogs: (0..rails.frogs.len()).map(|f| frog(design, FrogId(f))).collect(),
        reversing: rails
            .reversing
            .iter()
            .map(|r| ReversingView {
                section: rails[r.zone].name.clone(),
                tracks: r.tracks.iter().map(|t| track(*t)).collect(),
                ring: r.ring.iter().map(|t| track(*t)).collect(),
                length: r.length.map(|l| l.to_string()),
                borders: r
                    .boundaries
                    .iter()
                    .map(|b| BorderView {
                        turnout: document[b.turnout].name.value.clone(),
                        port: b.port.word(),
                        track: track(b.track),
                        fits: if b.fits == Position::Normal { "straight" } else { "crossed" },
                    })
                    .collect(),
                fed_by: design.plan.turning(r.zone).map(|c| fed(design, c)).collect(),
            })
            .collect(),
    }
}

fn sections(design: &Design) -> Vec<SectionView> {
    let rails = &design.rails;
    let used = |z: &usize| rails.rails.iter().any(|r| r.zone.0 == *z);
    let one = |z: usize| {
        let names = |wanted: fn(crate::track::RailPlace) -> bool, name: &dyn Fn(RailId) -> String| {
            let mut list: Vec<String> = (0..rails.rails.len())
                .map(RailId)
                .filter(|r| rails[*r].zone.0 == z && wanted(rails[*r].place))
                .map(name)
                .collect();
            list.dedup();
            list
        };
        use crate::track::RailPlace as P;
        let owner = |r: RailId| match rails[r].place {
            P::Track(t, _) => design.document[t].name.value.clone(),
            P::Stock(t, _) | P::Frog(t, _) | P::Inner(t, ..) => design.document[t].name.value.clone(),
        };
        SectionView {
            name: rails.zones[z].name.clone(),
            feed: rails.zones[z].feed.word(),
            tracks: names(|p| matches!(p, P::Track(..)), &owner),
            turnouts: names(|p| !matches!(p, P::Track(..)), &owner),
        }
    };
    (0..rails.zones.len()).filter(used).map(one).collect()
}

fn turnout(design: &Design, id: TurnoutId) -> TurnoutView {
    let spec = &design.document[id];
    let formation = Formation::of(spec);
    let zone = design.rails.rails.iter().find(|r| {
        matches!(r.place, crate::track::RailPlace::Stock(t, _) | crate::track::RailPlace::Frog(t, _)
            | crate::track::RailPlace::Inner(t, ..) if t == id)
    });
    let zone = zone.map_or(crate::track::ZoneId(0), |r| r.zone);
    let port = |port: &Port| {
        let road = formation.roads_of(*port).next().unwrap_or(0);
        let along = formation.roads()[road].to == *port;
        let of = |outward: Side| {
            let side = if along { outward } else { outward.other() };
            let feed = design.rails.road_feed(&design.document, id, road, side);
            pole(design, Pole { zone, feed })
        };
        PortView { port: port.word(), left: of(Side::Left), right: of(Side::Right) }
    };
    let positions = |setting: &[Position]| {
        let bars = design.document.bars_of(id).zip(setting);
        bars.map(|(bar, p)| PositionView { of: design.document[bar].name.clone(), position: p.word().into() })
            .collect::<Vec<_>>()
    };
    TurnoutView {
        name: spec.name.value.clone(),
        kind: spec.kind.word(),
        ports: spec.kind.ports().iter().map(port).collect(),
        roads: (0..formation.roads().len())
            .map(|r| RoadView { road: formation.roads()[r].name(), set_by: positions(&formation.setting(r)) })
            .collect(),
        forbidden: formation
            .forbidden()
            .iter()
            .map(|(setting, reason)| ForbiddenView { setting: positions(setting), reason })
            .collect(),
    }
}

fn frog(design: &Design, id: FrogId) -> FrogView {
    let need = &design.rails[id];
    let spec = &design.document[need.turnout];
    let roads = Formation::of(spec).roads();
    let changeover = design.plan.feeding(id);
    FrogView {
        frog: design.rails[need.rail].name.clone(),
        turnout: spec.name.value.clone(),
        needs: need
            .needs
            .iter()
            .map(|(road, p)| NeedView { road: roads[*road].name(), feed: pole(design, *p) })
            .collect(),
        fed_by: changeover.map(|c| fed(design, c)),
    }
}

fn fed(design: &Design, id: ChangeoverId) -> FedView {
    let changeover = design.plan.changeover(id);
    let contact = design.circuit.contact_of(id).map(|c| design.circuit.pin_name(c.common()));
    FedView {
        contact,
        by: changeover.by.word(),
        follows: decider(design, changeover.decider),
        normal: pole(design, changeover.at[0]),
        reverse: pole(design, changeover.at[1]),
        reason: changeover.reason.clone(),
    }
}
