//! How long the wires are, before any of them exists: from positions where the file gives them,
//! and from stated allowances where it does not.

use super::tie_bar;
use crate::parse::{BarId, BoardId, Document, TrackEnd, TrackId};
use crate::track::RailPlace;
use crate::units::Length;

/// Where a board's two strips stand, seen from above, from its front left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StripPlace {
    pub drives: (Length, Length),
    pub track: (Length, Length),
}

/// Estimated lengths of wire. One conductor each; a loop is two of them.
#[derive(Clone, Debug)]
pub struct Runs {
    /// From the panel's strip to each board's strip.
    pub panel_to_board: Vec<Length>,
    /// From a board's strip for drives to each tie bar's drive.
    pub strip_to_drive: Vec<Length>,
    /// From a board's strip for track to each turnout's drive and frog.
    pub strip_to_frog: Vec<Length>,
    /// From a board's bus to a rail of each turnout.
    pub bus_to_turnout: Vec<Length>,
    /// Length of the track bus along each board.
    pub bus: Vec<Length>,
    pub strips: Vec<StripPlace>,
}

/// Slack at both ends of a run together (common practice, no source).
pub const SLACK: Length = Length::from_mm(200.0);
/// Between parts of the panel.
pub const WITHIN_PANEL: Length = Length::from_mm(300.0);
/// From a supply's outlet to the panel.
pub const SUPPLY_LEAD: Length = Length::from_mm(500.0);
/// The least for a dropper from rail to bus: kept short (common practice, no source).
pub const DROPPER: Length = Length::from_mm(250.0);
/// A jumper cable's length from board to board, beyond the boards' own length.
pub const BOARD_LINK: Length = Length::from_mm(600.0);
/// Stands in for a strip-to-drive run on boards without positions.
const UNPLACED: Length = Length::from_mm(600.0);
/// Stands in for the length of a board whose size is not given.
const UNSIZED: Length = Length::from_mm(1200.0);

impl Runs {
    pub fn of(document: &Document) -> Runs {
        let strips: Vec<StripPlace> =
            (0..document.boards.len()).map(|b| strips(document, BoardId(b))).collect();
        let width = |b: usize| document.boards[b].size.map_or(UNSIZED, |(w, _)| w);
        let home = document.panel.board.0;
        let panel_to_board = (0..document.boards.len())
            .map(|b| {
                let between: Length = (home.min(b)..home.max(b)).map(|k| width(k) + BOARD_LINK).sum();
                document.panel.cable + between
            })
            .collect();
        // Under a board wires run along and across it, not slantwise.
        let run = |to: (Length, Length), from: (Length, Length)| {
            (to.0 - from.0).abs() + (to.1 - from.1).abs() + SLACK
        };
        let to_drive = |bar: BarId| {
            let turnout = document.turnout_of(bar);
            let Some(pin) = tie_bar(document, bar) else { return UNPLACED };
            run((Length::from_mm(pin.x), Length::from_mm(pin.y)), strips[turnout.board.0].drives)
        };
        let strip_to_drive = (0..document.bars.len()).map(|b| to_drive(BarId(b))).collect();
        let to_frog = |t: &crate::parse::Turnout| match t.place {
            Some(place) => run(place.origin, strips[t.board.0].track),
            None => UNPLACED,
        };
        let strip_to_frog = document.turnouts.iter().map(to_frog).collect();
        // The bus runs along the board in line with its strips.
        let bus_to_turnout = document
            .turnouts
            .iter()
            .map(|t| match t.place {
                Some(place) => {
                    (place.origin.1 - strips[t.board.0].track.1).abs().max(DROPPER - SLACK) + SLACK
                }
                None => DROPPER,
            })
            .collect();
        let bus = (0..document.boards.len()).map(width).collect();
        Runs { panel_to_board, strip_to_drive, strip_to_frog, bus_to_turnout, bus, strips }
    }

    /// A dropper: to a turnout's stock rail, or to a track between the turnouts it joins.
    pub fn dropper(&self, document: &Document, rail: RailPlace) -> Length {
        let joined = |t: TrackId| {
            let track = &document[t];
            [*track.from, *track.to].into_iter().filter_map(|end| match end {
                TrackEnd::Port(turnout, _) => Some(self.bus_to_turnout[turnout.0]),
                TrackEnd::Buffer | TrackEnd::OffTheLayout => None,
            })
        };
        match rail {
            RailPlace::Track(t, _) => joined(t).fold(DROPPER, Length::max),
            RailPlace::Stock(t, _) | RailPlace::Frog(t, _) | RailPlace::Inner(t, ..) => {
                self.bus_to_turnout[t.0]
            }
        }
    }

    pub fn panel_to_drive(&self, document: &Document, bar: BarId) -> Length {
        self.panel_to_board[document.turnout_of(bar).board.0] + self.strip_to_drive[bar.0]
    }
}

/// Within reach of the front edge, in the middle of the board, the drives' strip left of the
/// track's (common practice, no source).
fn strips(document: &Document, board: BoardId) -> StripPlace {
    let (w, d) = document[board].size.unwrap_or((UNSIZED, Length::from_mm(450.0)));
    let inset = Length::from_mm(40.0).min(d * 0.25);
    StripPlace { drives: (w * 0.30, inset), track: (w * 0.70, inset) }
}
