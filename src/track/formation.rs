//! How each kind of turnout is made, described once: its roads, the crossings (frogs) that each
//! rail of each road passes, and its blades. Polarity, joints and frog feeds follow from that.
//!
//! A road runs from one port to another; its left and right rails are those seen in that direction.
//! Where the rail of one road crosses the rail of another there is a crossing, and whoever runs over
//! one of the two roads needs it to have the feed of that road's rail.

use super::{Position, Side};
use crate::parse::{Port, SlipBlades, Turnout, TurnoutKind};
use Position::{Normal as N, Reverse as R};

/// The description of a kind of turnout.
struct Plan {
    roads: &'static [Road],
    /// Names of the crossings, told in words after the turnout's name.
    crossings: &'static [&'static str],
    blades: &'static [Blade],
    /// Settings of the bars that no road may be used in, with the reason.
    forbidden: &'static [(&'static [Position], &'static str)],
}

/// A way through a turnout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Road {
    pub from: Port,
    pub to: Port,
    /// Crossings that its left rail passes, in order; none for a stock rail.
    pub left: &'static [usize],
    pub right: &'static [usize],
    /// The positions of the tie bars that set it.
    set: &'static [Position],
}

/// A blade: it touches the stock rail on its own side in one position of a bar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Blade {
    pub road: usize,
    pub side: Side,
    pub bar: usize,
    pub position: Position,
}

const fn road(
    from: Port,
    to: Port,
    left: &'static [usize],
    right: &'static [usize],
    set: &'static [Position],
) -> Road {
    Road { from, to, left, right, set }
}

const fn blade(road: usize, side: Side, bar: usize, position: Position) -> Blade {
    Blade { road, side, bar, position }
}

/// Two roads from a toe; the first is the normal one unless the builder says otherwise.
const LEADS_LEFT: [Blade; 2] = [blade(0, Side::Left, 0, N), blade(1, Side::Right, 0, R)];
const LEADS_RIGHT: [Blade; 2] = [blade(0, Side::Right, 0, N), blade(1, Side::Left, 0, R)];

const LEFT: Plan = Plan {
    roads: &[
        road(Port::Toe, Port::Straight, &[0], &[], &[N]),
        road(Port::Toe, Port::Diverging, &[], &[0], &[R]),
    ],
    crossings: &["frog"],
    blades: &LEADS_LEFT,
    forbidden: &[],
};

const RIGHT: Plan = Plan {
    roads: &[
        road(Port::Toe, Port::Straight, &[], &[0], &[N]),
        road(Port::Toe, Port::Diverging, &[0], &[], &[R]),
    ],
    crossings: &["frog"],
    blades: &LEADS_RIGHT,
    forbidden: &[],
};

const WYE: Plan = Plan {
    roads: &[road(Port::Toe, Port::Left, &[], &[0], &[N]), road(Port::Toe, Port::Right, &[0], &[], &[R])],
    crossings: &["frog"],
    blades: &LEADS_RIGHT,
    forbidden: &[],
};

const CURVED_LEFT: Plan = Plan {
    roads: &[road(Port::Toe, Port::Outer, &[0], &[], &[N]), road(Port::Toe, Port::Inner, &[], &[0], &[R])],
    ..LEFT
};

const CURVED_RIGHT: Plan = Plan {
    roads: &[road(Port::Toe, Port::Outer, &[], &[0], &[N]), road(Port::Toe, Port::Inner, &[0], &[], &[R])],
    ..RIGHT
};

/// Two turnouts in one: the left bar chooses the left road, the right bar the right one. The centre
/// frog, where the outer roads cross, lies nearest to the toe.
const THREE_WAY: Plan = Plan {
    roads: &[
        road(Port::Toe, Port::Straight, &[0], &[2], &[N, N]),
        road(Port::Toe, Port::Left, &[], &[1, 0], &[R, N]),
        road(Port::Toe, Port::Right, &[1, 2], &[], &[N, R]),
    ],
    crossings: &["left frog", "centre frog", "right frog"],
    blades: &[
        blade(0, Side::Left, 0, N),
        blade(1, Side::Right, 0, R),
        blade(0, Side::Right, 1, N),
        blade(2, Side::Left, 1, R),
    ],
    forbidden: &[(&[R, R], "the blades of the outer roads lie against each other: a train derails")],
};

/// Crossings: the acute frogs at either end, and the obtuse ones on either side.
const DIAMOND_CROSSINGS: &[&str] = &["a-c frog", "b-d frog", "a-d crossing", "c-b crossing"];

