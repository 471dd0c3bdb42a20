//! Where everything of a sketch stands: columns from left to right by difference constraints, rows
//! from top to bottom by the order of the lines, sharing rows where lines do not meet.

use super::shape::Style;
use super::sketch::{Branch, End, Sketch};
use crate::draw::sheets::is_toe_end;
use crate::parse::{Document, Port, TrackId, TurnoutKind};
use std::collections::BTreeSet;

/// A sketch with places.
#[derive(Clone, Debug)]
pub struct Spread {
    /// x of each turnout's toe, from the left end of the drawing.
    pub toe: Vec<f64>,
    /// x of both ends of the level part of each piece.
    pub level: Vec<(f64, f64)>,
    /// Row of each line, from the top.
    pub row: Vec<usize>,
    pub width: f64,
    pub rows: usize,
}

/// Why there is no spread: this road cannot get past another line.
pub struct Blocked(pub TrackId);

/// `x[to]` is at least `x[from] + gap`.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Constraint {
    from: usize,
    to: usize,
    gap: f64,
}

/// A stretch along the sheet, from `x[var] + low` to `x[var] + high`.
#[derive(Clone, Copy, Debug)]
struct Stretch {
    var: usize,
    low: f64,
    high: f64,
}

/// Between lines that share a row, for what stands beyond their ends.
const BETWEEN_LINES: f64 = 16.0;
/// Between a sloping road and what it passes.
const CLEAR: f64 = 7.0;

pub struct Spreader<'a> {
    pub document: &'a Document,
    pub sketch: &'a Sketch,
    pub style: &'a Style,
    /// Least level length of each piece.
    pub least: &'a [f64],
    /// Whether a line may move aside for a road that slopes past it.
    pub aside: bool,
}

