//! The layout as the builder described it, with every default filled in and every name bound.
//!
//! Whoever holds a [`Document`] need not worry any more that a key is missing, a unit is wrong, a
//! name refers to nothing, a port is joined twice or a figure is absurd.

use crate::source::{At, Span};
use crate::units::{Amps, Angle, Celsius, Farads, Henries, Joules, Length, Ohms, Seconds, Volts, WireSize};

macro_rules! index {
    ($($(#[$doc:meta])* $name:ident in $list:ident: $item:ty;)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);

        impl std::ops::Index<$name> for Document {
            type Output = $item;
            fn index(&self, id: $name) -> &$item {
                &self.$list[id.0]
            }
        }
    )*};
}

index! {
    /// A baseboard, by its place in [`Document::boards`].
    BoardId in boards: Board;
    /// A turnout, by its place in [`Document::turnouts`].
    TurnoutId in turnouts: Turnout;
    /// A tie bar, by its place in [`Document::bars`].
    BarId in bars: Bar;
    /// A section of the track, by its place in [`Document::sections`].
    SectionId in sections: Section;
    /// A track, by its place in [`Document::tracks`].
    TrackId in tracks: Track;
    /// A drive model, by its place in [`Document::drives`].
    DriveId in drives: Drive;
    /// A control, by its place in [`Document::controls`].
    ControlId in controls: Control;
    /// A route, by its place in [`Document::routes`].
    RouteId in routes: Route;
    /// A supply, by its place in [`Document::supplies`].
    SupplyId in supplies: Supply;
}

impl Document {
    /// The tie bars of a turnout.
    pub fn bars_of(&self, turnout: TurnoutId) -> impl Iterator<Item = BarId> + '_ {
        self.bars.iter().enumerate().filter(move |(_, b)| b.turnout == turnout).map(|(i, _)| BarId(i))
    }

    /// The turnout that a tie bar belongs to.
    pub fn turnout_of(&self, bar: BarId) -> &Turnout {
        &self[self[bar].turnout]
    }

    /// The drive that moves a tie bar.
    pub fn drive_of(&self, bar: BarId) -> &Drive {
        &self[*self[bar].drive]
    }
}

/// Everything the layout file says. Lists are in the order of the file; what compositions stand for
/// comes after what is written one by one.
#[derive(Clone, Debug)]
pub struct Document {
    pub layout: Layout,
    pub track_power: TrackPower,
    pub boards: Vec<Board>,
    pub turnouts: Vec<Turnout>,
    /// What the drives move, turnout by turnout.
    pub bars: Vec<Bar>,
    /// Never empty: a file that describes none has one.
    pub sections: Vec<Section>,
    pub tracks: Vec<Track>,
    pub drives: Vec<Drive>,
    pub controls: Vec<Control>,
    /// Push buttons that set several turnouts each.
    pub routes: Vec<Route>,
    /// What the operator must not set together.
    pub exclusive: Vec<Exclusive>,
    /// Empty: recommend one.
    pub supplies: Vec<Supply>,
    pub servo_controller: ServoController,
    /// Wire sizes the builder has. Empty: recommend from the usual ones.
    pub wire_stock: Vec<WireSize>,
    /// `None`: choose from what is sold.
    pub capacitor_stock: Option<CapacitorStock>,
    /// The builder's own colours, by function; what is absent is NEM 605's.
    pub colours: Vec<(WireFunction, At<Colour>)>,
    pub panel: Panel,
    pub droppers: DropperRule,
}

/// `[layout]`
#[derive(Clone, Debug)]
pub struct Layout {
    pub name: At<String>,
    pub control: At<TrainControl>,
    pub gauge: Length,
    pub revision: String,
    /// As written, ISO 8601.
    pub date: String,
    /// The lowest and the highest ambient temperature the figures must hold for.
    pub ambient: (Celsius, Celsius),
    pub page: PageSize,
    /// The longest train that may run into a reversing section.
    pub longest_train: Option<At<Length>>,
}

/// How the trains are driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TrainControl {
    Dcc,
    Dc,
}

/// The paper of the book; all sheets are landscape.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PageSize {
    A4,
    A3,
    Letter,
}

