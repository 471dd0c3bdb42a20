//! The shopping list, in generic terms: what a part must be able to do, not who makes it.

mod names;
mod ratings;
mod sundries;

use super::{Table, number, text};
use crate::Design;
use crate::circuit::{Circuit, Part, PartId, PartKind, Place};
use crate::parse::{ControlKind, DriveModel, TrainControl};
use crate::units::{Quantity, Watts};
use names::{designation_list, split};
use ratings::{Ratings, with_rating};

/// Resistors of this rating and above are mounted with care (common practice, no source).
const HOT: Watts = Watts::new(5.0);

/// Equal parts together.
#[derive(Clone, Debug, PartialEq)]
pub struct PartRow {
    pub quantity: usize,
    pub description: String,
    /// What it must stand at least, or its value.
    pub rating: String,
    /// The parts in the drawings: "S1, S3".
    pub designations: Vec<String>,
    /// Whether it is there already, or how to choose it.
    pub note: String,
}

/// Parts of the circuit in the order in which current flows through them, then what carries the
/// wires. Wire itself is in [`super::lengths`].
pub fn rows(design: &Design) -> Vec<PartRow> {
    let ratings = Ratings::of(design);
    let mut found: Vec<(usize, PartRow)> = Vec::new();
    for (id, part) in design.circuit.parts() {
        let Some(row) = part_row(design, &ratings, id, part) else { continue };
        let same =
            |r: &PartRow| (&r.description, &r.rating, &r.note) == (&row.description, &row.rating, &row.note);
        match found.iter_mut().find(|(_, r)| same(r)) {
            Some((_, r)) => {
                r.quantity += row.quantity;
                r.designations.extend(row.designations);
            }
            None => found.push((order(part.kind), row)),
        }
    }
    found.sort_by_key(|(order, _)| *order);
    for (_, row) in &mut found {
        row.designations.sort_by_cached_key(|name| (split(name), name.clone()));
    }
    let mut rows: Vec<PartRow> = found.into_iter().map(|(_, r)| r).collect();
    rows.extend(sundries::rows(design));
    rows
}

fn order(kind: PartKind) -> usize {
    match kind {
        PartKind::PlugInSupply => 0,
        PartKind::Fuse => 1,
        PartKind::Rectifier => 2,
        PartKind::Resistor => 3,
        PartKind::Capacitor => 4,
        PartKind::Bus => 5,
        PartKind::Control { .. } => 6,
        PartKind::Probe => 7,
        PartKind::RouteButton { .. } => 7,
        PartKind::Diode { .. } => 7,
        PartKind::ServoController { .. } => 8,
        PartKind::Decoder { .. } => 9,
        PartKind::Drive { .. } => 10,
        PartKind::Microswitch { .. } => 11,
        PartKind::Relay { .. } => 12,
        PartKind::PolaritySwitch { .. } => 13,
        PartKind::ReverserModule { .. } => 14,
        PartKind::SectionSwitch { .. } => 15,
        PartKind::DistrictCutout { .. } => 16,
        PartKind::TrackSupply => 17,
        PartKind::Link { .. } | PartKind::Rail { .. } => 18,
    }
}

