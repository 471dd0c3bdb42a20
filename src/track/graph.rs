//! The rail graph: pieces of rail as nodes, the ways in which they meet as edges.

use super::polarity::Polarity;
use super::zones::Allotment;
use super::{Feed, Formation, Pole, Position, Side, ZoneId};
use crate::parse::{BarId, Document, FrogKind, Port, TrackEnd, TrackId, TurnoutId, Word};
use petgraph::graph::{NodeIndex, UnGraph};
use std::collections::BTreeMap;

/// A piece of rail, by its place in [`super::Rails::rails`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RailId(pub usize);

/// A piece of rail without a cut in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Rail {
    pub place: RailPlace,
    /// In words: "T1 left stock rail".
    pub name: String,
    /// The conductor it belongs to; `None` for a frog whose feed changes.
    pub pole: Option<Pole>,
    /// The zone of its turnout or track.
    pub zone: ZoneId,
}

impl Rail {
    /// The feed it lies in; `None` for a frog whose feed changes.
    pub fn feed(&self) -> Option<Feed> {
        self.pole.map(|p| p.feed)
    }
}

/// Where a piece of rail is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RailPlace {
    /// Looking from `from` to `to`.
    Track(TrackId, Side),
    /// Looking from the toe. With bonded blades, the blade and closure rail beside it too.
    Stock(TurnoutId, Side),
    /// A crossing (by its place in the formation) and all that is one metal with it: vee and wing
    /// rails, the rails from there to the nearest end, and with a live frog the closure rails and
    /// blades.
    Frog(TurnoutId, usize),
    /// The rail of one road through an insulated frog. Blade, closure rail and the rail beyond the
    /// frog count as one: the link under the frog joins them.
    Inner(TurnoutId, usize, Side),
}

/// How two pieces of rail meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Connection {
    /// Metal: a rail joiner or one rail.
    Joined,
    /// An insulated joint, by its place in [`super::Rails::joints`].
    Insulated(usize),
    /// A blade that touches its stock rail in this position of the tie bar.
    Blade(BarId, Position),
}

/// An insulated joint.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    pub turnout: TurnoutId,
    pub port: Port,
    /// Looking outward from the turnout.
    pub side: Side,
    pub inside: RailId,
    pub outside: RailId,
    /// Why it is there, in words.
    pub reason: String,
}

struct Builder<'a> {
    document: &'a Document,
    polarity: &'a Polarity,
    allotment: &'a Allotment,
    rails: Vec<Rail>,
    places: BTreeMap<RailPlace, RailId>,
    graph: UnGraph<RailId, Connection>,
}

