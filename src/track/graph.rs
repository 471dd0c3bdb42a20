//! The rail graph: pieces of rail as nodes, the ways in which they meet as edges.

use super::polarity::Polarity;
use super::{Feed, Formation, Position, Side};
use crate::parse::{Document, FrogKind, Port, TrackEnd, TrackId, TurnoutId};
use petgraph::graph::{NodeIndex, UnGraph};

/// A piece of rail, by its place in [`super::Rails::rails`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RailId(pub usize);

/// A piece of rail without a cut in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Rail {
    pub place: RailPlace,
    /// In words: "T1 left stock rail".
    pub name: String,
    /// The feed it lies in; `None` for a frog, whose feed changes.
    pub feed: Option<Feed>,
}

/// Where a piece of rail is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RailPlace {
    /// Looking from `from` to `to`.
    Track(TrackId, Side),
    /// Looking from the toe. With bonded blades, the blade and closure rail beside it too.
    Stock(TurnoutId, Side),
    /// The frog and all that is one metal with it: vee and wing rails, and with a live frog the
    /// closure rails and blades.
    Frog(TurnoutId),
    /// The rail of one road through an insulated frog, that is the right rail of the left branch
    /// or the left rail of the right one. Blade, closure rail and the rail beyond the frog count as
    /// one: the link under the frog joins them.
    Inner(TurnoutId, Side),
}

/// How two pieces of rail meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Connection {
    /// Metal: a rail joiner or one rail.
    Joined,
    /// An insulated joint, by its place in [`super::Rails::joints`].
    Insulated(usize),
    /// A blade that touches its stock rail in this position of the turnout.
    Blade(TurnoutId, Position),
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

pub(super) fn port_word(port: Port) -> &'static str {
    match port {
        Port::Toe => "toe",
        Port::Straight => "straight",
        Port::Diverging => "diverging",
        Port::Left => "left",
        Port::Right => "right",
    }
}

struct Builder<'a> {
    document: &'a Document,
    rails: Vec<Rail>,
    graph: UnGraph<RailId, Connection>,
}

impl Builder<'_> {
    fn add(&mut self, place: RailPlace, name: String, feed: Option<Feed>) -> RailId {
        let id = RailId(self.rails.len());
        self.rails.push(Rail { place, name, feed });
        self.graph.add_node(id);
        id
    }

    fn join(&mut self, a: RailId, b: RailId, how: Connection) {
        self.graph.add_edge(NodeIndex::new(a.0), NodeIndex::new(b.0), how);
    }

    fn find(&self, place: RailPlace) -> RailId {
        let index = self.rails.iter().position(|r| r.place == place);
        RailId(index.expect("rails of all pieces are added before they are joined"))
    }

    /// The rail that leaves a turnout at a port, looking outward.
    fn rail_at(&self, turnout: TurnoutId, port: Port, side: Side) -> RailId {
        let spec = &self.document[turnout];
        let formation = Formation::of(*spec.kind);
        let place = match formation.frog().rail_at(port) {
            // Looking outward from the toe, the left stock rail is on the right.
            None => RailPlace::Stock(turnout, side.other()),
            Some(frog_side) if frog_side != side => RailPlace::Stock(turnout, side),
            Some(_) if *spec.frog == FrogKind::Insulated => RailPlace::Inner(turnout, side),
            Some(_) => RailPlace::Frog(turnout),
        };
        self.find(place)
    }
}

pub(super) fn build(
    document: &Document,
    polarity: &Polarity,
) -> (Vec<Rail>, UnGraph<RailId, Connection>, Vec<Joint>) {
    let mut b = Builder { document, rails: Vec::new(), graph: UnGraph::new_undirected() };
    for (i, turnout) in document.turnouts.iter().enumerate() {
        let id = TurnoutId(i);
        let formation = Formation::of(*turnout.kind);
        let feed = |side| super::turned(polarity.toe_left[i], side);
        let stock = Side::ALL.map(|side| {
            b.add(
                RailPlace::Stock(id, side),
                format!("{} {} stock rail", *turnout.name, side.word()),
                Some(feed(side)),
            )
        });
        let stock_rail = |side| if side == Side::Left { stock[0] } else { stock[1] };
        match *turnout.frog {
            FrogKind::Insulated => {
                for side in Side::ALL {
                    let inner = b.add(
                        RailPlace::Inner(id, side),
                        format!("{} {} closure rail", *turnout.name, side.word()),
                        Some(feed(side)),
                    );
                    // The right rail of the left branch lies against the right stock rail when the
                    // left branch is set.
                    let branch = match side {
                        Side::Right => formation.left_branch(),
                        Side::Left => formation.right_branch(),
                    };
                    for position in Position::ALL {
                        if formation.road(turnout.normal, position) == branch {
                            b.join(inner, stock_rail(side), Connection::Blade(id, position));
                        }
                    }
                }
            }
            FrogKind::Live => {
                let frog = b.add(RailPlace::Frog(id), format!("{} frog", *turnout.name), None);
                for position in Position::ALL {
                    let side = formation.frog().stock_rail_for(formation.road(turnout.normal, position));
                    b.join(frog, stock_rail(side), Connection::Blade(id, position));
                }
            }
            FrogKind::IsolatedWithWire => {
                b.add(RailPlace::Frog(id), format!("{} frog", *turnout.name), None);
            }
        }
    }
    for (i, track) in document.tracks.iter().enumerate() {
        for side in Side::ALL {
            b.add(
                RailPlace::Track(TrackId(i), side),
                format!("{} {} rail", *track.name, side.word()),
                Some(super::turned(polarity.track_left[i], side)),
            );
        }
    }
    let joints = join_tracks(&mut b);
    (b.rails, b.graph, joints)
}

/// Joins every track to its turnouts: by an insulated joint where a frog's rail leaves, by metal
/// everywhere else.
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
            if matches!(b.rails[inside.0].place, RailPlace::Frog(_)) {
                let reason = reason(b.document, turnout, port, track, leaving, &b.rails[outside.0]);
                b.join(inside, outside, Connection::Insulated(joints.len()));
                joints.push(Joint { turnout, port, side, inside, outside, reason });
            } else {
                b.join(inside, outside, Connection::Joined);
            }
        }
    }
    joints
}

fn reason(
    document: &Document,
    turnout: TurnoutId,
    port: Port,
    track: TrackId,
    leaving: bool,
    outside: &Rail,
) -> String {
    let feed = outside.feed.map_or("?", Feed::letter);
    let near = &document[turnout].name.value;
    let track = &document[track];
    let far_end = if leaving { *track.to } else { *track.from };
    let base = format!(
        "the frog of {near} changes between A and B, the {} beyond its {} end stays in {feed}",
        outside.name,
        port_word(port)
    );
    match far_end {
        TrackEnd::Port(far, far_port)
            if far_port != Port::Toe && *document[far].frog != FrogKind::Insulated =>
        {
            format!("{base}; the frogs of {near} and {} face each other", *document[far].name)
        }
        _ => base,
    }
}