/// `[track-power]`: what feeds the rails.
#[derive(Clone, Debug)]
pub struct TrackPower {
    pub voltage: Volts,
    /// The current at which the booster or controller cuts off.
    pub trip: Amps,
    /// How many controllers can be switched to a section (DC).
    pub cabs: usize,
    /// Whether voltage or trip stand in for figures the builder did not give.
    pub typical: bool,
    pub span: Span,
}

/// A baseboard: a rectangle seen from above.
#[derive(Clone, Debug)]
pub struct Board {
    pub name: At<String>,
    /// Left to right, front to back. `None` only for the one board of a file that describes none.
    pub size: Option<(Length, Length)>,
    /// Where its front left corner stands in the room, from that of the first board.
    pub stands_at: Option<(Length, Length)>,
    pub members: Vec<Member>,
}

/// A framing member under a board, from end to end along its middle line.
#[derive(Clone, Debug)]
pub struct Member {
    pub from: (Length, Length),
    pub to: (Length, Length),
    pub width: Length,
}

/// `[turnout]`
#[derive(Clone, Debug)]
pub struct Turnout {
    pub name: At<String>,
    pub kind: At<TurnoutKind>,
    pub frog: At<FrogKind>,
    pub board: BoardId,
    pub section: SectionId,
    /// Where it lies on the board, seen from above.
    pub place: Option<TurnoutPlace>,
    /// The port of the road that is set in the normal position.
    pub normal: Port,
    /// How the blades of a double slip work.
    pub blades: SlipBlades,
    /// What makes the frogs' polarity; `None` leaves the choice to the program.
    pub frog_feed: Option<At<FrogFeedBy>>,
    /// The tie bar whose position tells which road over a diamond is in use.
    pub decided_by: Option<At<Decision>>,
    pub span: Span,
}

/// A tie bar that decides which road over a diamond is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decision {
    pub bar: BarId,
    /// Whether road c–d is used in its normal position, instead of a–b.
    pub inverted: bool,
}

/// What one drive moves: a turnout has one tie bar, a three-way or a slip two, a diamond none.
#[derive(Clone, Debug)]
pub struct Bar {
    /// "T1"; of a turnout with two, "T1.left" or "T1.ac".
    pub name: String,
    pub turnout: TurnoutId,
    /// Its place in the turnout's formation.
    pub index: usize,
    pub drive: At<DriveId>,
}

/// Settings of which no two may be set at once.
#[derive(Clone, Debug)]
pub struct Exclusive {
    /// What they belong to: "X2".
    pub of: At<String>,
    pub settings: Vec<Setting>,
    /// Why not, to go on with after "because": "the two diagonals cross".
    pub reason: &'static str,
}

/// One of them.
#[derive(Clone, Debug)]
pub struct Setting {
    /// "X2.ab"
    pub name: String,
    /// It is set as soon as one of these stands reverse.
    pub bars: Vec<BarId>,
}

/// Where a turnout lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TurnoutPlace {
    /// The toe; of a diamond or slip its middle.
    pub origin: (Length, Length),
    /// From the toe to the frog; of a diamond or slip from the end of a and c to that of b and d.
    pub heading: Angle,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TurnoutKind {
    Left,
    Right,
    Wye,
    CurvedLeft,
    CurvedRight,
    ThreeWay,
    Diamond,
    SingleSlip,
    DoubleSlip,
}

impl TurnoutKind {
    /// Its ends: the toe first, or those of a diamond or slip from a to d.
    pub const fn ports(self) -> &'static [Port] {
        match self {
            TurnoutKind::Left | TurnoutKind::Right => &[Port::Toe, Port::Straight, Port::Diverging],
            TurnoutKind::Wye => &[Port::Toe, Port::Left, Port::Right],
            TurnoutKind::CurvedLeft | TurnoutKind::CurvedRight => &[Port::Toe, Port::Outer, Port::Inner],
            TurnoutKind::ThreeWay => &[Port::Toe, Port::Left, Port::Straight, Port::Right],
            TurnoutKind::Diamond | TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip => {
                &[Port::A, Port::B, Port::C, Port::D]
            }
        }
    }

    /// The names of its tie bars; a single one has none.
    pub const fn bars(self) -> &'static [&'static str] {
        match self {
            TurnoutKind::ThreeWay => &["left", "right"],
            TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip => &["ac", "bd"],
            TurnoutKind::Diamond => &[],
            _ => &[""],
        }
    }

    /// Whether it has a toe, from which its roads fan out.
    pub const fn has_toe(self) -> bool {
        !matches!(self, TurnoutKind::Diamond | TurnoutKind::SingleSlip | TurnoutKind::DoubleSlip)
    }
}

