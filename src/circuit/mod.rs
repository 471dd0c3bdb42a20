//! The netlist: the single truth from which every sheet, table and check is derived.
//!
//! A [`Circuit`] is parts with pins, and nets that join pins. Rails that carry a wire are parts,
//! the track bus is a part, a contact is a set of pins together with the turnout position in which
//! each pair is closed. Terminals, cables and wire numbers are not here: they are how the circuit
//! is carried out, and belong to [`crate::hardware`].
//!
//! Whoever holds a [`Circuit`] need not worry any more that a pin belongs to two nets, that a net
//! has a single pin, or that a designation is used twice.

mod build;
mod designation;

pub use build::build;

use crate::drives::{ChangeoverId, Decider, SelectorId, WireClass};
use crate::parse::{BarId, BoardId, ControlId, ControlKind, RouteId, WireFunction};
use crate::track::{Feed, Pole, Position, RailId, ZoneId};

/// A part, by its place in [`Circuit::parts`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PartId(pub usize);

/// A net, by its place in [`Circuit::nets`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NetId(pub usize);

/// One pin of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PinRef {
    pub part: PartId,
    pub pin: usize,
}

/// Where a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    Panel,
    Board(BoardId),
}

#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// By IEC 81346-2 ("M1", "C1"), or the builder's own name (controls, rails).
    pub designation: String,
    pub kind: PartKind,
    pub place: Place,
    /// Value or type, as printed at the symbol: "4700 µF 35 V".
    pub value: String,
    /// Why it is there, in words.
    pub reason: String,
    pub pins: Vec<Pin>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Pin {
    pub name: &'static str,
    /// `None`: left open on purpose.
    pub net: Option<NetId>,
}

/// What a part is. The letter is its class in IEC 81346-2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartKind {
    /// G: the approved plug-in supply of the accessory side. Its mains side is not ours.
    PlugInSupply,
    /// G: booster or controller.
    TrackSupply,
    /// F
    Fuse,
    /// T
    Rectifier,
    /// R
    Resistor,
    /// C
    Capacitor,
    /// S: what the operator touches.
    Control { control: ControlId, kind: ControlKind, poles: usize },
    /// S: the probe that touches studs.
    Probe,
    /// S: the push button of a route.
    RouteButton { route: RouteId },
    /// R: from a route's button to a line, so that the line cannot drive the button.
    Diode { route: RouteId },
    /// W: the same without a diode, where none is needed: a place in the matrix for each link.
    Link { route: RouteId },
    /// M
    Drive { bar: BarId, pattern: DriveSymbol },
    /// B: position switch on the tie bar.
    Microswitch { bar: BarId },
    /// K: bistable relay; two coils, or one that follows the polarity.
    Relay { bar: BarId, coils: usize },
    /// S: double-pole switch that the operator sets to the road or border in use.
    PolaritySwitch { selector: SelectorId },
    /// K: turns the polarity by itself when a wheel meets the wrong one (DCC).
    ReverserModule { selector: SelectorId },
    /// F: cuts a district off the booster while it is shorted (DCC).
    DistrictCutout { zone: ZoneId },
    /// S: switches a section to one of the controllers, or off (DC).
    SectionSwitch { zone: ZoneId },
    /// K: turns toggles into servo pulses.
    ServoController { channels: usize },
    /// K
    Decoder { control: ControlId },
    /// W: a conductor that many wires tap.
    Bus,
    /// A piece of rail with a wire soldered to it.
    Rail { rail: RailId },
}

/// Which symbol a drive is drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DriveSymbol {
    TwinCoil,
    Motor,
    Servo,
}

/// Pins of changeover contacts, the first, the second and so on: common, closed in the normal
/// position, closed in the reverse position. The numbers are those of EN 50005 (from memory).
pub const CONTACT_PINS: [[&str; 3]; 8] = [
    ["11", "12", "14"],
    ["21", "22", "24"],
    ["31", "32", "34"],
    ["41", "42", "44"],
    ["51", "52", "54"],
    ["61", "62", "64"],
    ["71", "72", "74"],
    ["81", "82", "84"],
];

