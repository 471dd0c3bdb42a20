//! What a builder reads about a design that is not right. Each was read with a builder's eyes: does
//! it say where, what, and what to do?

use crate::diag::{Severity, render_all};
use crate::parse::STARTER;
use crate::source::SourceFile;
use insta::assert_snapshot;

/// The starter with some of its text replaced.
fn changed(changes: &[(&str, &str)]) -> String {
    changes.iter().fold(STARTER.to_string(), |text, (old, new)| {
        assert!(text.contains(old), "the starter has no `{old}`");
        text.replacen(old, new, 1)
    })
}

/// What the terminal shows for the changed starter, but for mere notes.
fn shown(changes: &[(&str, &str)]) -> String {
    let source = SourceFile::new("layout.toml", changed(changes));
    let mut found = crate::design(&source).1;
    found.retain(|d| d.severity != Severity::Note);
    render_all(&found, &source, false)
}

const MOTORS: (&str, &str) = (
    "kind     = \"solenoid\"            # or \"slow-motion\", or \"servo\"\ncoil     = \"4.5 ohm\"             # one coil, measured cold\n",
    "kind     = \"slow-motion\"\n",
);
const TOGGLES: [(&str, &str); 2] = [
    ("with   = \"momentary toggle\"", "with   = \"maintained toggle\""),
    ("with   = \"push buttons\"", "with   = \"maintained toggle\""),
];