/// How the two tie bars of a double slip choose among its four roads.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SlipBlades {
    /// The blades of each end choose the exit at the other end, whatever the entry.
    FarExit,
    /// Both bars lie alike: either both straight roads are set or both slip roads.
    BothAgree,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FrogKind {
    /// The frog is plastic, or metal without a wire: it needs no polarity.
    Insulated,
    /// Frog, closure rails and blades are one piece of metal.
    Live,
    /// The frog is a piece of its own with a wire to it; the blades are bonded to their stock rails.
    IsolatedWithWire,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FrogFeedBy {
    /// A changeover contact that the drive carries.
    Contact,
    /// A microswitch on the tie bar.
    Microswitch,
    /// A bistable relay.
    Relay,
    /// A switch on the panel, which the operator sets to the road.
    PanelSwitch,
    /// A module that changes the polarity when a wheel meets the wrong one (DCC).
    ReverserModule,
}

/// An end of a turnout.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Port {
    Toe,
    Straight,
    Diverging,
    Left,
    Right,
    /// Of a curved turnout.
    Outer,
    Inner,
    /// Of a diamond or slip, looking from the end of a and c: a is left of c, d lies opposite a and
    /// b opposite c. The straight roads are a–b and c–d.
    A,
    B,
    C,
    D,
}

/// `[section]`: a part of the track with a feed of its own.
#[derive(Clone, Debug)]
pub struct Section {
    pub name: At<String>,
    pub feed: SectionFeed,
    pub span: Span,
}

/// Where a section has its feed from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SectionFeed {
    /// From the layout's booster or controllers: with DCC straight, with DC through its switch.
    Shared,
    /// A district behind a cut-out of its own (DCC).
    District,
    /// A booster of its own (DCC).
    Booster,
    /// Its polarity changes to suit the train.
    Reversing,
}