impl Pin {
    /// Whether this pin belongs to a frog's contact, not to the coil or motor beside it.
    pub fn is_contact(&self) -> bool {
        CONTACT_PINS.iter().any(|contact| contact.contains(&self.name))
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Net {
    /// By meaning: "S1 normal", "points return", "frog T1".
    pub name: String,
    pub kind: NetKind,
    pub pins: Vec<PinRef>,
}

/// What a net is for. Colour and wire size follow from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NetKind {
    /// Between an AC supply and its rectifier.
    AcSupply,
    /// Between a DC supply and what stands before its common positive.
    SupplyPositive,
    /// The positive that controls share.
    CommonPositive,
    /// The negative that is not common (split supply, reversing toggles).
    CommonNegative,
    /// The common return, 0 V.
    Return,
    /// A control's line for one position.
    Command(Position),
    /// From a route's button to its links.
    Route(RouteId),
    /// One of a motor's two lines.
    MotorLine,
    /// A controller's input.
    Input,
    /// A servo's pulse line.
    Signal,
    ServoPositive,
    ServoReturn,
    /// Accessory data, apart from the track.
    Data(Feed),
    /// Between a controller or booster and the switches and cut-outs of sections.
    Cab(usize, Feed),
    Track(Pole),
    Frog(ChangeoverId),
}

/// A changeover contact that stands for the position of a tie bar or selector.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact {
    pub part: PartId,
    pub changeover: ChangeoverId,
    pub decider: Decider,
    /// Pins of `part`: closed with `normal` in the normal position, with `reverse` in the other.
    pub common: usize,
    pub normal: usize,
    pub reverse: usize,
}

#[derive(Clone, Debug, Default)]
pub struct Circuit {
    pub parts: Vec<Part>,
    pub nets: Vec<Net>,
    pub contacts: Vec<Contact>,
}

impl std::ops::Index<PartId> for Circuit {
    type Output = Part;
    fn index(&self, id: PartId) -> &Part {
        &self.parts[id.0]
    }
}

impl std::ops::Index<NetId> for Circuit {
    type Output = Net;
    fn index(&self, id: NetId) -> &Net {
        &self.nets[id.0]
    }
}

impl Circuit {
    pub fn pin(&self, pin: PinRef) -> &Pin {
        &self[pin.part].pins[pin.pin]
    }

    /// "M1:N"
    pub fn pin_name(&self, pin: PinRef) -> String {
        let part = &self[pin.part];
        format!("{}:{}", part.designation, part.pins[pin.pin].name)
    }

    /// The pin of a part by its name.
    pub fn pin_of(&self, part: PartId, name: &str) -> Option<PinRef> {
        self[part].pins.iter().position(|p| p.name == name).map(|pin| PinRef { part, pin })
    }

    pub fn parts(&self) -> impl Iterator<Item = (PartId, &Part)> {
        self.parts.iter().enumerate().map(|(i, p)| (PartId(i), p))
    }

    pub fn find(&self, kind: impl Fn(PartKind) -> bool) -> Option<PartId> {
        self.parts().find(|(_, p)| kind(p.kind)).map(|(id, _)| id)
    }

    /// The designation of the drive that moves a bar: "M1".
    pub fn drive_name(&self, bar: BarId) -> &str {
        let drive = self.find(|k| matches!(k, PartKind::Drive { bar: moved, .. } if moved == bar));
        drive.map_or("", |id| &self[id].designation)
    }

    pub fn nets(&self) -> impl Iterator<Item = (NetId, &Net)> {
        self.nets.iter().enumerate().map(|(i, n)| (NetId(i), n))
    }

    /// The contact that carries a changeover.
    pub fn contact_of(&self, changeover: ChangeoverId) -> Option<&Contact> {
        self.contacts.iter().find(|c| c.changeover == changeover)
    }

    /// The pins of a contact that are closed in a position: "M3:11-12".
    pub fn closed_pins(&self, contact: &Contact, position: Position) -> String {
        format!("{}-{}", self.pin_name(contact.common()), self.pin(contact.outer(position)).name)
    }

