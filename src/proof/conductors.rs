//! Everything that conducts on the track side: rails, nets and the two poles of the supply, with
//! the links between them.

use crate::circuit::{Circuit, NetId, NetKind, Part, PartKind, PinRef};
use crate::drives::Decider;
use crate::parse::BarId;
use crate::track::{Connection, Feed, Pole, Position, RailId, Rails};
use petgraph::unionfind::UnionFind;
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, VecDeque};

/// What a link joins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Node {
    Rail(RailId),
    Net(NetId),
    Source(Pole),
}

/// How two of them are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Via {
    /// Rail to rail, in one piece or by a joiner.
    Metal,
    /// The pin of a part, to its net.
    Pin(PinRef),
    /// A blade against its stock rail.
    Blade(BarId, Position),
    /// A contact, by its place in [`Circuit::contacts`].
    Contact(usize, Decider, Position),
}

impl Via {
    /// The position in which it conducts; `None`: always.
    pub fn condition(self) -> Option<(Decider, Position)> {
        match self {
            Via::Metal | Via::Pin(_) => None,
            Via::Blade(bar, position) => Some((Decider::Bar(bar), position)),
            Via::Contact(_, decider, position) => Some((decider, position)),
        }
    }
}

/// One step of a path: the node, and how it is joined to the one before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    pub node: Node,
    /// `None` at the beginning.
    pub via: Option<Via>,
}

#[derive(Clone, Copy)]
pub(super) struct Link {
    pub a: usize,
    pub b: usize,
    pub via: Via,
}

pub(super) struct Conductors {
    pub links: Vec<Link>,
    rails: usize,
    nets: usize,
    /// The conductors that a supply feeds, after its switch or cut-out.
    pub poles: Vec<Pole>,
    /// The net of each conductor.
    tracks: BTreeMap<Pole, NetId>,
    /// Links at each node.
    at: Vec<Vec<usize>>,
    /// The name of each node's island: what always conducts together.
    pub island: Vec<usize>,
    /// The same for rail joined to rail alone.
    pub section: Vec<usize>,
}

impl Conductors {
    pub fn of(rails: &Rails, circuit: &Circuit) -> Conductors {
        let mut c = Conductors {
            links: Vec::new(),
            rails: rails.rails.len(),
            nets: circuit.nets.len(),
            poles: poles(circuit),
            tracks: tracks(circuit),
            at: Vec::new(),
            island: Vec::new(),
            section: Vec::new(),
        };
        c.rail_links(rails);
        c.pin_links(circuit);
        c.contact_links(circuit);
        c.at = vec![Vec::new(); c.rails + c.nets + c.poles.len()];
        for (i, link) in c.links.iter().enumerate() {
            c.at[link.a].push(i);
            c.at[link.b].push(i);
        }
        c.island = c.joined(|via| via.condition().is_none());
        c.section = c.joined(|via| via == Via::Metal);
        c
    }

    fn link(&mut self, a: Node, b: Node, via: Via) {
        let (a, b) = (self.index(a), self.index(b));
        self.links.push(Link { a, b, via });
    }

    fn rail_links(&mut self, rails: &Rails) {
        for edge in rails.graph.edge_references() {
            let via = match *edge.weight() {
                Connection::Joined => Via::Metal,
                Connection::Blade(bar, position) => Via::Blade(bar, position),
                Connection::Insulated(_) => continue,
            };
            let rail = |node: petgraph::graph::NodeIndex| Node::Rail(rails.graph[node]);
            self.link(rail(edge.source()), rail(edge.target()), via);
        }
    }

    fn pin_links(&mut self, circuit: &Circuit) {
        for (part, spec) in circuit.parts() {
            for (pin, end) in spec.pins.iter().enumerate() {
                let Some(net) = end.net else { continue };
                let node = match spec.kind {
                    PartKind::Rail { rail } => Node::Rail(rail),
                    _ => match source(circuit, spec, pin) {
                        Some(pole) => Node::Source(pole),
                        None => continue,
                    },
                };
                self.link(node, Node::Net(net), Via::Pin(PinRef { part, pin }));
            }
        }
    }

    fn contact_links(&mut self, circuit: &Circuit) {
        for (i, contact) in circuit.contacts.iter().enumerate() {
            for position in Position::ALL {
                let ends = (circuit.pin(contact.common()).net, circuit.pin(contact.outer(position)).net);
                if let (Some(common), Some(outer)) = ends {
                    let via = Via::Contact(i, contact.decider, position);
                    self.link(Node::Net(common), Node::Net(outer), via);
                }
            }
        }
    }