const AB: Road = road(Port::A, Port::B, &[2, 1], &[0, 3], &[]);
const CD: Road = road(Port::C, Port::D, &[0, 2], &[3, 1], &[]);
const AD: Road = road(Port::A, Port::D, &[], &[0, 1], &[]);
const CB: Road = road(Port::C, Port::B, &[0, 1], &[], &[]);

const fn set(road: Road, set: &'static [Position]) -> Road {
    Road { set, ..road }
}

const DIAMOND: Plan = Plan { roads: &[AB, CD], crossings: DIAMOND_CROSSINGS, blades: &[], forbidden: &[] };

/// The bar at the end of a and c chooses b (normal) or d, the other one a (normal) or c.
const DOUBLE_SLIP: Plan = Plan {
    roads: &[set(AB, &[N, N]), set(CD, &[R, R]), set(AD, &[R, N]), set(CB, &[N, R])],
    crossings: DIAMOND_CROSSINGS,
    blades: &[],
    forbidden: &[],
};

const SINGLE_SLIP: Plan = Plan {
    roads: &[set(AB, &[N, N]), set(CD, &[R, R]), set(AD, &[R, N])],
    crossings: DIAMOND_CROSSINGS,
    blades: &[],
    forbidden: &[(&[N, R], "both straight roads lie open and the frogs are wrong for either: a short")],
};

/// Both bars straight, or both bars over to the slip roads.
const AGREEING_SLIP: Plan = Plan {
    roads: &[set(AB, &[N, N]), set(CD, &[N, N]), set(AD, &[R, R]), set(CB, &[R, R])],
    crossings: DIAMOND_CROSSINGS,
    blades: &[],
    forbidden: &[
        (&[N, R], "the two ends disagree: a train derails"),
        (&[R, N], "the two ends disagree: a train derails"),
    ],
};

/// A turnout as it is made, with its normal position as the builder wants it.
#[derive(Clone, Copy)]
pub struct Formation {
    plan: &'static Plan,
    kind: TurnoutKind,
    /// Whether the builder calls the second road of two the normal one.
    flipped: bool,
}

impl Formation {
    pub fn of(turnout: &Turnout) -> Formation {
        let plan = match *turnout.kind {
            TurnoutKind::Left => &LEFT,
            TurnoutKind::Right => &RIGHT,
            TurnoutKind::Wye => &WYE,
            TurnoutKind::CurvedLeft => &CURVED_LEFT,
            TurnoutKind::CurvedRight => &CURVED_RIGHT,
            TurnoutKind::ThreeWay => &THREE_WAY,
            TurnoutKind::Diamond => &DIAMOND,
            TurnoutKind::SingleSlip => &SINGLE_SLIP,
            TurnoutKind::DoubleSlip => match turnout.blades {
                SlipBlades::FarExit => &DOUBLE_SLIP,
                SlipBlades::BothAgree => &AGREEING_SLIP,
            },
        };
        let kind = *turnout.kind;
        let flipped = kind.bars().len() == 1 && turnout.normal != plan.roads[0].to;
        Formation { plan, kind, flipped }
    }

