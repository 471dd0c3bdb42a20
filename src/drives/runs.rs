//! How long the wires are, before any of them exists: from positions where the file gives them,
//! and from stated allowances where it does not.

use crate::parse::{BoardId, Document, TrackEnd, TrackId, TurnoutId};
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
    /// From a board's strip for drives to each turnout's drive.
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
        let from = |strip: &dyn Fn(&StripPlace) -> (Length, Length)| -> Vec<Length> {
            let run = |t: &crate::parse::Turnout| match t.place {
                Some(place) => {
                    let (x, y) = strip(&strips[t.board.0]);
                    (place.toe.0 - x).abs() + (place.toe.1 - y).abs() + SLACK
                }
                None => UNPLACED,
            };
            document.turnouts.iter().map(run).collect()
        };
        let strip_to_drive = from(&|s| s.drives);
        let strip_to_frog = from(&|s| s.track);
        // The bus runs along the board in line with its strips.
        let bus_to_turnout = document
            .turnouts
            .iter()
            .map(|t| match t.place {
                Some(place) => (place.toe.1 - strips[t.board.0].track.1).abs().max(DROPPER - SLACK) + SLACK,
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
            RailPlace::Stock(t, _) | RailPlace::Frog(t) | RailPlace::Inner(t, _) => self.bus_to_turnout[t.0],
        }
    }

    pub fn panel_to_turnout(&self, document: &Document, turnout: TurnoutId) -> Length {
        self.panel_to_board[document[turnout].board.0] + self.strip_to_drive[turnout.0]
    }
}

/// Within reach of the front edge, in the middle of the board, the drives' strip left of the
/// track's (common practice, no source).
fn strips(document: &Document, board: BoardId) -> StripPlace {
    let (w, d) = document[board].size.unwrap_or((UNSIZED, Length::from_mm(450.0)));
    let inset = Length::from_mm(40.0).min(d * 0.25);
    StripPlace { drives: (w * 0.30, inset), track: (w * 0.70, inset) }
}
