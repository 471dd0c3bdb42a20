//! Zones: parts of the track with a feed of their own, that is the sections of the file and the
//! reversing sections that the program proposes.

use super::{Feed, Position};
use crate::parse::{Document, Port, SectionFeed, TrackId, TrainControl, TurnoutId};
use crate::units::Length;

/// A zone, by its place in [`super::Rails::zones`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ZoneId(pub usize);

#[derive(Clone, Debug, PartialEq)]
pub struct Zone {
    /// As in the file; a proposed reversing section bears the name of its track.
    pub name: String,
    pub feed: SectionFeed,
}

/// One of the two conductors of a zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pole {
    pub zone: ZoneId,
    pub feed: Feed,
}

/// A zone whose polarity changes to suit the train.
#[derive(Clone, Debug, PartialEq)]
pub struct Reversing {
    pub zone: ZoneId,
    pub tracks: Vec<TrackId>,
    /// The tracks on the way round that made it necessary; empty if the file asked for it.
    pub ring: Vec<TrackId>,
    pub boundaries: Vec<Boundary>,
    /// The shortest way from a boundary of one sort to one of the other; `None` if a length on
    /// every such way is unknown.
    pub length: Option<Length>,
}

/// Where a reversing section meets the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Boundary {
    pub turnout: TurnoutId,
    pub port: Port,
    pub track: TrackId,
    /// The zone on the other side.
    pub outside: ZoneId,
    /// Normal where A meets A if the section is fed straight, reverse where A meets B.
    pub fits: Position,
}

impl Reversing {
    /// The zone that feeds it in a position: that beyond the boundaries which fit then.
    pub fn fed_from(&self, position: Position) -> Option<ZoneId> {
        self.boundaries.iter().find(|b| b.fits == position).map(|b| b.outside)
    }

    /// What its conductor is joined to in a position.
    pub fn source(&self, feed: Feed, position: Position) -> Option<Pole> {
        let zone = self.fed_from(position).or_else(|| self.fed_from(position.other()))?;
        let feed = if position == Position::Normal { feed } else { feed.other() };
        Some(Pole { zone, feed })
    }

    /// Whether trains come in with one polarity and leave with the other.
    pub fn is_needed(&self) -> bool {
        Position::ALL.into_iter().all(|p| self.fed_from(p).is_some())
    }
}

/// Which zone every turnout and track lies in.
#[derive(Clone, Debug)]
pub(super) struct Allotment {
    pub zones: Vec<Zone>,
    pub turnout: Vec<ZoneId>,
    pub track: Vec<ZoneId>,
}

impl Allotment {
    /// As the file has it; its sections come first.
    pub fn of(document: &Document) -> Allotment {
        let zone = |s: &crate::parse::Section| Zone { name: s.name.value.clone(), feed: s.feed };
        let shared = document.sections.iter().position(|s| s.feed == SectionFeed::Shared);
        let dcc = *document.layout.control == TrainControl::Dcc;
        // With DCC, sections that share the booster directly are one electrically.
        let of = |section: crate::parse::SectionId| match shared {
            Some(first) if dcc && document[section].feed == SectionFeed::Shared => ZoneId(first),
            _ => ZoneId(section.0),
        };
        Allotment {
            zones: document.sections.iter().map(zone).collect(),
            turnout: document.turnouts.iter().map(|t| of(t.section)).collect(),
            track: document.tracks.iter().map(|t| of(t.section)).collect(),
        }
    }

    pub fn is_reversing(&self, zone: ZoneId) -> bool {
        self.zones[zone.0].feed == SectionFeed::Reversing
    }

    /// Makes a track a reversing section of its own.
    pub fn reverse(&mut self, document: &Document, track: TrackId) {
        let zone = ZoneId(self.zones.len());
        self.zones.push(Zone { name: document[track].name.value.clone(), feed: SectionFeed::Reversing });
        self.track[track.0] = zone;
    }

    /// Takes a section made by [`Allotment::reverse`] back.
    pub fn give_back(&mut self, document: &Document, zone: ZoneId) {
        let before = Allotment::of(document);
        for (track, zones) in self.track.iter_mut().zip(before.track) {
            if *track == zone {
                *track = zones;
            } else if *track > zone {
                track.0 -= 1;
            }
        }
        self.zones.remove(zone.0);
    }

    /// Whether polarity is worked out across a border between two zones.
    pub fn spreads(&self, a: ZoneId, b: ZoneId) -> bool {
        a == b || !self.is_reversing(a) && !self.is_reversing(b)
    }
}
