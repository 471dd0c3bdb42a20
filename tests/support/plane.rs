//! A second opinion on rails, drawn in the plane.
//!
//! Every turnout is drawn: the middle line of each road, and its two rails beside it. Where a rail of
//! one road meets a rail of another there is a frog; which rails pass it, and in which order, is found
//! by intersecting the drawn lines. Then wheels are run along every road, in all positions of all tie
//! bars and switches: the left wheels must stay on one live feed, the right wheels on the other, and
//! no piece of rail may be joined to two feeds.
//!
//! Feeds and contacts come from the circuit as it is wired, cuts from the list of joints; nothing is
//! taken from how the program reasons about rails or proves them. Settings are tried by the million,
//! sixty-four at a time: bit `i` of a word stands for one of them.

use std::collections::BTreeMap;
use underboard::Design;
use underboard::circuit::PartKind;
use underboard::drives::SelectorKind;
use underboard::parse::{
    FrogKind, Port, SlipBlades, TrackEnd, TrackId, Turnout, TurnoutId, TurnoutKind, Word,
};
use underboard::track::{Connection, Side};

/// A way through a turnout, as it is drawn.
pub struct Drawn {
    pub from: Port,
    pub to: Port,
    /// Frogs that its left and its right rail pass, in order.
    pub passes: [Vec<usize>; 2],
}

pub struct Drawing {
    pub roads: Vec<Drawn>,
    /// Where the frogs lie, and what they are called.
    pub frogs: Vec<(f64, f64)>,
    pub names: Vec<&'static str>,
}

pub const LEFT: usize = 0;
pub const RIGHT: usize = 1;

fn has_toe(kind: TurnoutKind) -> bool {
    !matches!(kind, TurnoutKind::Diamond | TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip)
}

/// A road from port to port, and how far to the left of the drawing's axis its middle lies at a
/// distance along it.
type Middle = (Port, Port, fn(f64) -> f64);
/// A road with its two rails as points.
type Lines = (Port, Port, [Vec<(f64, f64)>; 2]);

fn middles(kind: TurnoutKind) -> Vec<Middle> {
    use Port::*;
    const STRAIGHT: fn(f64) -> f64 = |_| 0.0;
    const TO_LEFT: fn(f64) -> f64 = |x| x * x / 10.0;
    const TO_RIGHT: fn(f64) -> f64 = |x| -x * x / 10.0;
    const A_B: fn(f64) -> f64 = |x| -x / 4.0;
    const C_D: fn(f64) -> f64 = |x| x / 4.0;
    const A_D: fn(f64) -> f64 = |x| (x * x / 16.0 + 0.04).sqrt();
    const C_B: fn(f64) -> f64 = |x| -(x * x / 16.0 + 0.04).sqrt();
    match kind {
        TurnoutKind::Left => vec![(Toe, Straight, STRAIGHT), (Toe, Diverging, TO_LEFT)],
        TurnoutKind::Right => vec![(Toe, Straight, STRAIGHT), (Toe, Diverging, TO_RIGHT)],
        TurnoutKind::Wye => vec![(Toe, Left, TO_LEFT), (Toe, Right, TO_RIGHT)],
        TurnoutKind::CurvedLeft => vec![(Toe, Outer, |x| x * x / 30.0), (Toe, Inner, TO_LEFT)],
        TurnoutKind::CurvedRight => vec![(Toe, Outer, |x| -x * x / 30.0), (Toe, Inner, TO_RIGHT)],
        TurnoutKind::ThreeWay => {
            vec![(Toe, Left, TO_LEFT), (Toe, Straight, STRAIGHT), (Toe, Right, TO_RIGHT)]
        }
        TurnoutKind::Diamond => vec![(A, B, A_B), (C, D, C_D)],
        TurnoutKind::SingleSlip => vec![(A, B, A_B), (C, D, C_D), (A, D, A_D)],
        TurnoutKind::DoubleSlip => vec![(A, B, A_B), (C, D, C_D), (A, D, A_D), (C, B, C_B)],
    }
}

