//! Where the columns of the bands stand.

use super::super::Book;
use crate::draw::M;
use crate::draw::page::Page;
use crate::draw::scene::Anchor;
use crate::parse::BoardId;
use crate::track::{Pole, ZoneId};

/// From bus to bus.
const BUS: f64 = 5.0;

/// x of every column, all on the module.
pub(super) struct Columns {
    /// Buses of the panel, the first further left.
    pub panel_bus: [f64; 2],
    /// Left and right pins of the control's symbol.
    pub control: [f64; 2],
    pub panel_strip: f64,
    pub board_strip: f64,
    /// Left pins of the drive.
    pub drive: f64,
    /// Common and outer pins of the frog's contact.
    pub contact: [f64; 2],
    pub track_strip: f64,
    /// Track buses A and B of each zone.
    pub track_bus: Vec<(ZoneId, [f64; 2])>,
    /// The first of them.
    bus: f64,
    pub toe: f64,
    pub heel: f64,
    pub titles: Vec<(f64, Anchor, String)>,
}

impl Columns {
    /// Spread over the page; what a page has beyond A4 goes between the columns. US Letter is
    /// narrower than A4: there the cable and the track give way. So they do for the buses of more
    /// zones than one.
    pub fn for_page(page: &Page, book: &Book, board: BoardId, zones: &[ZoneId]) -> Columns {
        const NEEDED: f64 = 260.0;
        let more = 2.0 * BUS * zones.len().saturating_sub(1) as f64;
        let spare = page.inner.width() - NEEDED - more;
        let gap = if spare > 0.0 { (spare / 5.0 / M).floor() * M } else { 0.0 };
        let tight = match spare {
            s if s < -22.0 => [5.0, 10.0, -(((s + 15.0) / M).floor() * M)],
            s if s < -15.1 => [5.0, 10.0, 5.0],
            s if s < -10.1 => [5.0, 10.0, 0.0],
            s if s < -1.0 => [0.0, 10.0, 0.0],
            _ => [0.0; 3],
        };
        let left = page.inner.min.x;
        let control = left + 27.5 - tight[0];
        let panel_strip = control + 12.5 + 22.5 + gap;
        let board_strip = panel_strip + 40.0 + gap - tight[1];
        let drive = board_strip + 22.5 + gap;
        let contact = drive + 22.5;
        let track_strip = contact + 12.5 + 22.5 + gap;
        let bus = track_strip + 22.5 + gap;
        let toe = bus + 10.0 + more;
        let n = board.0 + 1;
        let name = &book.design.document[board].name.value;
        Columns {
            panel_bus: [left + 2.5, left + 7.5],
            control: [control, control + 12.5],
            panel_strip,
            board_strip,
            drive,
            contact: [contact, contact + 12.5],
            track_strip,
            track_bus: zones
                .iter()
                .enumerate()
                .map(|(i, zone)| {
                    let first = bus + 2.0 * BUS * i as f64;
                    (*zone, [first, first + BUS])
                })
                .collect(),
            bus,
            toe,
            heel: toe + 42.5 - tight[2],
            titles: vec![
                (control - 10.0, Anchor::Start, "Control panel".into()),
                (panel_strip, Anchor::Middle, "Strip XP".into()),
                (board_strip, Anchor::Middle, format!("Strip XB{n}")),
                (drive + 17.5, Anchor::Middle, format!("Under board {n}, {name}")),
                (track_strip, Anchor::Middle, format!("Strip XT{n}")),
                (toe + 20.0 - tight[2], Anchor::Middle, "Track, toe at the left".into()),
            ],
        }
    }

    pub fn bus(&self, pole: Pole) -> f64 {
        let found = self.track_bus.iter().find(|(zone, _)| *zone == pole.zone);
        found.map_or(self.bus, |(_, x)| x[pole.feed as usize])
    }

    pub fn first_bus(&self) -> f64 {
        self.bus
    }
}