impl Spreader<'_> {
    fn kind(&self, turnout: usize) -> TurnoutKind {
        *self.document[self.sketch.turnouts[turnout]].kind
    }

    /// x of the end opposite to the toe, from the toe.
    fn heel(&self, turnout: usize) -> f64 {
        self.sketch.facing[turnout].sign() * self.style.length_of(self.kind(turnout))
    }

    /// x of a port, from the toe.
    fn port(&self, turnout: usize, port: Port) -> f64 {
        if is_toe_end(port) { 0.0 } else { self.heel(turnout) }
    }

    fn drop(&self, branch: &Branch, row: &[usize]) -> usize {
        let line = row[self.sketch.line_of_turnout[branch.turnout]];
        row[self.sketch.line_of_piece[branch.piece]].abs_diff(line).max(1)
    }

    /// Length of the slope between a piece's end and its port; level ports have none.
    fn ramp(&self, turnout: usize, port: Port, row: &[usize]) -> f64 {
        match self.sketch.branch_at(turnout, port) {
            Some(b) if !self.sketch.is_level(turnout, port) => {
                self.style.ramp(self.kind(turnout), self.drop(b, row))
            }
            _ => 0.0,
        }
    }

    /// The variable and offset at which the level part of a piece begins at an end.
    fn anchor(&self, end: End, row: &[usize]) -> Option<(usize, f64)> {
        let End::Port(t, port) = end else { return None };
        let out = self.sketch.facing[t].outward(port).sign();
        Some((t, self.port(t, port) + out * self.ramp(t, port, row)))
    }

    /// Level part of a piece that hangs on one turnout or on none.
    fn open_stretch(&self, piece: usize, row: &[usize]) -> Option<Stretch> {
        let (west, east, _) = self.sketch.west_east(&self.sketch.pieces[piece]);
        let least = self.least[piece];
        match (self.anchor(west, row), self.anchor(east, row)) {
            (Some(_), Some(_)) => None,
            (Some((var, low)), None) => Some(Stretch { var, low, high: low + least }),
            (None, Some((var, high))) => Some(Stretch { var, low: high - least, high }),
            (None, None) => Some(Stretch { var: self.sketch.turnouts.len() + piece, low: 0.0, high: least }),
        }
    }

    fn slope_of(&self, b: &Branch, row: &[usize]) -> Stretch {
        let out = self.sketch.facing[b.turnout].outward(b.port).sign();
        let near = self.sketch.facing[b.turnout].sign() * self.style.bend(self.kind(b.turnout));
        let far = self.port(b.turnout, b.port) + out * self.ramp(b.turnout, b.port, row);
        Stretch { var: b.turnout, low: near.min(far), high: near.max(far) }
    }

    /// Everything that lies on a line, with the slopes that leave it.
    fn stretches(&self, line: usize, row: &[usize]) -> Vec<Stretch> {
        let s = self.sketch;
        let mut found = Vec::new();
        for t in 0..s.turnouts.len() {
            if s.line_of_turnout[t] == line {
                let heel = self.heel(t);
                found.push(Stretch { var: t, low: heel.min(0.0), high: heel.max(0.0) });
            }
        }
        for p in 0..s.pieces.len() {
            if s.line_of_piece[p] == line {
                found.extend(self.open_stretch(p, row));
            }
        }
        for b in &s.branches {
            if s.line_of_turnout[b.turnout] == line || s.line_of_piece[b.piece] == line {
                found.push(self.slope_of(b, row));
            }
        }
        found
    }

    fn constraints(&self, row: &[usize]) -> Vec<Constraint> {
        let mut found = Vec::new();
        for (i, piece) in self.sketch.pieces.iter().enumerate() {
            let (west, east, _) = self.sketch.west_east(piece);
            if let (Some((w, low)), Some((e, high))) = (self.anchor(west, row), self.anchor(east, row)) {
                found.push(Constraint { from: w, to: e, gap: low - high + self.least[i] });
            }
        }
        found
    }

    /// Spreads the sketch. `floor` gives the least x of each turnout, from hints.
    pub fn spread(&self, floor: &[f64]) -> Result<Spread, Blocked> {
        let s = self.sketch;
        let lines = s.line_count();
        let vars = s.turnouts.len() + s.pieces.len();
        let place: Vec<usize> =
            (0..lines).map(|l| s.order.iter().position(|o| *o == l).unwrap_or(0)).collect();
        let mut apart: BTreeSet<(usize, usize)> = BTreeSet::new();
        for b in &s.branches {
            let (p, q) = (place[s.line_of_turnout[b.turnout]], place[s.line_of_piece[b.piece]]);
            apart.insert((p.min(q), p.max(q)));
        }
        // (branch, line, whether the line lies right of the slope)
        let mut passing: Vec<(usize, usize, bool)> = Vec::new();
        let mut row = rows(lines, &apart, &s.order);
        loop {
            let build = |passing: &[(usize, usize, bool)]| {
                let mut all = self.constraints(&row);
                for (b, line, right) in passing {
                    all.extend(self.passing(&s.branches[*b], *line, *right, &row));
                }
                all
            };
            let Some(x) = solve(vars, &build(&passing), floor) else {
                // The rows grew and with them a slope that passes a line.
                let b = passing.last().map_or(0, |p| p.0);
                return Err(Blocked(s.pieces[s.branches[b].piece].track));
            };
            let span = |line: usize| span(&self.stretches(line, &row), &x);
            let mut changed = false;
            'slopes: for (i, b) in s.branches.iter().enumerate() {
                let (p, q) = (place[s.line_of_turnout[b.turnout]], place[s.line_of_piece[b.piece]]);
                for between in p.min(q) + 1..p.max(q) {
                    let line = s.order[between];
                    let (low, high) = span(line);
                    let slope = self.slope_of(b, &row);
                    let (from, to) = (x[slope.var] + slope.low, x[slope.var] + slope.high);
                    if low >= to + CLEAR - 1e-6
                        || high <= from - CLEAR + 1e-6
                        || passing.iter().any(|(c, l, _)| *c == i && *l == line)
                    {
                        continue;
                    }
                    if !self.aside {
                        return Err(Blocked(s.pieces[b.piece].track));
                    }
                    let right_first = low + high > from + to;
                    let way = [right_first, !right_first].into_iter().find(|right| {
                        passing.push((i, line, *right));
                        let works = solve(vars, &build(&passing), floor).is_some();
                        if !works {
                            passing.pop();
                        }
                        works
                    });
                    if way.is_none() {
                        return Err(Blocked(s.pieces[b.piece].track));
                    }
                    changed = true;
                    break 'slopes;
                }
            }
            if changed {
                continue;
            }
            let spans: Vec<(f64, f64)> = (0..lines).map(span).collect();
            for a in 0..lines {
                for b in a + 1..lines {
                    let ((l1, h1), (l2, h2)) = (spans[s.order[a]], spans[s.order[b]]);
                    if l1 < h2 + BETWEEN_LINES && l2 < h1 + BETWEEN_LINES {
                        changed |= apart.insert((a, b));
                    }
                }
            }
            let next = rows(lines, &apart, &s.order);
            if !changed && next == row {
                return Ok(self.finish(&x, row));
            }
            row = next;
        }
    }

    /// A line lies wholly to one side of a slope.
    fn passing(&self, b: &Branch, line: usize, right: bool, row: &[usize]) -> Vec<Constraint> {
        let slope = self.slope_of(b, row);
        self.stretches(line, row)
            .into_iter()
            .map(|s| {
                if right {
                    Constraint { from: slope.var, to: s.var, gap: slope.high + CLEAR - s.low }
                } else {
                    Constraint { from: s.var, to: slope.var, gap: s.high + CLEAR - slope.low }
                }
            })
            .collect()
    }

    fn finish(&self, x: &[f64], row: Vec<usize>) -> Spread {
        let s = self.sketch;
        let all: Vec<Stretch> = (0..s.line_count()).flat_map(|l| self.stretches(l, &row)).collect();
        let (low, high) = span(&all, x);
        let level = s
            .pieces
            .iter()
            .enumerate()
            .map(|(i, piece)| {
                let (west, east, _) = s.west_east(piece);
                let (from, to) = match self.open_stretch(i, &row) {
                    Some(o) => (x[o.var] + o.low, x[o.var] + o.high),
                    None => {
                        let at = |e| self.anchor(e, &row).map_or(0.0, |(v, d)| x[v] + d);
                        (at(west), at(east))
                    }
                };
                (from - low, to - low)
            })
            .collect();
        let toe = (0..s.turnouts.len()).map(|t| x[t] - low).collect();
        let rows = row.iter().max().map_or(0, |m| m + 1);
        Spread { toe, level, row, width: high - low, rows }
    }
}