/// A rail: the middle line, moved aside by half the gauge.
fn rail(middle: fn(f64) -> f64, start: f64, hand: usize) -> Vec<(f64, f64)> {
    // An odd number of pieces, so that no two lines meet just where pieces do.
    const PIECES: usize = 161;
    let step = (6.0 - start) / PIECES as f64;
    let aside = if hand == LEFT { 0.5 } else { -0.5 };
    (0..=PIECES)
        .map(|i| {
            let x = start + step * i as f64;
            let slope = (middle(x + 1e-6) - middle(x - 1e-6)) / 2e-6;
            let long = slope.hypot(1.0);
            (x - aside * slope / long, middle(x) + aside / long)
        })
        .collect()
}

/// Where two lines cross: the place, and how far along the first.
fn crossings(one: &[(f64, f64)], two: &[(f64, f64)]) -> Vec<(f64, (f64, f64))> {
    let cross =
        |o: (f64, f64), a: (f64, f64), b: (f64, f64)| (a.0 - o.0) * (b.1 - o.1) - (a.1 - o.1) * (b.0 - o.0);
    let mut found = Vec::new();
    for (i, p) in one.windows(2).enumerate() {
        for q in two.windows(2) {
            if p[0].0.max(p[1].0) < q[0].0.min(q[1].0) || q[0].0.max(q[1].0) < p[0].0.min(p[1].0) {
                continue;
            }
            let (s, t) = (cross(q[0], q[1], p[0]), cross(q[0], q[1], p[1]));
            let (u, v) = (cross(p[0], p[1], q[0]), cross(p[0], p[1], q[1]));
            if s * t < 0.0 && u * v < 0.0 {
                let along = s / (s - t);
                let at = (p[0].0 + along * (p[1].0 - p[0].0), p[0].1 + along * (p[1].1 - p[0].1));
                found.push((i as f64 + along, at));
            }
        }
    }
    found
}

/// Draws a turnout and finds its frogs.
pub fn draw(kind: TurnoutKind) -> Drawing {
    let start = if has_toe(kind) { 0.0 } else { -6.0 };
    let lines: Vec<Lines> = middles(kind)
        .into_iter()
        .map(|(from, to, middle)| (from, to, [LEFT, RIGHT].map(|hand| rail(middle, start, hand))))
        .collect();
    let mut frogs: Vec<(f64, f64)> = Vec::new();
    let mut roads = Vec::new();
    for (i, (from, to, rails)) in lines.iter().enumerate() {
        let passes = [LEFT, RIGHT].map(|hand| {
            let others = lines.iter().enumerate().filter(|(j, _)| *j != i);
            let mut met: Vec<(f64, (f64, f64))> = others
                .flat_map(|(_, other)| [LEFT, RIGHT].map(|theirs| crossings(&rails[hand], &other.2[theirs])))
                .flatten()
                .collect();
            met.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut passed: Vec<usize> = Vec::new();
            for (_, at) in met {
                // The rails of slip roads run close beside those of the straight roads.
                let near = |f: &(f64, f64)| (f.0 - at.0).hypot(f.1 - at.1) < 0.3;
                let frog = frogs.iter().position(near).unwrap_or_else(|| {
                    frogs.push(at);
                    frogs.len() - 1
                });
                if !passed.contains(&frog) {
                    passed.push(frog);
                }
            }
            passed
        });
        roads.push(Drawn { from: *from, to: *to, passes });
    }
    let names = frogs.iter().map(|at| name(kind, *at)).collect();
    Drawing { roads, frogs, names }
}

/// What the circuit calls a frog, by where it lies.
fn name(kind: TurnoutKind, (x, y): (f64, f64)) -> &'static str {
    match kind {
        TurnoutKind::ThreeWay if y > 0.2 => "left frog",
        TurnoutKind::ThreeWay if y < -0.2 => "right frog",
        TurnoutKind::ThreeWay => "centre frog",
        _ if has_toe(kind) => "frog",
        _ if x < -1.0 => "a-c frog",
        _ if x > 1.0 => "b-d frog",
        _ if y > 0.0 => "a-d crossing",
        _ => "c-b crossing",
    }
}

/// Positions of the bars that set a road: bar, and whether it lies reverse.
pub fn set(turnout: &Turnout, from: Port, to: Port) -> Vec<(usize, bool)> {
    match (*turnout.kind, turnout.blades) {
        (TurnoutKind::Diamond, _) => Vec::new(),
        (TurnoutKind::ThreeWay, _) => vec![(0, to == Port::Left), (1, to == Port::Right)],
        (TurnoutKind::DoubleSlip, SlipBlades::BothAgree) => {
            let slips = matches!((from, to), (Port::A, Port::D) | (Port::C, Port::B));
            vec![(0, slips), (1, slips)]
        }
        // The blades at a and c choose the exit, those at b and d the entry.
        (TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip, _) => {
            vec![(0, to == Port::D), (1, from == Port::C)]
        }
        _ => vec![(0, to != turnout.normal)],
    }
}