    pub fn index(&self, node: Node) -> usize {
        match node {
            Node::Rail(rail) => rail.0,
            Node::Net(net) => self.rails + net.0,
            Node::Source(pole) => self.rails + self.nets + self.poles.partition_point(|p| *p < pole),
        }
    }

    fn node(&self, index: usize) -> Node {
        match index {
            i if i < self.rails => Node::Rail(RailId(i)),
            i if i < self.rails + self.nets => Node::Net(NetId(i - self.rails)),
            i => Node::Source(self.poles[i - self.rails - self.nets]),
        }
    }

    fn joined(&self, conducts: impl Fn(Via) -> bool) -> Vec<usize> {
        let mut sets = UnionFind::<usize>::new(self.at.len());
        for link in self.links.iter().filter(|l| conducts(l.via)) {
            sets.union(link.a, link.b);
        }
        sets.into_labeling()
    }

    /// The node of a conductor's net.
    pub fn conductor(&self, pole: Pole) -> Option<usize> {
        self.tracks.get(&pole).map(|net| self.index(Node::Net(*net)))
    }

    /// The islands of the poles, in their order.
    pub fn sources(&self) -> Vec<usize> {
        self.poles.iter().map(|p| self.island[self.index(Node::Source(*p))]).collect()
    }

    /// The shortest way from one pole to another over links that conduct; empty if there is none.
    pub fn path(&self, (from_pole, to_pole): (Pole, Pole), conducts: impl Fn(Via) -> bool) -> Vec<Step> {
        let (start, goal) = (self.index(Node::Source(from_pole)), self.index(Node::Source(to_pole)));
        let mut from: Vec<Option<usize>> = vec![None; self.at.len()];
        let mut queue = VecDeque::from([start]);
        while let Some(here) = queue.pop_front() {
            if here == goal {
                break;
            }
            for link in self.at[here].iter().copied().filter(|l| conducts(self.links[*l].via)) {
                let next = self.other_end(link, here);
                if next != start && from[next].is_none() {
                    from[next] = Some(link);
                    queue.push_back(next);
                }
            }
        }
        let mut steps = Vec::new();
        let mut here = goal;
        while let Some(link) = from[here] {
            steps.push(Step { node: self.node(here), via: Some(self.links[link].via) });
            here = self.other_end(link, here);
        }
        if here != start {
            return Vec::new();
        }
        steps.push(Step { node: self.node(start), via: None });
        steps.reverse();
        steps
    }

    fn other_end(&self, link: usize, here: usize) -> usize {
        let link = self.links[link];
        if link.a == here { link.b } else { link.a }
    }

    /// The conductor a node belongs to by its plan, whatever reaches it.
    pub fn planned(&self, index: usize, rails: &Rails, circuit: &Circuit) -> Option<Pole> {
        match self.node(index) {
            Node::Rail(rail) => rails.rails[rail.0].pole,
            Node::Net(net) => match circuit[net].kind {
                NetKind::Track(pole) => Some(pole),
                _ => None,
            },
            Node::Source(pole) => Some(pole),
        }
    }
}

fn tracks(circuit: &Circuit) -> BTreeMap<Pole, NetId> {
    let track = |(id, net): (NetId, &crate::circuit::Net)| match net.kind {
        NetKind::Track(pole) => Some((pole, id)),
        _ => None,
    };
    circuit.nets().filter_map(track).collect()
}

/// All poles, in order.
fn poles(circuit: &Circuit) -> Vec<Pole> {
    let mut found: Vec<Pole> = circuit
        .parts()
        .flat_map(|(_, spec)| (0..spec.pins.len()).filter_map(|pin| source(circuit, spec, pin)))
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// The pole that a pin feeds: that of a booster or controller, or what comes out of a section's
/// switch or cut-out. What comes in there is another matter: it is the same in every position.
fn source(circuit: &Circuit, part: &Part, pin: usize) -> Option<Pole> {
    let feeds = matches!(
        part.kind,
        PartKind::TrackSupply | PartKind::DistrictCutout { .. } | PartKind::SectionSwitch { .. }
    );
    let end = &part.pins[pin];
    let feed = Feed::ALL.into_iter().find(|f| feeds && f.letter() == end.name)?;
    match circuit[end.net?].kind {
        NetKind::Track(pole) => Some(Pole { feed, ..pole }),
        _ => None,
    }
}
