//! The part of a layout that goes onto one sheet: turnouts, pieces of track, and the lines they
//! form, from top to bottom.

use super::course::{Course, Facing};
use super::shape::leads_left;
use crate::draw::sheets::is_level;
use crate::parse::{Document, Port, Track, TrackEnd, TrackId, TurnoutId};
use petgraph::unionfind::UnionFind;
use std::collections::{BTreeSet, VecDeque};

/// A turnout of the sheet, or a track that joins no turnout.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    Turnout(TurnoutId),
    Track(TrackId),
}

/// Where a piece of track ends on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// A turnout of this sheet, by its place in [`Sketch::turnouts`].
    Port(usize, Port),
    Buffer,
    Off,
    /// Goes on elsewhere, on this sheet or another.
    Cut(TurnoutId, Port),
}

/// A track, or one end of a track that is drawn in two.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub track: TrackId,
    /// The end towards the track's own `from`.
    pub from: End,
    pub to: End,
    /// Bears the track's name and droppers. Of a track in two ends only one does.
    pub main: bool,
}

/// A diverging road and the piece it leads onto.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    pub turnout: usize,
    pub port: Port,
    pub piece: usize,
    /// Towards the top of the sheet.
    pub up: bool,
}

/// What is to be drawn, and in which order the lines lie.
#[derive(Clone, Debug)]
pub struct Sketch {
    pub turnouts: Vec<TurnoutId>,
    pub facing: Vec<Facing>,
    /// Diamonds and slips whose road c–d lies level.
    pub across: Vec<bool>,
    pub pieces: Vec<Piece>,
    pub branches: Vec<Branch>,
    /// The line each turnout lies on, by number.
    pub line_of_turnout: Vec<usize>,
    pub line_of_piece: Vec<usize>,
    /// The lines from top to bottom.
    pub order: Vec<usize>,
}

impl Sketch {
    /// Sketches some units of a layout. Tracks whose roads would have to cross others to get where
    /// they lead are added to `cut`.
    pub fn of(document: &Document, course: &Course, units: &[Unit], cut: &mut BTreeSet<TrackId>) -> Sketch {
        loop {
            let mut sketch = Sketch::joined(document, course, units, cut);
            match sketch.sort_lines(course) {
                None => return sketch,
                Some(track) => {
                    cut.insert(track);
                }
            }
        }
    }

    fn joined(document: &Document, course: &Course, units: &[Unit], cut: &BTreeSet<TrackId>) -> Sketch {
        let mut turnouts = Vec::new();
        let mut local = vec![None; document.turnouts.len()];
        for unit in units {
            if let Unit::Turnout(t) = unit {
                local[t.0] = Some(turnouts.len());
                turnouts.push(*t);
            }
        }
        let facing: Vec<Facing> = turnouts.iter().map(|t| course.facing[t.0]).collect();
        let across: Vec<bool> = turnouts.iter().map(|t| course.across[t.0]).collect();
        let mut pieces = Vec::new();
        for (i, track) in document.tracks.iter().enumerate() {
            let id = TrackId(i);
            pieces.extend(pieces_of(id, track, &local, cut.contains(&id), units));
        }
        let count = turnouts.len();
        let mut lines = UnionFind::<usize>::new(count + pieces.len());
        let mut sloping = Vec::new();
        for (i, piece) in pieces.iter().enumerate() {
            for end in [piece.from, piece.to] {
                let End::Port(t, port) = end else { continue };
                if lies_level(across[t], port) {
                    lines.union(t, count + i);
                } else {
                    let left = leads_left(*document[turnouts[t]].kind, port);
                    let up = left == (facing[t] == Facing::East);
                    sloping.push(Branch { turnout: t, port, piece: i, up });
                }
            }
        }
        // Lines are numbered as they are met.
        let mut numbers: Vec<usize> = Vec::new();
        let mut number = |root: usize| match numbers.iter().position(|n| *n == root) {
            Some(n) => n,
            None => {
                numbers.push(root);
                numbers.len() - 1
            }
        };
        let line_of_turnout = (0..count).map(|t| number(lines.find(t))).collect();
        let line_of_piece = (0..pieces.len()).map(|p| number(lines.find(count + p))).collect();
        Sketch {
            turnouts,
            facing,
            across,
            pieces,
            branches: sloping,
            line_of_turnout,
            line_of_piece,
            order: Vec::new(),
        }
    }

    pub fn line_count(&self) -> usize {
        self.line_of_turnout.iter().chain(&self.line_of_piece).max().map_or(0, |m| m + 1)
    }

