//! One small change to a right file, and the code of what is then found.

use super::super::*;
use super::{codes, read, starter_with};
use crate::units::{Amps, Length, Ohms, Volts};

#[test]
fn the_starter_is_right_as_it_stands() {
    let (document, found) = read(STARTER);
    assert_eq!(found, []);
    let document = document.expect("a document");
    let names: Vec<_> = document.tracks.iter().map(|t| t.name.value.as_str()).collect();
    // In the order of the file, not of the alphabet.
    assert_eq!(names, ["approach", "link", "quay", "crane", "back", "sawmill", "depot"]);
    assert_eq!(document[TurnoutId(2)].kind.value, TurnoutKind::Wye);
    assert_eq!(document[TurnoutId(2)].normal, Port::Left);
    assert_eq!(document[TurnoutId(0)].frog.value, FrogKind::Live);
    assert_eq!(document[TurnoutId(2)].frog.value, FrogKind::Insulated);
    assert_eq!(document.tracks[1].from.value, TrackEnd::Port(TurnoutId(0), Port::Straight));
    assert_eq!(document.supplies[0].kind.value, SupplyKind::Ac);
    assert_eq!(document.layout.date, "undated");
    assert!(!document.track_power.typical);
}

#[test]
fn typical_figures_stand_in_and_are_named() {
    let (document, _) = read(STARTER);
    let drive = &document.expect("a document").drives[0];
    assert_eq!(drive.typical, ["inductance", "energy", "current", "pulse"]);
    let DriveModel::Solenoid(solenoid) = &drive.model else { panic!("a solenoid") };
    assert_eq!(solenoid.coil, Ohms::new(4.5));
    assert_eq!(solenoid.current, Amps::new(2.0));
    assert_eq!(solenoid.fired_from, FiredFrom::DischargeUnit);
}

#[test]
fn track_power_follows_the_way_of_driving() {
    let text = starter_with(&[
        ("control  = \"dcc\"", "control  = \"dc\""),
        ("voltage = \"14 V\"", ""),
        ("trip    = \"3 A\"", ""),
    ]);
    let power = read(&text).0.expect("a document").track_power;
    assert_eq!((power.voltage, power.trip, power.typical), (Volts::new(12.0), Amps::new(1.0), true));
}

#[test]
fn a_file_without_boards_has_one_of_unknown_size() {
    let text = starter_with(&[("[board.wharf]", ""), ("size = [\"1200 mm\", \"400 mm\"]", "")]);
    let (document, found) = read(&text);
    assert_eq!(found, []);
    let document = document.expect("a document");
    assert_eq!(document.boards.len(), 1);
    assert_eq!(document.boards[0].size, None);
    assert_eq!(document.turnouts[0].board, BoardId(0));
}

#[test]
fn a_track_lies_on_the_board_of_its_turnout() {
    let text = starter_with(&[
        ("[board.wharf]", "[board.quay]\nsize = [\"1 m\", \"400 mm\"]\n[board.wharf]"),
        ("[defaults]", "[defaults]\nboard = \"wharf\""),
        ("kind    = \"right\"", "kind = \"right\"\nboard = \"quay\""),
    ]);
    let document = read(&text).0.expect("a document");
    assert_eq!(document.turnouts[1].board, BoardId(0));
    let boards: Vec<_> = document.tracks.iter().map(|t| t.board.0).collect();
    assert_eq!(boards, [1, 1, 0, 0, 1, 1, 1]);
}

#[test]
fn a_track_on_neither_of_its_turnouts_boards_is_a_warning() {
    let found = codes(&[
        ("[board.wharf]", "[board.quay]\nsize = [\"1 m\", \"400 mm\"]\n[board.wharf]"),
        ("[defaults]", "[defaults]\nboard = \"wharf\""),
        ("to = \"T2.toe\", ", "to = \"T2.toe\", board = \"quay\", "),
    ]);
    assert_eq!(found, ["board-mismatch"]);
}

#[test]
fn a_supply_tells_its_kind_in_either_place() {
    for (change, kind) in [
        ("voltage = \"16 V AC\"", SupplyKind::Ac),
        ("voltage = \"12 V dc\"", SupplyKind::Dc),
        ("kind = \"ac\"\nvoltage = \"16 V\"", SupplyKind::Ac),
        ("kind = \"split dc\"\nvoltage = \"12 V DC\"", SupplyKind::SplitDc),
    ] {
        let text = starter_with(&[("voltage = \"16 V AC\"", change)]);
        assert_eq!(read(&text).0.expect("a document").supplies[0].kind.value, kind, "{change}");
    }
}