impl Builder<'_> {
    fn add(&mut self, place: RailPlace, name: String, zone: ZoneId, feed: Option<Feed>) -> RailId {
        let id = RailId(self.rails.len());
        self.rails.push(Rail { place, name, pole: feed.map(|feed| Pole { zone, feed }), zone });
        self.places.insert(place, id);
        self.graph.add_node(id);
        id
    }

    fn join(&mut self, a: RailId, b: RailId, how: Connection) {
        self.graph.add_edge(NodeIndex::new(a.0), NodeIndex::new(b.0), how);
    }

    fn find(&self, place: RailPlace) -> RailId {
        *self.places.get(&place).expect("rails of all pieces are added before they are joined")
    }

    /// The feed of a road's rail, by plan.
    fn road_feed(&self, turnout: TurnoutId, formation: &Formation, road: usize, side: Side) -> Feed {
        super::turned(self.polarity.frame_left[&(turnout, formation.frame(road))], side)
    }

    /// The one feed that everybody needs of a crossing; `None` if it has to change.
    fn fixed_feed(&self, turnout: TurnoutId, formation: &Formation, crossing: usize) -> Option<Feed> {
        let needs: Vec<Feed> = formation
            .through(crossing)
            .into_iter()
            .map(|(road, side)| self.road_feed(turnout, formation, road, side))
            .collect();
        needs.first().copied().filter(|first| needs.iter().all(|n| n == first))
    }

    /// The rail that leaves a turnout at a port, looking outward.
    fn rail_at(&self, turnout: TurnoutId, port: Port, side: Side) -> RailId {
        self.find(place_at(self.document, turnout, port, side))
    }

    fn turnout(&mut self, id: TurnoutId) {
        let turnout = &self.document[id];
        let formation = Formation::of(turnout);
        let zone = self.allotment.turnout[id.0];
        let name = &turnout.name.value;
        let mut stock = None;
        if formation.has_toe() {
            stock = Some(Side::ALL.map(|side| {
                let feed = self.road_feed(id, &formation, 0, side);
                let words = format!("{name} {} stock rail", side.word());
                self.add(RailPlace::Stock(id, side), words, zone, Some(feed))
            }));
        }
        if *turnout.frog == FrogKind::Insulated {
            self.inner_rails(id, &formation, zone);
        } else {
            for (crossing, words) in formation.crossings().iter().enumerate() {
                let feed = self.fixed_feed(id, &formation, crossing);
                self.add(RailPlace::Frog(id, crossing), format!("{name} {words}"), zone, feed);
            }
        }
        let Some(stock) = stock else { return };
        let bars: Vec<BarId> = self.document.bars_of(id).collect();
        for blade in formation.blades() {
            let Some(first) = formation.roads()[blade.road].rail(blade.side).first() else { continue };
            let place = match *turnout.frog {
                FrogKind::Insulated => RailPlace::Inner(id, blade.road, blade.side),
                FrogKind::Live => RailPlace::Frog(id, *first),
                // The blades are bonded to their stock rails and parted from the frog.
                FrogKind::IsolatedWithWire => continue,
            };
            let rail = self.find(place);
            self.join(rail, stock[blade.side as usize], Connection::Blade(bars[blade.bar], blade.position));
        }
    }

    /// The rails through insulated frogs. The slip roads of a slip lie inside and reach no end of
    /// their own.
    fn inner_rails(&mut self, id: TurnoutId, formation: &Formation, zone: ZoneId) {
        for (i, road) in formation.roads().iter().enumerate() {
            for side in Side::ALL {
                let through = formation.has_toe() || formation.leads_across(i);
                if road.rail(side).is_empty() || !through {
                    continue;
                }
                let feed = self.road_feed(id, formation, i, side);
                let words = if formation.bars() == 1 && formation.has_toe() {
                    format!("{} {} closure rail", *self.document[id].name, side.word())
                } else {
                    format!("{} {} rail of road {}", *self.document[id].name, side.word(), road.name())
                };
                self.add(RailPlace::Inner(id, i, side), words, zone, Some(feed));
            }
        }
    }
}

/// Which rail leaves a turnout at a port, looking outward.
pub(super) fn place_at(document: &Document, turnout: TurnoutId, port: Port, side: Side) -> RailPlace {
    let spec = &document[turnout];
    let formation = Formation::of(spec);
    match formation.crossing_at(port, side) {
        // Looking outward from the toe, the left stock rail is on the right.
        None if port == Port::Toe => RailPlace::Stock(turnout, side.other()),
        None => RailPlace::Stock(turnout, side),
        Some(_) if *spec.frog == FrogKind::Insulated => {
            let road = formation.roads_of(port).next().unwrap_or(0);
            let along = formation.roads()[road].to == port;
            RailPlace::Inner(turnout, road, if along { side } else { side.other() })
        }
        Some(crossing) => RailPlace::Frog(turnout, crossing),
    }
}