#[test]
fn a_supply_of_too_low_a_voltage() {
    assert_snapshot!(shown(&[("voltage = \"16 V AC\"", "voltage = \"4 V AC\"")]), @r#"
    warning[supply-unused]: supply `points` feeds nothing; the solenoids need 16 V AC, so one is recommended
      --> layout.toml:78:9
       |
    78 | [supply.points]
       |         ^^^^^^ gives 4 V AC
       |
    help: leave it out, or correct its voltage if that is not what its plate says
    "#);
}

#[test]
fn a_supply_for_drives_that_are_not_there() {
    let change = ("voltage = \"16 V AC\"", "voltage = \"5 V DC\"\nfeeds = \"servos\"");
    assert_snapshot!(shown(&[change]), @r#"
    warning[supply-unused]: supply `points` feeds nothing; no turnout is moved by servos
      --> layout.toml:78:9
       |
    78 | [supply.points]
       |         ^^^^^^ gives 5 V DC
    79 | voltage = "5 V DC"
    80 | feeds = "servos"
       |         -------- kept for the servos
       |
    help: leave it out, or correct what it `feeds`
    "#);
}

#[test]
fn a_supply_that_does_not_fit_what_it_is_kept_for() {
    let change = ("voltage = \"16 V AC\"", "voltage = \"5 V DC\"\nfeeds = \"slow-motion\"");
    assert_snapshot!(shown(&[MOTORS, TOGGLES[0], TOGGLES[1], change]), @r#"
    warning[supply-unused]: supply `points` feeds nothing; the slow-motion motors need 12 V DC, so one is recommended
      --> layout.toml:77:9
       |
    77 | [supply.points]
       |         ^^^^^^ gives 5 V DC
    78 | voltage = "5 V DC"
    79 | feeds = "slow-motion"
       |         ------------- kept for the slow-motion motors
       |
    help: leave it out, or correct its voltage if that is not what its plate says
    "#);
}

#[test]
fn a_second_supply_for_the_same() {
    let change = ("[panel]", "[supply.spare]\nvoltage = \"16 V AC\"\ncurrent = \"1 A\"\n\n[panel]");
    assert_snapshot!(shown(&[change]), @r#"
    warning[supply-unused]: supply `spare` feeds nothing; the drives have other supplies
      --> layout.toml:82:9
       |
    82 | [supply.spare]
       |         ^^^^^ gives 16 V AC
       |
    help: leave it out, or say what it `feeds`
    "#);
}

#[test]
fn both_rails_in_one_colour() {
    assert_snapshot!(shown(&[("[panel]", "[colours]\ndigital-a = \"BN\"\n\n[panel]")]), @r#"
    error[colours-clash]: `digital-a` and `digital-b`, the two feeds of the track, are both BN brown
      --> layout.toml:83:13
       |
    83 | digital-a = "BN"
       |             ^^^^ set for `digital-a`
       |
    help: NEM 605 recommends RD red for `digital-a` and BN brown for `digital-b`
    "#);
}

#[test]
fn commands_in_the_colour_of_the_return() {
    assert_snapshot!(shown(&[("[panel]", "[colours]\nturnout-command = \"BK\"\n\n[panel]")]), @r#"
    warning[colours-clash]: `dc-common` and `turnout-command` are both BK black, and their wires come to the same places
      --> layout.toml:83:19
       |
    83 | turnout-command = "BK"
       |                   ^^^^ set for `turnout-command`
       |
    help: NEM 605 recommends BK black for `dc-common` and GN green for `turnout-command`
    "#);
}

#[test]
fn the_colours_of_the_standard_do_not_clash() {
    let standard = ("[panel]", "[colours]\ndigital-a = \"RD\"\ndc-positive = \"RD\"\n\n[panel]");
    assert_eq!(shown(&[standard]), "");
    // No wire of this layout has that purpose.
    assert_eq!(shown(&[("[panel]", "[colours]\ntraction-positive = \"BN\"\n\n[panel]")]), "");
}

/// What the terminal shows of the findings of one sort.
fn told(code: &str, changes: &[(&str, &str)]) -> String {
    let source = SourceFile::new("layout.toml", changed(changes));
    let mut found = crate::design(&source).1;
    found.retain(|d| d.code == code);
    render_all(&found, &source, false)
}

#[test]
fn a_loop_back_into_the_same_turnout() {
    let change =
        ("to = \"buffer\",         length = \"430 mm\"", "to = \"T2.diverging\",   length = \"430 mm\"");
    let changes = [change, ("crane    =", "#")];
    assert_snapshot!(told("reversing-connection", &changes), @r#"
    note[reversing-connection]: a train can come back facing the other way: track `quay` forms a reversing connection; `quay` is made the reversing section
      --> layout.toml:53:1
       |
    53 | quay     = { from = "T2.straight",  to = "T2.diverging",   length = "430 mm" }
       | ^^^^ both rails are cut at both ends, and it is fed through a changeover
       |
    help: to choose another, write [section.NAME] with feed = "reversing" and section = "NAME" at its tracks
    "#);
    assert_eq!(shown(&changes), "");
}

#[test]
fn a_loop_over_several_tracks() {
    let change = ("to = \"buffer\",         length = \"430 mm\"", "to = \"T3.left\",   length = \"430 mm\"");
    let changes = [change, ("sawmill  =", "#")];
    assert_snapshot!(told("reversing-connection", &changes), @r#"
    note[reversing-connection]: a train can come back facing the other way: tracks `back` – `quay` – `link` form a reversing connection; `quay` is made the reversing section
      --> layout.toml:53:1
       |
    52 | link     = { from = "T1.straight",  to = "T2.toe",         length = "120 mm" }
       | ---- on the way round
    53 | quay     = { from = "T2.straight",  to = "T3.left",   length = "430 mm" }
       | ^^^^ both rails are cut at both ends, and it is fed through a changeover
    54 | crane    = { from = "T2.diverging", to = "buffer",         length = "410 mm" }
    55 | back     = { from = "T1.diverging", to = "T3.toe",         length = "130 mm" }
       | ---- on the way round
       |
    help: to choose another, write [section.NAME] with feed = "reversing" and section = "NAME" at its tracks
    "#);
    assert_eq!(shown(&changes), "");
}

#[test]
fn a_control_that_does_not_fit_is_all_that_is_told() {
    assert_snapshot!(shown(&[MOTORS, TOGGLES[1], ("voltage = \"16 V AC\"", "voltage = \"12 V DC\"")]), @r#"
    error[control-does-not-fit]: S1 cannot work T1: a slow-motion motor takes seconds to throw and is held there by its current; a momentary contact lets it stop half-way
      --> layout.toml:69:10
       |
    29 | [turnout.T1]
       |          -- this drive moves T1
    ...
    69 | with   = "momentary toggle"
       |          ^^^^^^^^^^^^^^^^^^ this control
       |
    help: work it with a maintained toggle
    "#);
}

#[test]
fn a_turnout_that_nothing_throws_is_all_that_is_told() {
    assert_snapshot!(shown(&[("throws = [\"T2\", \"T3\"]", "throws = [\"T3\"]")]), @r#"
    error[turnout-without-control]: no control throws T2
      --> layout.toml:34:10
       |
    34 | [turnout.T2]
       |          ^^ its drive would not be wired
       |
    help: add a control: [control.S] with throws = "T2"
    "#);
}

#[test]
fn a_supply_that_is_too_weak_is_told_once() {
    assert_snapshot!(shown(&[("current = \"1 A\"", "current = \"150 mA\"")]), @r#"
    error[overloaded]: supply `points` gives 150 mA, but 500 mA is needed
      --> layout.toml:80:11
       |
    80 | current = "150 mA"
       |           ^^^^^^^^ too little
       |
    help: use a supply of 500 mA or more, so that its fuse can blow
    "#);
}

#[test]
fn weak_contacts_are_one_warning() {
    assert_snapshot!(shown(&[("contact-rating = \"3 A\"", "contact-rating = \"1 A\"")]), @r#"
    warning[overloaded]: a short on the track sends 3 A through the frog contacts of T1 and T2, good for 1 A, until the supply cuts off
      --> layout.toml:62:8
       |
    16 | [track-power]
       |  ----------- `trip` is 3 A
    ...
    62 | [drive.coil]
       |        ^^^^ `contact-rating` is 1 A
       |
    help: feed these frogs by a relay or a microswitch with a higher rating, set a lower trip current, or give the drive's own `contact-rating` if it is higher
    "#);
    assert_snapshot!(shown(&[("contact-rating = \"3 A\"", "#")]), @r#"
    warning[overloaded]: a short on the track sends 3 A through the frog contacts of T1 and T2, good for 1 A, until the supply cuts off
      --> layout.toml:62:8
       |
    16 | [track-power]
       |  ----------- `trip` is 3 A
    ...
    62 | [drive.coil]
       |        ^^^^ `contact-rating` is 1 A, a typical figure
       |
    help: feed these frogs by a relay or a microswitch with a higher rating, set a lower trip current, or give the drive's own `contact-rating` if it is higher
    "#);
}

#[test]
fn names_like_those_of_parts() {
    let text = STARTER.replace("T1", "M1").replace("control.S2", "control.XP").replace("T2", "W1");
    let source = SourceFile::new("layout.toml", text);
    let mut found = crate::design(&source).1;
    found.retain(|d| d.severity != Severity::Note);
    assert_snapshot!(render_all(&found, &source, false), @r#"
    warning[name-like-a-part]: turnout `M1` is named like a motor
      --> layout.toml:29:10
       |
    29 | [turnout.M1]
       |          ^^ the book has M2
       |
    help: give it another name, such as T1, here and wherever it is named

    warning[name-like-a-part]: control `XP` is named like a terminal strip
      --> layout.toml:72:10
       |
    72 | [control.XP]
       |          ^^ the book has XP
       |
    help: give it another name, such as S1, here and wherever it is named
    "#);
}

#[test]
fn a_fuse_above_a_wire_points_to_its_supply() {
    let text = changed(&[
        (MOTORS.0, "kind     = \"servo\"\n"),
        TOGGLES[0],
        TOGGLES[1],
        ("voltage = \"16 V AC\"", "voltage = \"5 V DC\""),
    ]);
    let mut design = crate::design(&SourceFile::new("layout.toml", text)).0.unwrap();
    for wire in &mut design.wiring.wires {
        wire.size = crate::units::WireSize::mm2(0.08);
    }
    let d = &design;
    let view = super::View::of(&d.document, &d.rails, &d.plan, &d.sizing, &d.circuit, &d.wiring, &d.proof);
    let found = super::check(&view);
    let found: Vec<_> = found.iter().filter(|f| f.code == "fuse-above-wire").collect();
    assert!(!found.is_empty());
    assert!(found.iter().all(|f| f.labels[0].span == d.document.supplies[0].span), "{found:#?}");
}
