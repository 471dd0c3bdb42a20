//! Track bus, droppers, frog feeds: wire that lets a short trip the booster or controller.

use super::conductors::Demand;
use super::{Figure, Load, WireClass, Work, typical};
use crate::diag::Diagnostic;
use crate::drives::{BOARD_LINK, DROPPER, WITHIN_PANEL};
use crate::electrics::{drop, rail};
use crate::parse::{BoardId, DropperRule, FrogFeedBy};
use crate::units::{Amps, Length, Ohms, Volts, WireSize};

/// U/R_loop must be this many times the trip current (coin test; common practice, no source).
pub const COIN: f64 = 1.5;
/// Stands in for the length of a piece of track that is not given.
const UNMEASURED: Length = Length::new(1.0);

/// The way of the track's current to the worst rail of a board and back.
#[derive(Clone, Debug, PartialEq)]
pub struct TrackRun {
    pub board: String,
    /// From booster or controller to the far end of the board's bus, one way.
    pub run: Length,
    /// Bus and dropper, there and back.
    pub wires: Ohms,
    /// Rails between the droppers, and their joints: an allowance.
    pub rails: Ohms,
    /// At the current at which the supply cuts off.
    pub drop: Volts,
    /// Of a dead short there.
    pub short: Amps,
    /// Whether that is 1.5 times the current at which the supply cuts off, or more.
    pub trips: bool,
}

impl TrackRun {
    pub fn loop_resistance(&self) -> Ohms {
        self.wires + self.rails
    }
}

/// One way from booster or controller along the boards to the far end of a board's bus.
fn run(work: &Work, board: BoardId) -> Length {
    let home = work.document.panel.board.0;
    let between: Length = (home.min(board.0)..home.max(board.0)).map(|b| work.runs.bus[b] + BOARD_LINK).sum();
    let lead = work.to_board(work.document.panel.board);
    lead + between + work.runs.bus[board.0]
}

/// Rails from the farthest point of the board's pieces to a dropper, both of them, with their joints.
fn rails(work: &Work, board: BoardId) -> Ohms {
    let document = work.document;
    let per_metre = rail::nickel_silver(document.layout.gauge);
    let pieces = document.tracks.iter().filter(|t| t.board == board);
    let lengths = pieces.map(|t| t.length.unwrap_or(UNMEASURED));
    let (length, joints) = match document.droppers {
        DropperRule::EachPiece => (lengths.fold(Length::new(0.0), Length::max), 1),
        // At most: all pieces of the board behind one dropper.
        DropperRule::EachSection => (lengths.clone().sum(), lengths.count()),
    };
    (per_metre * length + rail::JOINT * joints as f64) * 2.0
}

pub(super) fn size(work: &mut Work) {
    let power = &work.document.track_power;
    let (voltage, trip) = if power.typical {
        (power.voltage * typical::TRACK_VOLTAGE, power.trip * typical::TRIP)
    } else {
        (power.voltage, power.trip)
    };
    let used = |board: &BoardId| {
        work.document.turnouts.iter().any(|t| t.board == *board)
            || work.document.tracks.iter().any(|t| t.board == *board)
    };
    let boards: Vec<BoardId> = (0..work.document.boards.len()).map(BoardId).filter(used).collect();
    let farthest = boards.iter().map(|b| run(work, *b)).fold(Length::new(0.0), Length::max);
    let most_rail = boards.iter().map(|b| rails(work, *b)).fold(Ohms::new(0.0), Ohms::max);
    let loop_limit = drop::coin_loop_limit(voltage, trip, COIN);
    let longest = work.runs.bus_to_turnout.iter().copied().fold(DROPPER, Length::max);
    let dropper = work.choose(Demand {
        part: "track",
        class: WireClass::Dropper,
        current: trip,
        lasting: trip,
        length: longest * 2.0,
        allowed_drop: voltage * 0.02,
        least: WireSize::mm2(0.5),
    });
    // What droppers and rails leave of the coin test's loop is the bus's, but never more than half: the
    // rest is for joints and plugs that nobody counted.
    let others = work.resistance(dropper, longest * 2.0) + most_rail;
    let left = (loop_limit - others).max(loop_limit * 0.1).min(loop_limit * 0.5);
    let bus = work.choose(Demand {
        part: "track",
        class: WireClass::TrackBus,
        current: trip,
        lasting: trip,
        length: farthest * 2.0,
        allowed_drop: (voltage * 0.05).min(left * trip),
        least: WireSize::mm2(1.0),
    });
    let tail = work.runs.strip_to_frog.iter().copied().fold(Length::new(0.0), Length::max);
    if !work.plan.changeovers.is_empty() {
        work.choose(Demand {
            part: "track",
            class: WireClass::FrogFeed,
            current: trip,
            lasting: trip,
            length: tail * 2.0 + WITHIN_PANEL,
            allowed_drop: voltage * 0.05,
            least: WireSize::mm2(0.5),
        });
    }
    let runs: Vec<TrackRun> = boards
        .into_iter()
        .map(|board| {
            let run = run(work, board);
            let here =
                (0..work.document.turnouts.len()).filter(|t| work.document.turnouts[*t].board == board);
            let longest = here.map(|t| work.runs.bus_to_turnout[t]).fold(DROPPER, Length::max);
            let wires = work.resistance(bus, run * 2.0) + work.resistance(dropper, longest * 2.0);
            let rails = rails(work, board);
            let whole = wires + rails;
            TrackRun {
                board: work.document[board].name.value.clone(),
                run,
                wires,
                rails,
                drop: trip * whole,
                short: drop::fault_current(voltage, whole),
                trips: drop::coin_trips(voltage, whole, trip, COIN),
            }
        })
        .collect();
    let worst = runs.iter().max_by(|a, b| a.loop_resistance().total_cmp(&b.loop_resistance())).cloned();
    if let Some(worst) = &worst {
        complain(work, worst, voltage, trip);
        figures(work, worst, loop_limit, (bus, dropper, longest));
    }
    for t in &work.plan.bars {
        if work.plan.carried(t.bar, FrogFeedBy::Contact) > 0 {
            work.sizing.loads.push(Load {
                what: format!("frog contact of the drive of {}", work.document[t.bar].name),
                current: power.trip,
                limit: work.document.drive_of(t.bar).contact_rating,
                pulse: true,
                belongs_to: None,
            });
        }
    }
    work.sizing.track = runs;
}