#[test]
fn members_and_places_are_read_in_millimetres() {
    let members = "size = [\"1200 mm\", \"400 mm\"]
members = [{ from = [\"600 mm\", \"0 mm\"], to = [\"0.6 m\", \"400 mm\"], width = \"20 mm\" }]
stands-at = [\"0 mm\", \"-1.5 m\"]";
    let text = starter_with(&[("size = [\"1200 mm\", \"400 mm\"]", members)]);
    let (document, found) = read(&text);
    assert_eq!(found, []);
    let board = &document.expect("a document").boards[0];
    assert_eq!(board.members[0].to, (Length::from_mm(600.0), Length::from_mm(400.0)));
    assert_eq!(board.stands_at, Some((Length::from_mm(0.0), Length::from_mm(-1500.0))));
}

/// Old text, new text, what is found.
const SLIPS: &[(&str, &str, &[&str])] = &[
    ("format = 1", "", &["missing-key"]),
    ("format = 1", "format = 2", &["file-format"]),
    ("format = 1", "format = \"1\"", &["file-format"]),
    ("[defaults]", "[default]", &["unknown-table"]),
    ("control  = \"dcc\"", "control = \"DCC\"", &["unknown-word"]),
    ("gauge    = \"16.5 mm\"", "gauge = \"16.5 m\"", &["absurd-value"]),
    ("gauge    = \"16.5 mm\"", "gauge = \"-9 mm\"", &["absurd-value"]),
    ("revision = \"A\"", "revision = \"\"", &["unprintable-text"]),
    ("revision = \"A\"", "date = \"last May\"", &["wrong-form"]),
    ("revision = \"A\"", "date = \"2026-05-02\"", &[]),
    ("revision = \"A\"", "date = 2026-05-02", &[]),
    ("revision = \"A\"", "date = 07:30:00", &["wrong-form"]),
    ("revision = \"A\"", "ambient = [\"35 degC\", \"10 degC\"]", &["absurd-value"]),
    ("revision = \"A\"", "ambient = [\"35 degC\"]", &["wrong-form"]),
    ("heading = \"0 deg\"", "", &["missing-key"]),
    ("normal  = \"left\"", "", &["missing-key"]),
    ("normal  = \"left\"", "normal = \"straight\"", &["unknown-port"]),
    ("normal  = \"left\"", "normal = \"toe\"", &["unknown-port"]),
    ("toe     = [\"200 mm\", \"150 mm\"]", "toe = [\"200 mm\", \"401 mm\"]", &["off-the-board"]),
    ("toe     = [\"200 mm\", \"150 mm\"]", "toe = [\"-1 mm\", \"150 mm\"]", &["absurd-value"]),
    ("to = \"T2.toe\"", "to = \"T1.straight\"", &["joined-to-itself"]),
    ("to = \"T2.toe\"", "to = \"T1.toe\"", &["joined-twice", "joined-to-itself"]),
    ("to = \"T2.toe\"", "to = \"T3.straight\"", &["unknown-port"]),
    ("to = \"T2.toe\"", "to = \"T2\"", &["unknown-end"]),
    ("to = \"T2.toe\"", "to = \"Bufer\"", &["unknown-end"]),
    ("[track]", "[track]\nspare = { from = \"buffer\", to = \"off the layout\" }", &[]),
    ("[track]", "[[track]]", &["wrong-form"]),
    ("link     =", "link = 3 #", &["wrong-form"]),
    ("[turnout.T1]", "[[turnout]]", &["wrong-form"]),
    ("[drive.coil]", "[drive]", &["wrong-form"]),
    ("with   = \"push buttons\"", "with = \"lever\"", &["unknown-word"]),
    ("throws = [\"T2\", \"T3\"]", "throws = [\"T2\", \"T2\"]", &["thrown-twice"]),
    ("throws = [\"T2\", \"T3\"]", "throws = [\"T2\", \"T1\"]", &["thrown-twice"]),
    ("throws = [\"T2\", \"T3\"]", "throws = [\"T2\", \"points\"]", &["unknown-name"]),
    ("throws = [\"T2\", \"T3\"]", "throws = []", &["wrong-form"]),
    ("coil     = \"4.5 ohm\"", "stall = \"20 mA\"", &["unknown-key"]),
    ("contacts = 1", "contacts = -1", &["wrong-form"]),
    ("contacts = 1", "contacts = 1.5", &["wrong-form"]),
    ("contacts = 1", "contacts = 99999999999999999999999", &["wrong-form"]),
    (
        "[drive.coil]",
        "[drive.spare]\nkind = \"slow-motion\"\nstall = \"5 mA\"\n[drive.coil]",
        &["missing-key", "absurd-value"],
    ),
    (
        "[drive.coil]",
        "[drive.spare]\nkind = \"servo\"\nlowest = \"6 V\"\n[drive.coil]",
        &["missing-key", "absurd-value"],
    ),
    ("voltage = \"16 V AC\"", "voltage = \"16 V\"", &["missing-key"]),
    ("voltage = \"16 V AC\"", "voltage = \"16 AC\"", &["missing-unit"]),
    ("voltage = \"16 V AC\"", "voltage = \"25 V AC\"", &["unsafe-voltage"]),
    ("voltage = \"16 V AC\"", "voltage = \"24 V AC\"\nunloaded = \"34 V\"", &["unsafe-voltage"]),
    ("voltage = \"16 V AC\"", "voltage = \"24 V DC\"\nunloaded = \"34 V\"", &[]),
    ("voltage = \"16 V AC\"", "kind = \"split dc\"\nvoltage = \"31 V DC\"", &["unsafe-voltage"]),
    ("voltage = \"16 V AC\"", "voltage = \"230 V AC\"", &["unsafe-voltage"]),
    ("voltage = \"16 V AC\"", "kind = \"dc\"\nvoltage = \"16 V AC\"", &["kind-mismatch"]),
    ("voltage = \"16 V AC\"", "voltage = \"16 V AC\"\nunloaded = \"12 V\"", &["absurd-value"]),
    ("[panel]", "[colours]\nfeedback = \"GNYE\"\n[panel]", &["reserved-colour"]),
    ("[panel]", "[colours]\nfeedback = \"pink\"\n[panel]", &["unknown-word"]),
    ("[panel]", "[wire]\nstock = [\"0.5 mm2\", 1.5]\n[panel]", &["missing-unit"]),
    ("[panel]", "[wire]\nstock = [\"AWG 20\", \"16/0.2\"]\n[panel]", &[]),
    ("[panel]", "[route.a]\nsets = { T1 = \"normal\" }\n[panel]", &[]),
    ("[panel]", "[route.a]\nsets = { T9 = \"normal\" }\n[panel]", &["unknown-name"]),
    ("[panel]", "[route.a]\nsets = { T1.left = \"normal\" }\n[panel]", &["unknown-bar"]),
    ("[panel]", "[route.a]\nsets = { T1 = 3 }\n[panel]", &["wrong-form"]),
    ("[panel]", "[route.a]\nsets = {}\n[panel]", &["wrong-form"]),
    ("[panel]", "[route.a]\nsets = \"T1\"\n[panel]", &["wrong-form"]),
    ("[panel]", "[route.S1]\nsets = { T1 = \"normal\" }\n[panel]", &["name-taken"]),
    ("[panel]", "[panel]\nroute-diodes = \"some\"", &["unknown-word"]),
    ("length = \"120 mm\"", "length = \"1,200 mm\"", &["not-a-number"]),
    ("length = \"120 mm\"", "length = \"12,5 cm\"", &[]),
    ("[panel]", "[panel]\nboard = \"whraf\"", &["unknown-name"]),
    ("voltage = \"14 V\"", "voltage = \"230 V\"", &["unsafe-voltage"]),
    ("voltage = \"14 V\"", "voltage = \"30 V\"", &["absurd-value"]),
    ("voltage = \"16 V AC\"", "voltage = \"500 V\"", &["unsafe-voltage"]),
    ("voltage = \"16 V AC\"", "voltage = \"16 V AC\"\nunloaded = \"325 V\"", &["unsafe-voltage"]),
    ("heading = \"0 deg\"", "headng = \"0 deg\"", &["unknown-key"]),
    ("frog = \"live\"", "forg = \"live\"", &["unknown-key"]),
    ("normal  = \"left\"", "nornal = \"left\"", &["unknown-key"]),
    ("with   = \"push buttons\"", "wiht = \"push buttons\"", &["unknown-key"]),
    ("[layout]", "[layuot]", &["unknown-table"]),
    ("[board.wharf]", "[borad.wharf]", &["unknown-table"]),
    ("[drive.coil]", "[drvie.coil]", &["unknown-table"]),
    ("revision = \"A\"", "date = 2026-13-02", &["syntax"]),
    ("revision = \"A\"", "date = \"2026-02-30\"", &["wrong-form"]),
    ("name     = \"Otter Wharf\"", "name = \"埠頭\"", &["unprintable-name"]),
    ("[control.S1]", "[control.\"🚂1\"]", &["unprintable-name"]),
];

#[test]
fn each_slip_is_found_and_nothing_else() {
    for (old, new, expected) in SLIPS {
        let mut found = codes(&[(old, new)]);
        found.dedup();
        assert_eq!(found, *expected, "{old} -> {new}");
    }
}

#[test]
fn a_loose_port_is_an_error() {
    assert_eq!(codes(&[("sawmill  =", "#")]), ["open-port"]);
}

#[test]
fn turnouts_without_a_drive_share_one_message() {
    let text = starter_with(&[("[drive.coil]", "[drive.a]\nkind = \"servo\"\n[drive.coil]")]);
    let (document, found) = read(&text);
    assert!(document.is_none());
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].labels.len(), 3);
}