fn span(stretches: &[Stretch], x: &[f64]) -> (f64, f64) {
    stretches.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
        (low.min(x[s.var] + s.low), high.max(x[s.var] + s.high))
    })
}

/// Rows such that every pair of lines that must not share one is in order.
fn rows(lines: usize, apart: &BTreeSet<(usize, usize)>, order: &[usize]) -> Vec<usize> {
    let mut by_place = vec![0usize; lines];
    // Pairs are sorted by the upper line's place, which is final when its pairs come up.
    for (a, b) in apart {
        by_place[*b] = by_place[*b].max(by_place[*a] + 1);
    }
    let mut row = vec![0; lines];
    for (place, line) in order.iter().enumerate() {
        row[*line] = by_place[place];
    }
    row
}

/// The least solution not below `floor`; `None` if the constraints contradict one another
/// (longest paths by Bellman and Ford).
fn solve(vars: usize, constraints: &[Constraint], floor: &[f64]) -> Option<Vec<f64>> {
    let mut x: Vec<f64> = (0..vars).map(|i| floor.get(i).copied().unwrap_or(0.0)).collect();
    for _ in 0..=vars {
        let mut changed = false;
        for c in constraints {
            let least = x[c.from] + c.gap;
            if x[c.to] < least - 1e-9 {
                x[c.to] = least;
                changed = true;
            }
        }
        if !changed {
            return Some(x);
        }
    }
    None
}