/// The wires are what the builder buys by our word: an error. The rails' share is an allowance: a
/// warning.
fn complain(work: &mut Work, worst: &TrackRun, voltage: Volts, trip: Amps) {
    let span = work.document.track_power.span;
    let TrackRun { board, wires, rails, .. } = worst;
    let diagnostic = if !drop::coin_trips(voltage, *wires, trip, COIN) {
        Diagnostic::error(
            "short-does-not-trip",
            format!(
                "a short at the farthest dropper of board `{board}` meets {wires} of wire, and {trip} may not be \
                 reached for sure at {voltage}"
            ),
        )
        .help("use a thicker bus, or feed the track from nearer by")
    } else if !worst.trips {
        Diagnostic::warning(
            "short-does-not-trip",
            format!(
                "a short on the rails farthest from a dropper of board `{board}` meets {wires} of wire and about \
                 {rails} of rail, and {trip} may not be reached for sure at {voltage}"
            ),
        )
        .help("give long pieces more droppers, use a thicker bus, or try it: lay a coin across the rails there")
    } else {
        return;
    };
    work.diagnostics.push(diagnostic.label(span, "this supply must cut off on a short anywhere"));
}

fn figures(
    work: &mut Work,
    worst: &TrackRun,
    loop_limit: Ohms,
    (bus, dropper, longest): (WireSize, WireSize, Length),
) {
    let note = if work.document.track_power.typical {
        format!(
            "typical, measure yours: track voltage (× {}) or trip current (× {})",
            typical::TRACK_VOLTAGE,
            typical::TRIP
        )
    } else {
        String::new()
    };
    let board = worst.board.clone();
    let share = rail::nickel_silver(work.document.layout.gauge);
    work.sizing.figures.extend([
        Figure::new("track", "loop at the farthest dropper", worst.wires)
            .input("board", &board)
            .input("bus, there and back", format!("{}, {}", worst.run * 2.0, bus.label()))
            .input("droppers, there and back", format!("{}, {}", longest * 2.0, dropper.label()))
            .input("limit", loop_limit)
            .by("R = 2·Σ r·l; U/R_loop ≥ 1.5 · I_trip", "coin test: common practice, no source")
            .note(note.clone()),
        Figure::new("track", "loop to the farthest rail", worst.loop_resistance())
            .input("rails between droppers, both, with joints", worst.rails)
            .input("a rail", share)
            .input("a short there draws", worst.short)
            .input("limit", loop_limit)
            .by(
                "loop at the dropper + 2·(r_rail·longest piece + joint)",
                "rail: one measurement by an amateur (1.45 mΩ/in, code 100 nickel silver); small sections and \
                 joints: a judgement",
            )
            .note("an allowance: cleanliness of joints decides"),
        Figure::new("track", "drop at full current", worst.drop)
            .input("current", worst.drop / worst.loop_resistance())
            .input("board", board)
            .by("U = I_trip · R_loop", "Ohm's law; 5 % for the bus: common practice, no source")
            .note(note),
    ]);
}