    /// Whether a net belongs to the track side; the accessory side must never meet it.
    pub fn is_track_side(&self, net: NetId) -> bool {
        matches!(self[net].kind, NetKind::Cab(..) | NetKind::Track(_) | NetKind::Frog(_))
    }
}

impl Contact {
    /// The pin that is closed with the common in a position.
    pub fn outer(&self, position: Position) -> PinRef {
        let pin = match position {
            Position::Normal => self.normal,
            Position::Reverse => self.reverse,
        };
        PinRef { part: self.part, pin }
    }

    pub fn common(&self) -> PinRef {
        PinRef { part: self.part, pin: self.common }
    }
}

impl PartKind {
    /// Class letter of IEC 81346-2 (2019): G provides energy, F protects, T converts, R limits,
    /// C stores, S is worked by hand, M moves, B senses, K processes signals, W guides.
    pub fn class_letter(self) -> &'static str {
        match self {
            PartKind::PlugInSupply | PartKind::TrackSupply => "G",
            PartKind::Fuse | PartKind::DistrictCutout { .. } => "F",
            PartKind::Rectifier => "TB",
            PartKind::Resistor | PartKind::Diode { .. } => "R",
            PartKind::Capacitor => "C",
            PartKind::Control { .. }
            | PartKind::Probe
            | PartKind::RouteButton { .. }
            | PartKind::PolaritySwitch { .. }
            | PartKind::SectionSwitch { .. } => "S",
            PartKind::Drive { .. } => "M",
            PartKind::Microswitch { .. } => "B",
            PartKind::Relay { .. }
            | PartKind::ServoController { .. }
            | PartKind::Decoder { .. }
            | PartKind::ReverserModule { .. } => "K",
            PartKind::Bus | PartKind::Link { .. } => "W",
            PartKind::Rail { .. } => "",
        }
    }
}

impl NetKind {
    /// The row of the colour table (NEM 605) that this net is wired by.
    pub fn function(self, dcc: bool) -> WireFunction {
        match self {
            NetKind::AcSupply => WireFunction::AcSupply,
            NetKind::SupplyPositive | NetKind::CommonPositive | NetKind::ServoPositive => {
                WireFunction::DcPositive
            }
            NetKind::CommonNegative => WireFunction::DcNegative,
            NetKind::Return | NetKind::ServoReturn => WireFunction::DcCommon,
            NetKind::Command(_)
            | NetKind::Route(_)
            | NetKind::MotorLine
            | NetKind::Input
            | NetKind::Signal => WireFunction::TurnoutCommand,
            NetKind::Data(Feed::A) => WireFunction::DigitalA,
            NetKind::Data(Feed::B) => WireFunction::DigitalB,
            NetKind::Cab(_, feed) | NetKind::Track(Pole { feed, .. }) => match (feed, dcc) {
                (Feed::A, true) => WireFunction::DigitalA,
                (Feed::B, true) => WireFunction::DigitalB,
                (Feed::A, false) => WireFunction::TractionPositive,
                (Feed::B, false) => WireFunction::TractionNegative,
            },
            NetKind::Frog(_) => WireFunction::Other,
        }
    }

    /// The class by which the wire is sized.
    pub fn wire_class(self) -> WireClass {
        match self {
            NetKind::AcSupply | NetKind::SupplyPositive => WireClass::Supply,
            NetKind::CommonPositive | NetKind::CommonNegative => WireClass::Common,
            NetKind::Return => WireClass::Return,
            NetKind::Command(_) | NetKind::Route(_) | NetKind::MotorLine => WireClass::Command,
            NetKind::Input | NetKind::Signal | NetKind::Data(_) => WireClass::Signal,
            NetKind::ServoPositive | NetKind::ServoReturn => WireClass::ServoSupply,
            NetKind::Cab(..) | NetKind::Track(_) => WireClass::TrackBus,
            NetKind::Frog(_) => WireClass::FrogFeed,
        }
    }
}