    /// Its roads; the first is set with all bars normal, unless the builder turned that round.
    pub fn roads(&self) -> &'static [Road] {
        self.plan.roads
    }

    pub fn crossings(&self) -> &'static [&'static str] {
        self.plan.crossings
    }

    pub fn has_toe(&self) -> bool {
        self.kind.has_toe()
    }

    pub fn bars(&self) -> usize {
        self.kind.bars().len()
    }

    fn turned(&self, position: Position) -> Position {
        if self.flipped { position.other() } else { position }
    }

    /// Its blades, with the position of the bar in which each of them touches.
    pub fn blades(&self) -> impl Iterator<Item = Blade> + use<> {
        let this = *self;
        self.plan.blades.iter().map(move |b| Blade { position: this.turned(b.position), ..*b })
    }

    /// The positions of the bars that set a road, one for each bar.
    pub fn setting(&self, road: usize) -> Vec<Position> {
        self.plan.roads[road].set.iter().map(|p| self.turned(*p)).collect()
    }

    /// The road of this name: that of both its ends ("a-d"), or of its far end ("left").
    pub fn road_named(&self, word: &str) -> Option<usize> {
        use crate::parse::Word;
        let is = |road: &Road| road.name() == word || self.has_toe() && road.to.word() == word;
        self.plan.roads.iter().position(is)
    }

    /// Where its bars stand for a position or a road in words, and which road that is if it was
    /// named. A position is `normal` or `reverse`, and only a single bar has one.
    pub fn asked(&self, word: &str) -> Option<(Vec<Position>, Option<usize>)> {
        match Position::from_word(word).filter(|_| self.bars() == 1) {
            Some(position) => Some((vec![position], None)),
            None => self.road_named(word).map(|road| (self.setting(road), Some(road))),
        }
    }

    /// Everything that can be asked of it, in words.
    pub fn askable(&self) -> Vec<String> {
        let roads = self.plan.roads.iter().map(Road::name);
        let positions = Position::ALL.iter().map(|p| p.word().to_owned());
        roads.chain(positions.filter(|_| self.bars() == 1)).collect()
    }

    /// The roads that a setting of the bars lies for. Without bars it lies for all of them.
    pub fn roads_at(&self, setting: &[Position]) -> Vec<usize> {
        (0..self.plan.roads.len()).filter(|r| self.setting(*r) == setting).collect()
    }

    /// Whether a road of a diamond or slip leads straight across.
    pub fn leads_across(&self, road: usize) -> bool {
        !self.plan.roads[road].left.is_empty() && !self.plan.roads[road].right.is_empty()
    }

    /// Settings in which no train may use it, with the reason.
    pub fn forbidden(&self) -> &'static [(&'static [Position], &'static str)] {
        self.plan.forbidden
    }

    /// Why no train may use it in a setting; `None` if one may.
    pub fn why_forbidden(&self, setting: &[Position]) -> Option<&'static str> {
        self.forbidden().iter().find(|(bad, _)| *bad == setting).map(|(_, reason)| *reason)
    }

    /// The heel ports of a turnout with a toe, from left to right.
    pub fn branches(&self) -> Vec<Port> {
        let of = |left: bool, right: bool| {
            let found = self
                .plan
                .roads
                .iter()
                .filter(move |r| (r.left.is_empty(), r.right.is_empty()) == (left, right));
            found.map(|r| r.to)
        };
        of(true, false).chain(of(false, false)).chain(of(false, true)).collect()
    }

    pub fn left_branch(&self) -> Port {
        self.branches()[0]
    }

    pub fn right_branch(&self) -> Port {
        let branches = self.branches();
        branches[branches.len() - 1]
    }

    /// The heel port of the road that is set; of a turnout with one bar.
    pub fn road(&self, position: Position) -> Port {
        let found = (0..self.plan.roads.len()).find(|r| self.setting(*r) == [position]);
        self.plan.roads[found.unwrap_or(0)].to
    }

    /// Roads that use a port.
    pub fn roads_of(&self, port: Port) -> impl Iterator<Item = usize> + use<> {
        let roads = self.plan.roads;
        (0..roads.len()).filter(move |r| roads[*r].from == port || roads[*r].to == port)
    }

    /// Roads without a common port lie independently of each other: each set of roads that hang
    /// together has one frame, named by its first road.
    pub fn frame(&self, road: usize) -> usize {
        let roads = self.plan.roads;
        let meets = |a: &Road, b: &Road| [a.from, a.to].iter().any(|p| *p == b.from || *p == b.to);
        // Two steps reach everything: no formation has more than four roads.
        let near = |r: usize| (0..roads.len()).filter(move |o| meets(&roads[*o], &roads[r]));
        near(road).flat_map(near).min().unwrap_or(road)
    }

    /// The frame of a port, and whether looking outward from it is looking along the frame.
    pub fn port_frame(&self, port: Port) -> Option<(usize, bool)> {
        let road = self.roads_of(port).next()?;
        Some((self.frame(road), self.plan.roads[road].to == port))
    }

    /// The rails that pass a crossing: road and side.
    pub fn through(&self, crossing: usize) -> Vec<(usize, Side)> {
        let sides = |(r, road): (usize, &'static Road)| {
            Side::ALL.into_iter().filter(move |s| road.rail(*s).contains(&crossing)).map(move |s| (r, s))
        };
        self.plan.roads.iter().enumerate().flat_map(sides).collect()
    }

    /// The crossing whose metal reaches a port on one side, looking outward; `None`: a stock rail.
    pub fn crossing_at(&self, port: Port, outward: Side) -> Option<usize> {
        self.roads_of(port).find_map(|r| {
            let road = &self.plan.roads[r];
            if road.to == port {
                road.rail(outward).last().copied()
            } else if self.has_toe() {
                None // between toe and frog there are the blades
            } else {
                road.rail(outward.other()).first().copied()
            }
        })
    }
}

impl Road {
    pub fn rail(&self, side: Side) -> &'static [usize] {
        match side {
            Side::Left => self.left,
            Side::Right => self.right,
        }
    }

    /// "a–b", "toe–left"
    pub fn name(&self) -> String {
        use crate::parse::Word;
        if self.from == Port::Toe {
            self.to.word().to_owned()
        } else {
            format!("{}-{}", self.from.word(), self.to.word())
        }
    }
}
