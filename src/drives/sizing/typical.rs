//! By how much a worst case is widened where a typical figure stands in for a measured one.
//!
//! All factors are common practice without a source: about the spread between drives of one kind that
//! are sold under the same description.

use super::Work;
use crate::parse::{BarId, BoardId, Document, Drive};
use crate::units::{Amps, Length, Volts};

/// Stall, running and idle currents.
pub(super) const CURRENT: f64 = 1.25;
/// The lowest voltage of a slow-motion motor. That of a servo is not widened: its typical figure is
/// already the one that builders aim at, not the one at which it fails.
pub(super) const LOWEST: f64 = 1.1;
/// Lengths of wire that the file does not give.
pub const LENGTH: f64 = 1.2;
/// Resistance and inductance of a solenoid's coil.
pub const COIL: f64 = 1.05;
pub const INDUCTANCE: f64 = 1.25;
/// Energy and current that a solenoid needs. Its `pulse` is not widened: the typical figure is on the
/// long side already.
pub const NEED: f64 = 1.1;
/// The current at which booster or controller cuts off.
pub(super) const TRIP: f64 = 1.25;
/// The voltage on the rails.
pub(super) const TRACK_VOLTAGE: f64 = 0.95;

/// A current of a drive as it goes into a worst case.
pub(super) fn current(drive: &Drive, key: &str, value: Amps) -> Amps {
    if drive.typical.contains(&key) { value * CURRENT } else { value }
}

/// The lowest voltage of a slow-motion motor as it goes into a worst case, but no more than its rated
/// one.
pub(super) fn lowest(drive: &Drive, value: Volts, rated: Volts) -> Volts {
    if drive.typical.contains(&"lowest") { (value * LOWEST).min(rated) } else { value }
}

/// "typical, measure yours: lowest (× 1.1), running, stall (× 1.25) of drive motor", or nothing.
/// `widened` are the keys that were, with their factors.
pub(super) fn note(document: &Document, members: &[BarId], widened: &[(&str, f64)]) -> String {
    let mut drives: Vec<String> = members
        .iter()
        .map(|bar| document.drive_of(*bar))
        .filter(|drive| !drive.typical.is_empty())
        .map(|drive| {
            let keys = drive.typical.iter().map(|key| {
                let factor = widened.iter().find(|(name, _)| name == key).map(|(_, factor)| factor);
                factor.map_or((*key).to_owned(), |factor| format!("{key} (× {factor})"))
            });
            format!("{} of drive {}", keys.collect::<Vec<_>>().join(", "), *drive.name)
        })
        .collect();
    drives.sort();
    drives.dedup();
    if document.panel.typical {
        drives.push(format!("cable of the panel (× {LENGTH})"));
    }
    if drives.is_empty() { String::new() } else { format!("typical, measure yours: {}", drives.join("; ")) }
}

impl Work<'_> {
    /// From the panel's strip to a board's, the panel's cable widened if its length is typical.
    pub fn to_board(&self, board: BoardId) -> Length {
        let cable = self.document.panel.cable;
        let more = if self.document.panel.typical { cable * (LENGTH - 1.0) } else { Length::new(0.0) };
        self.runs.panel_to_board[board.0] + more
    }

    /// From a board's strip to a drive, widened where its place is not given.
    pub fn strip_to_drive(&self, bar: BarId) -> Length {
        let run = self.runs.strip_to_drive[bar.0];
        if crate::drives::tie_bar(self.document, bar).is_some() { run } else { run * LENGTH }
    }

    /// From the panel's strip to a drive.
    pub fn to_drive(&self, bar: BarId) -> Length {
        self.to_board(self.document.turnout_of(bar).board) + self.strip_to_drive(bar)
    }
}
