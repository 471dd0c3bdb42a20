//! Track bus, droppers, frog feeds: wire that lets a short trip the booster or controller.

use super::conductors::Demand;
use super::{Figure, Load, WireClass, Work};
use crate::diag::Diagnostic;
use crate::drives::{BOARD_LINK, DROPPER, WITHIN_PANEL};
use crate::electrics::drop;
use crate::parse::FrogFeedBy;
use crate::units::{Length, WireSize};

/// U/R_loop must be this many times the trip current (coin test; common practice, no source).
const COIN: f64 = 1.5;

pub(super) fn size(work: &mut Work) {
    let power = &work.document.track_power;
    let (voltage, trip) = (power.voltage, power.trip);
    let boards: Length = work.runs.bus.iter().map(|b| *b + BOARD_LINK).sum();
    let run = work.document.panel.cable + boards;
    let loop_limit = drop::coin_loop_limit(voltage, trip, COIN);
    // Half of the coin test's loop for the bus keeps the rest for rails, droppers and joints.
    let bus = work.choose(Demand {
        part: "track",
        class: WireClass::TrackBus,
        current: trip,
        lasting: trip,
        length: run * 2.0,
        allowed_drop: (voltage * 0.05).min(loop_limit * trip * 0.5),
        least: WireSize::mm2(1.0),
    });
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
    let loop_resistance = work.resistance(bus, run * 2.0) + work.resistance(dropper, longest * 2.0);
    let trips = drop::coin_trips(voltage, loop_resistance, trip, COIN);
    if !trips {
        work.diagnostics.push(
            Diagnostic::error(
                "short-does-not-trip",
                format!(
                    "a short at the farthest dropper meets {loop_resistance} of wire, and {trip} may not be \
                     reached for sure at {voltage}"
                ),
            )
            .label(power.span, "this supply must cut off on a short anywhere")
            .help("use a thicker bus, or feed the track from nearer by"),
        );
    }
    for t in &work.plan.bars {
        if work.plan.carried(t.bar, FrogFeedBy::Contact) > 0 {
            work.sizing.loads.push(Load {
                what: format!("frog contact of the drive of {}", work.document[t.bar].name),
                current: trip,
                limit: work.document.drive_of(t.bar).contact_rating,
                pulse: true,
                belongs_to: None,
            });
        }
    }
    let note = if power.typical { "typical, measure yours: track voltage or trip current" } else { "" };
    work.sizing.figures.push(
        Figure::new("track", "loop at the farthest dropper", loop_resistance)
            .input("bus, there and back", format!("{}, {}", run * 2.0, bus.label()))
            .input("droppers, there and back", format!("{}, {}", longest * 2.0, dropper.label()))
            .input("limit", loop_limit)
            .input("a short there draws", drop::fault_current(voltage, loop_resistance))
            .by("U/R_loop ≥ 1.5 · I_trip", "coin test: common practice, no source")
            .note(note),
    );
}