/// When the blade that begins a rail lies against its stock rail; only behind a toe.
fn blade(turnout: &Turnout, to: Port, hand: usize) -> (usize, bool) {
    match (*turnout.kind, to, hand) {
        (TurnoutKind::ThreeWay, Port::Left, _) => (0, true),
        (TurnoutKind::ThreeWay, Port::Right, _) => (1, true),
        // Of the straight road, one blade is moved with each of the others.
        (TurnoutKind::ThreeWay, _, LEFT) => (0, false),
        (TurnoutKind::ThreeWay, ..) => (1, false),
        _ => (0, to != turnout.normal),
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Mover {
    Bar(usize),
    Selector(usize),
}

/// A link that conducts in one position of a mover.
#[derive(Clone, Copy)]
struct Link {
    a: usize,
    b: usize,
    mover: usize,
    reverse: bool,
}

/// Wheels along a road, or along a track.
struct Run {
    name: String,
    pieces: [Vec<usize>; 2],
    /// All of these must lie so.
    set: Vec<(usize, bool)>,
    /// Ways on at the ends where a neighbour decides, those of both ends together; one of them must be
    /// set, or no train comes.
    ways_on: Vec<Vec<(usize, bool)>>,
    /// Movers that suit themselves to the train, or are set for it.
    suits: Vec<usize>,
}

/// What was found, with the setting in which it shows.
#[derive(Debug, Default, PartialEq)]
pub struct Verdict {
    pub shorts: Vec<String>,
    /// Shorts only where both outer roads of a three-way are set at once, which no train survives and
    /// live frogs cannot be wired for.
    pub misused: Vec<String>,
    pub bad_runs: Vec<String>,
    pub settings: u64,
}

impl Verdict {
    pub fn fine(&self) -> bool {
        self.shorts.is_empty() && self.bad_runs.is_empty()
    }
}

struct Model<'a> {
    d: &'a Design,
    drawings: Vec<Drawing>,
    pieces: BTreeMap<String, usize>,
    /// Sets of what always conducts: pieces, then nets.
    parent: Vec<usize>,
    movers: Vec<Mover>,
    links: Vec<Link>,
}

fn root(parent: &[usize], mut i: usize) -> usize {
    while parent[i] != i {
        i = parent[i];
    }
    i
}

const HANDS: [&str; 2] = ["left", "right"];

impl<'a> Model<'a> {
    fn of(d: &'a Design) -> Model<'a> {
        let drawings: Vec<Drawing> = d.document.turnouts.iter().map(|t| draw(*t.kind)).collect();
        let mut names: Vec<String> = Vec::new();
        for (turnout, drawing) in d.document.turnouts.iter().zip(&drawings) {
            let name = &*turnout.name;
            names.extend(HANDS.map(|h| format!("{name} {h} stock rail")));
            names.extend(drawing.names.iter().map(|f| format!("{name} {f}")));
            for road in &drawing.roads {
                names.extend([LEFT, RIGHT].map(|h| through(turnout, road, h)));
            }
        }
        for track in &d.document.tracks {
            names.extend(HANDS.map(|h| format!("{} {h} rail", *track.name)));
        }
        let pieces: BTreeMap<String, usize> = names.into_iter().enumerate().map(|(i, n)| (n, i)).collect();
        let nodes = pieces.values().max().map_or(0, |m| m + 1) + d.circuit.nets.len();
        let movers = (0..d.document.bars.len()).map(Mover::Bar).collect();
        let mut model =
            Model { d, drawings, pieces, parent: (0..nodes).collect(), movers, links: Vec::new() };
        model.join_tracks();
        model.solder_wires();
        let mut links = model.blades();
        links.extend(model.contacts());
        for link in &mut links {
            (link.a, link.b) = (root(&model.parent, link.a), root(&model.parent, link.b));
        }
        model.links = links;
        model
    }

    fn piece(&self, name: &str) -> usize {
        *self.pieces.get(name).unwrap_or_else(|| panic!("the drawing has no {name}"))
    }

    fn net(&self, net: usize) -> usize {
        self.parent.len() - self.d.circuit.nets.len() + net
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (root(&self.parent, a), root(&self.parent, b));
        self.parent[a] = b;
    }

    fn mover(&mut self, mover: Mover) -> usize {
        self.movers.iter().position(|m| *m == mover).unwrap_or_else(|| {
            self.movers.push(mover);
            self.movers.len() - 1
        })
    }

    fn bar(&self, turnout: usize, index: usize) -> usize {
        self.d.document.bars_of(TurnoutId(turnout)).nth(index).expect("as many bars as drawn").0
    }

    fn conditions(&self, turnout: usize, set: Vec<(usize, bool)>) -> Vec<(usize, bool)> {
        set.into_iter().map(|(bar, reverse)| (self.bar(turnout, bar), reverse)).collect()
    }

    /// The metal that reaches an end of a turnout, by the hand of one who looks along the drawing.
    fn end(&self, turnout: usize, port: Port, hand: usize) -> String {
        let spec = &self.d.document.turnouts[turnout];
        let name = &*spec.name;
        if port == Port::Toe {
            return format!("{name} {} stock rail", HANDS[hand]);
        }
        let drawing = &self.drawings[turnout];
        // The first road at an end is a straight one; slip roads leave it further in.
        let road = drawing.roads.iter().find(|r| r.from == port || r.to == port).expect("drawn");
        let passes = &road.passes[hand];
        let frog = if road.to == port { passes.last() } else { passes.first() };
        match frog {
            None => format!("{name} {} stock rail", HANDS[hand]),
            Some(_) if *spec.frog == FrogKind::Insulated => through(spec, road, hand),
            Some(frog) => format!("{name} {}", drawing.names[*frog]),
        }
    }

    /// The track at an end of a turnout, and whether it begins there.
    fn track_at(&self, turnout: usize, port: Port) -> Option<(TrackId, bool)> {
        let end = TrackEnd::Port(TurnoutId(turnout), port);
        let found = |(i, t): (usize, &underboard::parse::Track)| {
            (*t.from == end).then_some((TrackId(i), true)).or((*t.to == end).then_some((TrackId(i), false)))
        };
        self.d.document.tracks.iter().enumerate().find_map(found)
    }

    fn track_rail(&self, (track, begins): (TrackId, bool), outward: usize) -> String {
        let hand = if begins { outward } else { 1 - outward };
        format!("{} {} rail", *self.d.document[track].name, HANDS[hand])
    }

    fn join_tracks(&mut self) {
        let d = self.d;
        let cut: Vec<(usize, Port, usize)> = d
            .rails
            .graph
            .edge_weights()
            .filter_map(|e| match e {
                Connection::Insulated(j) => Some(&d.rails.joints[*j]),
                _ => None,
            })
            .map(|j| (j.turnout.0, j.port, usize::from(j.side == Side::Right)))
            .collect();
        for (t, spec) in d.document.turnouts.iter().enumerate() {
            for port in spec.kind.ports() {
                let Some(track) = self.track_at(t, *port) else { continue };
                for outward in [LEFT, RIGHT] {
                    let along = !matches!(port, Port::Toe | Port::A | Port::C);
                    let here = self.end(t, *port, if along { outward } else { 1 - outward });
                    if !cut.contains(&(t, *port, outward)) {
                        let there = self.track_rail(track, outward);
                        self.join(self.piece(&here), self.piece(&there));
                    }
                }
            }
        }
    }

    fn solder_wires(&mut self) {
        for part in &self.d.circuit.parts {
            if let (PartKind::Rail { .. }, Some(net)) = (part.kind, part.pins[0].net) {
                self.join(self.piece(&part.designation), self.net(net.0));
            }
        }
    }

    fn blades(&self) -> Vec<Link> {
        let mut links = Vec::new();
        for (t, (spec, drawing)) in self.d.document.turnouts.iter().zip(&self.drawings).enumerate() {
            if !has_toe(*spec.kind) || *spec.frog == FrogKind::IsolatedWithWire {
                continue;
            }
            for road in &drawing.roads {
                for hand in [LEFT, RIGHT] {
                    let Some(first) = road.passes[hand].first() else { continue };
                    let closure = match *spec.frog {
                        FrogKind::Insulated => through(spec, road, hand),
                        _ => format!("{} {}", *spec.name, drawing.names[*first]),
                    };
                    let stock = format!("{} {} stock rail", *spec.name, HANDS[hand]);
                    let (bar, reverse) = blade(spec, road.to, hand);
                    let (a, b) = (self.piece(&closure), self.piece(&stock));
                    links.push(Link { a, b, mover: self.bar(t, bar), reverse });
                }
            }
        }
        links
    }

    fn contacts(&mut self) -> Vec<Link> {
        let mut links = Vec::new();
        for contact in &self.d.circuit.contacts {
            let part = &self.d.circuit[contact.part];
            let mover = self.mover(worked_by(part.kind));
            let net = |pin: usize| part.pins[pin].net;
            for (outer, reverse) in [(contact.normal, false), (contact.reverse, true)] {
                if let (Some(a), Some(b)) = (net(contact.common), net(outer)) {
                    links.push(Link { a: self.net(a.0), b: self.net(b.0), mover, reverse });
                }
            }
        }
        links
    }

    /// Both bars of every three-way, by their place among some movers.
    fn misuses(&self, movers: &[usize]) -> Vec<(usize, usize)> {
        let turnouts = self.d.document.turnouts.iter().enumerate();
        let three_ways = turnouts.filter(|(_, t)| *t.kind == TurnoutKind::ThreeWay);
        let place = |m: usize| movers.iter().position(|o| *o == m);
        three_ways.filter_map(|(t, _)| Some((place(self.bar(t, 0))?, place(self.bar(t, 1))?))).collect()
    }

    /// Feeds: where they come in, and whether it is B.
    fn feeds(&self) -> Vec<(usize, bool)> {
        let gives = |k: PartKind| {
            matches!(
                k,
                PartKind::TrackSupply | PartKind::DistrictCutout { .. } | PartKind::SectionSwitch { .. }
            )
        };
        let pins = self.d.circuit.parts.iter().filter(|p| gives(p.kind)).flat_map(|p| &p.pins);
        let fed = pins.filter(|p| matches!(p.name, "A" | "B"));
        fed.filter_map(|p| Some((root(&self.parent, self.net(p.net?.0)), p.name == "B"))).collect()
    }

    fn runs(&self) -> Vec<Run> {
        let mut runs = Vec::new();
        for (t, (spec, drawing)) in self.d.document.turnouts.iter().zip(&self.drawings).enumerate() {
            for road in &drawing.roads {
                let ends = [road.from, road.to].map(|p| self.track_at(t, p));
                let pieces = [LEFT, RIGHT].map(|hand| {
                    let mut way: Vec<String> = Vec::new();
                    way.extend(ends[0].map(|track| self.track_rail(track, 1 - hand)));
                    way.push(self.end(t, road.from, hand));
                    match *spec.frog {
                        FrogKind::Insulated => {
                            let lies = has_toe(*spec.kind) && !road.passes[hand].is_empty();
                            way.extend(lies.then(|| through(spec, road, hand)));
                        }
                        _ => way.extend(
                            road.passes[hand].iter().map(|f| format!("{} {}", *spec.name, drawing.names[*f])),
                        ),
                    }
                    way.push(self.end(t, road.to, hand));
                    way.extend(ends[1].map(|track| self.track_rail(track, hand)));
                    way.iter().map(|n| root(&self.parent, self.piece(n))).collect::<Vec<_>>()
                });
                let mut run = Run {
                    name: format!("{} {}-{}", *spec.name, road.from.word(), road.to.word()),
                    set: self.conditions(t, set(spec, road.from, road.to)),
                    pieces,
                    ways_on: Vec::new(),
                    suits: Vec::new(),
                };
                self.suit(&mut run, t, road);
                for track in ends.iter().flatten() {
                    let ways = self.ways_on(*track);
                    if ways.iter().flatten().any(|(m, _)| run.suits.contains(m)) {
                        run.ways_on = together(run.ways_on, ways);
                    }
                }
                runs.push(run);
            }
        }
        for (i, track) in self.d.document.tracks.iter().enumerate() {
            let ends = [*track.from, *track.to];
            let joins = ends.iter().any(|e| matches!(e, TrackEnd::Port(..)));
            if !joins || ends.contains(&TrackEnd::OffTheLayout) {
                let rails = [LEFT, RIGHT].map(|h| self.track_rail((TrackId(i), true), h));
                let pieces = rails.map(|n| vec![root(&self.parent, self.piece(&n))]);
                let name = (*track.name).clone();
                runs.push(Run { name, pieces, set: vec![], ways_on: vec![], suits: vec![] });
            }
        }
        runs
    }

    /// What sets the roads at the far end of a track.
    fn ways_on(&self, (track, begins): (TrackId, bool)) -> Vec<Vec<(usize, bool)>> {
        let track = &self.d.document[track];
        let TrackEnd::Port(far, port) = (if begins { *track.to } else { *track.from }) else {
            return Vec::new();
        };
        let on = self.drawings[far.0].roads.iter().filter(|r| r.from == port || r.to == port);
        on.map(|r| self.conditions(far.0, set(&self.d.document[far], r.from, r.to))).collect()
    }

    /// Whose contacts feed the pieces of a run, if it is none of the turnout's own bars: a switch
    /// stands as its label says, modules suit themselves, and a neighbour's bar lies for the train.
    fn suit(&self, run: &mut Run, turnout: usize, road: &Drawn) {
        let own: Vec<usize> = self.d.document.bars_of(TurnoutId(turnout)).map(|b| b.0).collect();
        for contact in &self.d.circuit.contacts {
            let part = &self.d.circuit[contact.part];
            let Some(common) = part.pins[contact.common].net else { continue };
            let fed = root(&self.parent, self.net(common.0));
            let worked = worked_by(part.kind);
            let mover = self.movers.iter().position(|m| *m == worked).expect("collected");
            if !run.pieces.iter().flatten().any(|p| *p == fed) || own.contains(&mover) {
                continue;
            }
            if let Mover::Selector(s) = worked
                && self.d.plan.selectors[s].kind == SelectorKind::Switch
            {
                let label = format!("{}-{}", road.from.word(), road.to.word());
                let says = self.d.plan.selectors[s].positions.each_ref().map(|p| {
                    p.split(", ").any(|r| r == label || road.from == Port::Toe && r == road.to.word())
                });
                if says[0] != says[1] {
                    run.set.push((mover, says[1]));
                    continue;
                }
            }
            if !run.suits.contains(&mover) {
                run.suits.push(mover);
            }
        }
    }
}

/// Ways on at both ends at once. A train that needs a neighbour to lie in one position when it comes
/// and in the other when it leaves (round a loop) has one of them at a time.
fn together(one: Vec<Vec<(usize, bool)>>, other: Vec<Vec<(usize, bool)>>) -> Vec<Vec<(usize, bool)>> {
    let agree = |a: &[(usize, bool)], b: &[(usize, bool)]| {
        a.iter().all(|(m, lies)| b.iter().all(|(n, as_well)| m != n || lies == as_well))
    };
    let both: Vec<_> = one
        .iter()
        .flat_map(|a| other.iter().filter(|b| agree(a, b)).map(|b| [a.as_slice(), b.as_slice()].concat()))
        .collect();
    if both.is_empty() { [one, other].concat() } else { both }
}

fn worked_by(kind: PartKind) -> Mover {
    match kind {
        PartKind::Drive { bar, .. } | PartKind::Microswitch { bar } | PartKind::Relay { bar, .. } => {
            Mover::Bar(bar.0)
        }
        PartKind::PolaritySwitch { selector } | PartKind::ReverserModule { selector } => {
            Mover::Selector(selector.0)
        }
        other => panic!("{other:?} has no contacts"),
    }
}

/// The rail of a road through an insulated frog, which is linked underneath.
fn through(turnout: &Turnout, road: &Drawn, hand: usize) -> String {
    format!("{} {} rail of road {}-{}", *turnout.name, HANDS[hand], road.from.word(), road.to.word())
}

/// More movers than this are not tried all together, but run by run.
const TOGETHER: usize = 18;

/// Tries everything.
pub fn judge(d: &Design) -> Verdict {
    let model = Model::of(d);
    let (feeds, runs) = (model.feeds(), model.runs());
    let mut verdict = Verdict::default();
    for (i, (one, _)) in feeds.iter().enumerate() {
        if feeds[..i].iter().any(|(other, _)| other == one) {
            verdict.shorts.push("always".into());
            return verdict;
        }
    }
    if model.movers.len() <= TOGETHER {
        let all: Vec<usize> = (0..model.movers.len()).collect();
        let runs: Vec<&Run> = runs.iter().collect();
        batch(&model, &feeds, &all, &model.links, &runs, &mut verdict);
        return verdict;
    }
    // What hangs together by links, but for the feeds themselves.
    let mut parent: Vec<usize> = (0..model.parent.len()).collect();
    let fed = |i: usize| feeds.iter().any(|f| f.0 == i);
    for link in model.links.iter().filter(|l| !fed(l.a) && !fed(l.b)) {
        let (a, b) = (root(&parent, link.a), root(&parent, link.b));
        parent[a] = b;
    }
    let group = |l: &Link| match (fed(l.a), fed(l.b)) {
        (false, _) => (true, root(&parent, l.a)),
        (_, false) => (true, root(&parent, l.b)),
        _ => (false, l.mover),
    };
    let mut groups: BTreeMap<(bool, usize), Vec<Link>> = BTreeMap::new();
    for link in &model.links {
        groups.entry(group(link)).or_default().push(*link);
    }
    let movers = |links: &[Link], run: Option<&Run>| {
        let mut movers: Vec<usize> = links.iter().map(|l| l.mover).collect();
        if let Some(run) = run {
            movers.extend(run.set.iter().chain(run.ways_on.iter().flatten()).map(|(m, _)| *m));
            movers.extend(&run.suits);
        }
        movers.sort_unstable();
        movers.dedup();
        movers
    };
    for links in groups.values() {
        batch(&model, &feeds, &movers(links, None), links, &[], &mut verdict);
    }
    for run in &runs {
        let mut mine: Vec<(bool, usize)> =
            run.pieces.iter().flatten().map(|p| (true, root(&parent, *p))).collect();
        mine.sort_unstable();
        mine.dedup();
        let links: Vec<Link> = mine.iter().filter_map(|g| groups.get(g)).flatten().copied().collect();
        batch(&model, &feeds, &movers(&links, Some(run)), &links, &[run], &mut verdict);
    }
    verdict
}

/// The settings of a word in which a mover lies reverse.
fn lies_reverse(bit: usize, word: usize) -> u64 {
    const INSIDE: [u64; 6] = [
        0xAAAA_AAAA_AAAA_AAAA,
        0xCCCC_CCCC_CCCC_CCCC,
        0xF0F0_F0F0_F0F0_F0F0,
        0xFF00_FF00_FF00_FF00,
        0xFFFF_0000_FFFF_0000,
        0xFFFF_FFFF_0000_0000,
    ];
    match bit {
        0..6 => INSIDE[bit],
        _ if word >> (bit - 6) & 1 == 1 => u64::MAX,
        _ => 0,
    }
}

/// All positions of some movers.
fn batch(
    model: &Model,
    feeds: &[(usize, bool)],
    movers: &[usize],
    links: &[Link],
    runs: &[&Run],
    verdict: &mut Verdict,
) {
    assert!(movers.len() <= 24, "{} movers hang together", movers.len());
    let words = 1usize << movers.len().saturating_sub(6);
    verdict.settings += 1 << movers.len();
    let bit = |m: usize| movers.iter().position(|o| *o == m).expect("every mover is in the batch");
    // Small numbers for the islands that take part.
    let mut islands: Vec<usize> = feeds.iter().map(|f| f.0).collect();
    islands.extend(links.iter().flat_map(|l| [l.a, l.b]));
    islands.extend(runs.iter().flat_map(|r| r.pieces.iter().flatten()));
    islands.sort_unstable();
    islands.dedup();
    let small = |i: usize| islands.binary_search(&i).expect("collected");
    let links: Vec<(usize, usize, usize, bool)> =
        links.iter().map(|l| (small(l.a), small(l.b), bit(l.mover), l.reverse)).collect();
    let bits = |set: &[(usize, bool)]| set.iter().map(|(m, r)| (bit(*m), *r)).collect::<Vec<_>>();
    let lie = |set: &[(usize, bool)], word: usize| {
        set.iter().fold(u64::MAX, |all, (bit, reverse)| {
            let r = lies_reverse(*bit, word);
            all & if *reverse { r } else { !r }
        })
    };
    let runs: Vec<_> = runs
        .iter()
        .map(|r| {
            let pieces = r.pieces.each_ref().map(|p| p.iter().map(|i| small(*i)).collect::<Vec<_>>());
            let on: Vec<Vec<(usize, bool)>> = r.ways_on.iter().map(|s| bits(s)).collect();
            (r, pieces, bits(&r.set), on)
        })
        .collect();
    let mut wanted: Vec<Vec<u64>> = vec![Vec::new(); runs.len()];
    let mut good: Vec<Vec<u64>> = vec![Vec::new(); runs.len()];
    let n = feeds.len();
    let mut short: Option<(usize, usize, usize, u64)> = None;
    let mut misused = short;
    let misuses = model.misuses(movers);
    for word in 0..words {
        let mut on = vec![0u64; islands.len() * n];
        for (f, feed) in feeds.iter().enumerate() {
            on[small(feed.0) * n + f] = u64::MAX;
        }
        loop {
            let mut spread = false;
            for (a, b, bit, reverse) in &links {
                let r = lies_reverse(*bit, word);
                let conducts = if *reverse { r } else { !r };
                for f in 0..n {
                    let both = (on[a * n + f] | on[b * n + f]) & conducts;
                    for i in [a * n + f, b * n + f] {
                        spread |= both & !on[i] != 0;
                        on[i] |= both;
                    }
                }
            }
            if !spread {
                break;
            }
        }
        for island in 0..islands.len() {
            for f in 0..n {
                for g in 0..f {
                    let both = on[island * n + f] & on[island * n + g];
                    let misuse = misuses
                        .iter()
                        .fold(0, |any, (l, r)| any | lies_reverse(*l, word) & lies_reverse(*r, word));
                    for (seen, mask) in [(&mut short, both & !misuse), (&mut misused, both & misuse)] {
                        if mask != 0 && seen.is_none() {
                            *seen = Some((f, g, word, mask));
                        }
                    }
                }
            }
        }
        let letter = |island: usize, b: bool| {
            (0..n).filter(|f| feeds[*f].1 == b).fold(0, |all, f| all | on[island * n + f])
        };
        for (i, (_, pieces, set, ways)) in runs.iter().enumerate() {
            let mut set = lie(set, word);
            if !ways.is_empty() {
                set &= ways.iter().fold(0, |any, way| any | lie(way, word));
            }
            let all = |hand: usize, b: bool| pieces[hand].iter().fold(u64::MAX, |all, p| all & letter(*p, b));
            let fine = all(LEFT, false) & all(RIGHT, true) | all(LEFT, true) & all(RIGHT, false);
            wanted[i].push(set);
            good[i].push(set & fine);
        }
    }
    let told = |word: usize, mask: u64| {
        let setting = word << 6 | mask.trailing_zeros() as usize;
        let one = |(i, m): (usize, &usize)| {
            let name = match model.movers[*m] {
                Mover::Bar(b) => model.d.document.bars[b].name.clone(),
                Mover::Selector(s) => model.d.plan.selectors[s].name.clone(),
            };
            format!("{name} {}", if setting >> i & 1 == 1 { "reverse" } else { "normal" })
        };
        movers.iter().enumerate().map(one).collect::<Vec<_>>().join(", ")
    };
    for (seen, list) in [(short, &mut verdict.shorts), (misused, &mut verdict.misused)] {
        list.extend(seen.map(|(f, g, word, mask)| format!("feeds {f} and {g} with {}", told(word, mask))));
    }
    for (i, (run, ..)) in runs.iter().enumerate() {
        for mover in &run.suits {
            exists(&mut wanted[i], bit(*mover));
            exists(&mut good[i], bit(*mover));
        }
        let bad = wanted[i].iter().zip(&good[i]).map(|(w, g)| w & !g).enumerate().find(|(_, m)| *m != 0);
        if let Some((word, mask)) = bad {
            verdict.bad_runs.push(format!("{} with {}", run.name, told(word, mask)));
        }
    }
}

/// In each setting: whether it is so in one of the positions of a mover.
fn exists(masks: &mut [u64], bit: usize) {
    if bit < 6 {
        let reverse = lies_reverse(bit, 0);
        for m in masks {
            *m |= (*m & reverse) >> (1 << bit) | (*m & !reverse) << (1 << bit);
        }
        return;
    }
    let step = 1 << (bit - 6);
    for word in (0..masks.len()).filter(|w| w & step == 0) {
        let both = masks[word] | masks[word | step];
        (masks[word], masks[word | step]) = (both, both);
    }
}