/// `None` for what is not bought: rails, and the track bus, which is wire.
fn part_row(design: &Design, ratings: &Ratings, id: PartId, part: &Part) -> Option<PartRow> {
    let power = &design.document.track_power;
    let (quantity, description, rating, note): (usize, String, String, String) = match part.kind {
        PartKind::PlugInSupply => {
            let (kind, rating, note) = ratings.supply(design, id)?;
            (1, format!("plug-in supply, approved, enclosed, {kind}"), rating, note)
        }
        PartKind::Fuse => (
            1,
            "fuse link, time-lag (IEC 60127), with a holder".into(),
            part.value.clone(),
            "and two spare links".into(),
        ),
        PartKind::Rectifier => (1, "bridge rectifier".into(), ratings.rectifier(part), part.reason.clone()),
        PartKind::Resistor => (1, "resistor".into(), with_rating(&part.value), resistor_note(part)),
        PartKind::Capacitor => (
            1,
            "electrolytic capacitor".into(),
            with_rating(&part.value),
            format!("{}; mind + and −", part.reason),
        ),
        PartKind::Bus if part.place == Place::Panel => {
            let taps = taps(design, id);
            let text = "distribution bar, insulated from its support".to_owned();
            (
                1,
                text,
                format!("at least {taps} ways"),
                format!("{}; or a strip with all its ways joined", part.value),
            )
        }
        // A link is a piece of the wire that is listed anyway.
        PartKind::Bus | PartKind::Link { .. } | PartKind::Rail { .. } => return None,
        PartKind::RouteButton { .. } => (
            1,
            "push button, closes while pressed: off-(on)".into(),
            ratings.bank_contact(),
            "for a route".into(),
        ),
        PartKind::Diode { .. } => (
            1,
            "rectifier diode".into(),
            ratings.route_diode(design),
            "for the routes; mind the ring (K)".into(),
        ),
        PartKind::Control { control, kind, poles } => {
            let (quantity, text) = control_words(kind, poles);
            (quantity, text.to_owned(), ratings.control(design, control), String::new())
        }
        PartKind::Probe => {
            (1, "probe on a flexible lead, insulated handle".into(), String::new(), "for the studs".into())
        }
        PartKind::ServoController { channels } => (
            1,
            format!("servo controller, {channels} channels, an input for each"),
            ratings.servo_voltage(design),
            "input open: normal; joined to 0 V: reverse".into(),
        ),
        PartKind::Decoder { control } => (
            1,
            format!("accessory decoder for {}", ratings.decoder_drives(design, control)),
            ratings.decoder_voltage(design, control),
            "with a supply input apart from the data input".into(),
        ),
        PartKind::Drive { bar, .. } => {
            let drive = design.document.drive_of(bar);
            let what = match drive.model {
                DriveModel::Solenoid(_) => "turnout motor, solenoid with two coils",
                DriveModel::SlowMotion(_) => "turnout motor, slow-motion, stands stalled",
                DriveModel::Servo(_) => "servo with its plug lead",
            };
            (1, what.into(), ratings.drive(drive), format!("drive \"{}\" of the layout file", *drive.name))
        }
        PartKind::Microswitch { .. } => (
            1,
            "microswitch, single-pole changeover, with a lever".into(),
            ratings.frog_contact(design),
            "on the tie bar".into(),
        ),
        PartKind::Relay { coils, .. } => (
            1,
            format!("relay, {} changeover, stays where it was set", poles_words(poles(part))),
            format!("{}; {}", part.value, ratings.frog_contact(design)),
            if coils == 2 { "with a diode across each coil".into() } else { String::new() },
        ),
        PartKind::PolaritySwitch { .. } => (
            1,
            format!("toggle or rotary switch, {} changeover, stays put: on-on", poles_words(poles(part))),
            ratings.frog_contact(design),
            "for polarity; must break before it makes".into(),
        ),
        PartKind::ReverserModule { .. } => (
            1,
            "automatic reverser module (DCC)".into(),
            ratings.module(design),
            format!("must turn below {}, before the booster cuts off", design.document.track_power.trip),
        ),
        PartKind::SectionSwitch { .. } => {
            // Two pins for each controller, and two for the section.
            let cabs = (part.pins.len() / 2).saturating_sub(1);
            let text = match cabs {
                0 | 1 => "toggle switch, double-pole, stays put: on-off".to_owned(),
                2 => "toggle switch, double-pole changeover with centre off: on-off-on".to_owned(),
                n => format!("rotary switch, double-pole, {} positions", n + 1),
            };
            (1, text, ratings.frog_contact(design), "for a section; must break before it makes".into())
        }
        PartKind::DistrictCutout { .. } => (
            1,
            "electronic cut-out for a district (DCC)".into(),
            format!("{}; cuts off below the {} of the booster", power.voltage, power.trip),
            "and sooner than the booster; must come back by itself".into(),
        ),
        PartKind::TrackSupply => {
            let dcc = *design.document.layout.control == TrainControl::Dcc;
            let rating = format!("{}, cuts off at {}", power.voltage, power.trip);
            (
                1,
                if dcc { "booster" } else { "controller" }.into(),
                rating,
                "you have it, says the layout file".into(),
            )
        }
    };
    Some(PartRow { quantity, description, rating, designations: vec![part.designation.clone()], note })
}

fn control_words(kind: ControlKind, poles: usize) -> (usize, &'static str) {
    match (kind, poles) {
        (ControlKind::MomentaryToggle, _) => {
            (1, "toggle switch, single-pole changeover, sprung to centre off: (on)-off-(on)")
        }
        (ControlKind::PushButtons, _) => (2, "push button, closes while pressed: off-(on)"),
        (ControlKind::StudsAndProbe, _) => (2, "stud (brass screw) with a solder tag"),
        (ControlKind::MaintainedToggle, 1) => (1, "toggle switch, single-pole changeover, stays put: on-on"),
        (ControlKind::MaintainedToggle, _) => (1, "toggle switch, double-pole changeover, stays put: on-on"),
        (ControlKind::AccessoryDecoder, _) => (1, "accessory decoder"),
        (ControlKind::RouteButtons, _) => (0, "route buttons"),
    }
}

/// Changeovers of a relay or switch.
fn poles(part: &Part) -> usize {
    part.pins.iter().filter(|p| p.is_contact()).count() / 3
}

/// "single-pole"
fn poles_words(poles: usize) -> String {
    match poles {
        0 | 1 => "single-pole".to_owned(),
        2 => "double-pole".to_owned(),
        n => format!("{n}-pole"),
    }
}

fn resistor_note(part: &Part) -> String {
    let watts = part.value.split_once(", ").and_then(|(_, power)| Watts::parse(power).ok());
    let hot = watts.is_some_and(|w| w >= HOT);
    let care = if hot { "; may become hot: mount it clear of wood and wires" } else { "" };
    format!("{}{care}", part.reason)
}

/// Wires on a bus.
fn taps(design: &Design, bus: PartId) -> usize {
    let pins = 0..design.circuit[bus].pins.len();
    pins.map(|pin| design.wiring.at_pin(crate::circuit::PinRef { part: bus, pin }).count()).sum()
}

pub fn table(design: &Design) -> Table {
    let rows = rows(design)
        .into_iter()
        .map(|r| {
            vec![r.quantity.to_string(), r.description, r.rating, designation_list(&r.designations), r.note]
        })
        .collect();
    Table {
        slug: "parts",
        title: "Parts",
        note: "Ratings are the least that will do; a higher one is right too, but for fuses. Supplies: only approved, enclosed ones, \
               used as they come. Wire is listed apart.",
        columns: vec![
            number("Quantity"),
            text("Part"),
            text("Value or rating"),
            text("In the drawings"),
            text("Note"),
        ],
        rows,
    }
}

/// The plug-in supplies in the order in which they were put into the circuit.
fn supplies(circuit: &Circuit) -> impl Iterator<Item = PartId> + '_ {
    circuit.parts().filter(|(_, p)| p.kind == PartKind::PlugInSupply).map(|(id, _)| id)
}