    /// Orders the lines so that every diverging road leaves on its own side: each new line goes
    /// right beside the one it leaves. Returns a track that contradicts the order, if there is one.
    fn sort_lines(&mut self, course: &Course) -> Option<TrackId> {
        let lines = self.line_count();
        let weight = |line: usize| self.line_of_turnout.iter().filter(|l| **l == line).count();
        let mut by_weight: Vec<usize> = (0..lines).collect();
        by_weight.sort_by_key(|l| (std::cmp::Reverse(weight(*l)), *l));
        let mut order: Vec<usize> = Vec::new();
        let mut placed = vec![false; lines];
        for start in by_weight {
            if placed[start] {
                continue;
            }
            let mut queue = VecDeque::from([start]);
            placed[start] = true;
            order.push(start);
            while let Some(line) = queue.pop_front() {
                for branch in self.branches_of(line, course) {
                    let piece_line = self.line_of_piece[branch.piece];
                    let turnout_line = self.line_of_turnout[branch.turnout];
                    let up_of = |a: usize, b: usize| {
                        let at = |l: usize| order.iter().position(|o| *o == l);
                        at(a) < at(b)
                    };
                    let new = if placed[piece_line] { turnout_line } else { piece_line };
                    if placed[new] {
                        let right =
                            piece_line != turnout_line && up_of(piece_line, turnout_line) == branch.up;
                        if !right {
                            return Some(self.pieces[branch.piece].track);
                        }
                        continue;
                    }
                    let old = if new == piece_line { turnout_line } else { piece_line };
                    let above = branch.up == (new == piece_line);
                    let at = order.iter().position(|o| *o == old).unwrap_or(0);
                    order.insert(if above { at } else { at + 1 }, new);
                    placed[new] = true;
                    queue.push_back(new);
                }
            }
        }
        self.order = order;
        None
    }

    /// The branches that touch a line; those further along first lie outermost, so that nested
    /// sidings do not cross.
    fn branches_of(&self, line: usize, course: &Course) -> Vec<Branch> {
        let mut found: Vec<Branch> = self
            .branches
            .iter()
            .copied()
            .filter(|b| self.line_of_turnout[b.turnout] == line || self.line_of_piece[b.piece] == line)
            .collect();
        let key = |b: &Branch| {
            let rank = course.rank[self.turnouts[b.turnout].0] as isize;
            let east = self.facing[b.turnout].outward(b.port) == Facing::East;
            (!east, if east { rank } else { -rank }, b.turnout, b.port)
        };
        found.sort_by_key(key);
        found
    }

    /// The ends of a piece, left and right on the sheet, and whether it is drawn from `to` to `from`.
    pub fn west_east(&self, piece: &Piece) -> (End, End, bool) {
        let out = |e: End| match e {
            End::Port(t, port) => Some(self.facing[t].outward(port)),
            _ => None,
        };
        let reversed = match (out(piece.from), out(piece.to)) {
            (Some(way), _) => way == Facing::West,
            (None, Some(way)) => way == Facing::East,
            (None, None) => false,
        };
        if reversed { (piece.to, piece.from, true) } else { (piece.from, piece.to, false) }
    }

    /// Whether a port lies on its turnout's own line.
    pub fn is_level(&self, turnout: usize, port: Port) -> bool {
        lies_level(self.across[turnout], port)
    }

    pub fn branch_at(&self, turnout: usize, port: Port) -> Option<&Branch> {
        self.branches.iter().find(|b| b.turnout == turnout && b.port == port)
    }
}

fn lies_level(across: bool, port: Port) -> bool {
    match port {
        Port::A | Port::B => !across,
        Port::C | Port::D => across,
        _ => is_level(port),
    }
}

fn pieces_of(id: TrackId, track: &Track, local: &[Option<usize>], cut: bool, units: &[Unit]) -> Vec<Piece> {
    let end = |e: TrackEnd| match e {
        TrackEnd::Port(t, port) => match local[t.0] {
            Some(i) => End::Port(i, port),
            None => End::Cut(t, port),
        },
        TrackEnd::Buffer => End::Buffer,
        TrackEnd::OffTheLayout => End::Off,
    };
    let (from, to) = (end(*track.from), end(*track.to));
    let here = |e: End| matches!(e, End::Port(..));
    let elsewhere = |e: TrackEnd| match e {
        TrackEnd::Port(t, port) => End::Cut(t, port),
        _ => End::Buffer,
    };
    match (here(from), here(to)) {
        (true, true) if cut => vec![
            Piece { track: id, from, to: elsewhere(*track.to), main: true },
            Piece { track: id, from: elsewhere(*track.from), to, main: false },
        ],
        (true, _) => vec![Piece { track: id, from, to, main: true }],
        // The sheet of its `from` end bears the name, if that is a turnout.
        (false, true) => vec![Piece { track: id, from, to, main: !matches!(from, End::Cut(..)) }],
        (false, false) if units.contains(&Unit::Track(id)) => vec![Piece { track: id, from, to, main: true }],
        (false, false) => Vec::new(),
    }
}