pub(super) fn build(
    document: &Document,
    polarity: &Polarity,
    allotment: &Allotment,
) -> (Vec<Rail>, UnGraph<RailId, Connection>, Vec<Joint>) {
    let mut b = Builder {
        document,
        polarity,
        allotment,
        rails: Vec::new(),
        places: BTreeMap::new(),
        graph: UnGraph::new_undirected(),
    };
    for i in 0..document.turnouts.len() {
        b.turnout(TurnoutId(i));
    }
    for (i, track) in document.tracks.iter().enumerate() {
        for side in Side::ALL {
            let feed = super::turned(polarity.track_left[i], side);
            let words = format!("{} {} rail", *track.name, side.word());
            b.add(RailPlace::Track(TrackId(i), side), words, allotment.track[i], Some(feed));
        }
    }
    let joints = join_tracks(&mut b);
    (b.rails, b.graph, joints)
}

/// Joins every track to its turnouts: by an insulated joint where the feed changes or another zone
/// begins, by metal everywhere else.
fn join_tracks(b: &mut Builder) -> Vec<Joint> {
    // Joints are numbered turnout by turnout, as a builder walks the layout.
    let mut ends: Vec<(TurnoutId, Port, TrackId, bool)> = Vec::new();
    for (i, track) in b.document.tracks.iter().enumerate() {
        for (end, leaving) in [(*track.from, true), (*track.to, false)] {
            if let TrackEnd::Port(turnout, port) = end {
                ends.push((turnout, port, TrackId(i), leaving));
            }
        }
    }
    ends.sort();
    let mut joints: Vec<Joint> = Vec::new();
    for (turnout, port, track, leaving) in ends {
        for side in Side::ALL {
            let inside = b.rail_at(turnout, port, side);
            let track_side = if leaving { side } else { side.other() };
            let outside = b.find(RailPlace::Track(track, track_side));
            let (here, there) = (&b.rails[inside.0], &b.rails[outside.0]);
            let cause = if here.zone != there.zone {
                Some(border_reason(b, here, there))
            } else if here.pole.is_none() {
                Some(frog_reason(b, turnout, port, track, leaving, here, there))
            } else {
                None
            };
            match cause {
                Some(reason) => {
                    b.join(inside, outside, Connection::Insulated(joints.len()));
                    joints.push(Joint { turnout, port, side, inside, outside, reason });
                }
                None => b.join(inside, outside, Connection::Joined),
            }
        }
    }
    joints
}

fn border_reason(b: &Builder, here: &Rail, there: &Rail) -> String {
    let zone = |z: ZoneId| &b.allotment.zones[z.0].name;
    let reversing = [here, there].into_iter().find(|r| b.allotment.is_reversing(r.zone));
    let frog = if here.pole.is_none() { "; the frog changes as well" } else { "" };
    match reversing {
        Some(rail) => {
            format!("the reversing section {} ends here, both rails are cut{frog}", zone(rail.zone))
        }
        None => {
            format!("section {} ends here and section {} begins{frog}", zone(here.zone), zone(there.zone))
        }
    }
}

fn frog_reason(
    b: &Builder,
    turnout: TurnoutId,
    port: Port,
    track: TrackId,
    leaving: bool,
    frog: &Rail,
    outside: &Rail,
) -> String {
    let document = b.document;
    let feed = outside.feed().map_or("?", Feed::letter);
    let near = &document[turnout].name.value;
    let track = &document[track];
    let far_end = if leaving { *track.to } else { *track.from };
    let which = if document[turnout].kind.bars().len() == 1 {
        format!("the frog of {near}")
    } else {
        format!("the {}", frog.name)
    };
    let base = format!(
        "{which} changes between A and B, the {} beyond its {} end stays in {feed}",
        outside.name,
        port.word()
    );
    match far_end {
        TrackEnd::Port(far, far_port) => {
            let spec = &document[far];
            let faces = *spec.frog != FrogKind::Insulated
                && Side::ALL.into_iter().any(|s| b.rails[b.rail_at(far, far_port, s).0].pole.is_none());
            if faces {
                format!("{base}; the frogs of {near} and {} face each other", *spec.name)
            } else {
                base
            }
        }
        _ => base,
    }
}