/// `[track]`: a piece of plain track.
#[derive(Clone, Debug)]
pub struct Track {
    pub name: At<String>,
    pub from: At<TrackEnd>,
    pub to: At<TrackEnd>,
    pub length: Option<Length>,
    /// The board its droppers go through: as given, or that of the turnout it joins.
    pub board: BoardId,
    pub section: SectionId,
    /// Whether it gets droppers of its own under [`DropperRule::EachPiece`].
    pub droppers: bool,
    pub span: Span,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TrackEnd {
    Port(TurnoutId, Port),
    /// The rails end at a buffer stop.
    Buffer,
    /// The rails go on, off what this file describes.
    OffTheLayout,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DropperRule {
    /// Every piece of track has its own pair: rail joiners are not counted on as conductors.
    EachPiece,
    /// One dropper for each stretch of rail between insulated joints.
    EachSection,
}

/// `[drive]`: a kind of turnout motor, as measured or with typical figures.
#[derive(Clone, Debug)]
pub struct Drive {
    pub name: At<String>,
    pub model: DriveModel,
    /// Changeover contacts that the drive carries.
    pub contacts: usize,
    /// What one of these contacts may switch.
    pub contact_rating: Amps,
    /// Keys whose typical figure stands in for a measured one.
    pub typical: Vec<&'static str>,
    pub span: Span,
}

#[derive(Clone, Debug, PartialEq)]
pub enum DriveModel {
    Solenoid(Solenoid),
    SlowMotion(SlowMotion),
    Servo(Servo),
}

/// A twin-coil motor that is thrown by a pulse.
#[derive(Clone, Debug, PartialEq)]
pub struct Solenoid {
    /// Resistance of one coil at 20 °C.
    pub coil: Ohms,
    pub inductance: Henries,
    /// What one coil needs for a sure throw.
    pub energy: Joules,
    pub current: Amps,
    /// How long it needs at least that current.
    pub pulse: Seconds,
    pub fired_from: FiredFrom,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FiredFrom {
    DischargeUnit,
    /// Straight from the supply: the coil is only safe while the contact is short.
    Supply,
}

/// A geared motor that stalls against its end stop and stays energised.
#[derive(Clone, Debug, PartialEq)]
pub struct SlowMotion {
    pub voltage: Volts,
    /// The least voltage at which it moves for sure.
    pub lowest: Volts,
    pub running: Amps,
    pub stall: Amps,
    pub throw_time: Seconds,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Servo {
    pub voltage: Volts,
    /// The least voltage at which it still moves properly.
    pub lowest: Volts,
    pub idle: Amps,
    pub moving: Amps,
    pub stall: Amps,
}

/// `[control]`: what the operator touches.
#[derive(Clone, Debug)]
pub struct Control {
    pub name: At<String>,
    pub throws: Vec<At<BarId>>,
    pub with: At<ControlKind>,
    pub span: Span,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ControlKind {
    /// Changeover, sprung to an off position in the middle.
    MomentaryToggle,
    /// One button for each position.
    PushButtons,
    /// A stud for each position in the track diagram, touched with a probe on a lead.
    StudsAndProbe,
    /// Changeover that stays where it is put.
    MaintainedToggle,
    /// An output pair of an accessory decoder.
    AccessoryDecoder,
    /// Nothing of its own: only route buttons work its lines.
    RouteButtons,
}

/// `[route]`: a push button on the panel that sets several turnouts at once.
#[derive(Clone, Debug)]
pub struct Route {
    pub name: At<String>,
    /// In the order of the file; never empty.
    pub sets: Vec<RouteSetting>,
    pub span: Span,
}

/// One of the things a route sets.
#[derive(Clone, Debug)]
pub struct RouteSetting {
    /// As the builder named it: "T1", "T5.left", "X1".
    pub name: At<String>,
    pub what: Settable,
    /// A position or a road, as written. Which of them there are tells the turnout's formation.
    pub to: At<String>,
}

/// What a position can be asked of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Settable {
    /// A turnout with blades: its roads have names.
    Turnout(TurnoutId),
    /// Tie bars that stand alike: one of several, or those of a composition.
    Bars(Vec<BarId>),
}

/// Which links between route buttons and lines are diodes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RouteDiodes {
    /// Those without which a button would set something else too.
    Fewest,
    EveryLink,
}

/// `[supply]`: an approved plug-in supply the builder owns.
#[derive(Clone, Debug)]
pub struct Supply {
    pub name: At<String>,
    pub kind: At<SupplyKind>,
    pub voltage: At<Volts>,
    pub current: At<Amps>,
    /// Its voltage without load, if measured.
    pub unloaded: Option<Volts>,
    /// The kind of drive it is for; `None`: any that it fits.
    pub feeds: Option<At<SupplyUse>>,
    pub span: Span,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SupplyKind {
    Ac,
    Dc,
    /// Two equal DC outputs in series, the middle is common.
    SplitDc,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SupplyUse {
    Solenoids,
    SlowMotion,
    Servos,
}

/// `[capacitor]`: capacitors that the builder has.
#[derive(Clone, Debug, PartialEq)]
pub struct CapacitorStock {
    /// Smallest first; never empty.
    pub values: Vec<Farads>,
    /// Their rated voltage, if given.
    pub voltage: Option<Volts>,
    pub span: Span,
}

/// `[servo-controller]`
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ServoController {
    /// How many servos move at the same time; `None`: as many as one control throws.
    pub moves: Option<usize>,
    /// Whether that also holds when it is switched on.
    pub staggered_start: bool,
}

/// `[panel]`
#[derive(Clone, Debug)]
pub struct Panel {
    /// The board whose strip its cable goes to first.
    pub board: BoardId,
    pub cable: Length,
    /// Whether the cable's length stands in for one the builder did not give.
    pub typical: bool,
    pub route_diodes: RouteDiodes,
    pub span: Option<Span>,
}

/// What a wire is for: the key of the colour table (NEM 605).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WireFunction {
    DcCommon,
    DcPositive,
    DcNegative,
    AcSupply,
    DigitalA,
    DigitalB,
    TractionPositive,
    TractionNegative,
    TurnoutCommand,
    Feedback,
    Other,
}

/// An insulation colour, by its IEC 60757 letter code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Colour {
    Black,
    Brown,
    Red,
    Orange,
    Yellow,
    Green,
    Blue,
    Violet,
    Grey,
    White,
    Pink,
    Turquoise,
}
