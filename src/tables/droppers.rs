//! Droppers: the wires from the track bus to the rails.

use super::{Table, number, place_words, text};
use crate::Design;
use crate::circuit::{PartKind, Place};
use crate::hardware::End;
use crate::track::{Feed, RailId};

/// One dropper.
#[derive(Clone, Debug, PartialEq)]
pub struct DropperRow {
    /// D1, D2 …
    pub number: String,
    pub rail: String,
    /// `None`: the rail lies in no feed.
    pub feed: Option<Feed>,
    /// Its conductor: "A", or with several sections "yard A".
    pub conductor: String,
    /// The board it goes through: "board 1 quarry".
    pub board: String,
    /// The number of its wire.
    pub wire: Option<usize>,
    pub reason: String,
}

pub fn rows(design: &Design) -> Vec<DropperRow> {
    let droppers = design.rails.droppers.iter().enumerate();
    droppers
        .map(|(i, d)| {
            let rail = &design.rails.rails[d.rail.0];
            DropperRow {
                number: format!("D{}", i + 1),
                rail: rail.name.clone(),
                feed: rail.feed(),
                conductor: rail.pole.map(|p| design.rails.pole_words(p)).unwrap_or_default(),
                board: place_words(&design.document, Place::Board(d.board)),
                wire: wire_to(design, d.rail),
                reason: d.reason.clone(),
            }
        })
        .collect()
}

fn wire_to(design: &Design, rail: RailId) -> Option<usize> {
    let is_rail = |end: End| match end {
        End::Pin(pin) => design.circuit[pin.part].kind == PartKind::Rail { rail },
        End::Terminal(_) => false,
    };
    design.wiring.wires.iter().find(|w| is_rail(w.from) || is_rail(w.to)).map(|w| w.number)
}

pub fn table(design: &Design) -> Table {
    let rows = rows(design)
        .into_iter()
        .map(|r| {
            vec![
                r.number,
                r.rail,
                r.conductor,
                r.board,
                r.wire.map(|w| w.to_string()).unwrap_or_default(),
                r.reason,
            ]
        })
        .collect();
    Table {
        slug: "droppers",
        title: "Droppers",
        note: "Left and right of a turnout are seen from its toe, those of a track from its `from` end to its \
               `to` end; those of a road over a diamond or slip from the end named first.",
        columns: vec![
            text("Dropper"),
            text("Rail"),
            text("Feed"),
            text("Board"),
            number("Wire"),
            text("Reason"),
        ],
        rows,
    }
}
