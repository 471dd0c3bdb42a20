//! Sizing of whole layouts: what the builder is told, and what a changed key changes.

use super::{LOOK_FIRST, Protection, Sizing, Verdict, left_out_of};
use crate::electrics::motor::Reversal;
use crate::parse::{STARTER, SupplyUse};
use crate::source::SourceFile;
use crate::units::{Amps, Length, Seconds, Volts};

const MOTORS: &str = include_str!("../../../examples/branch-terminus/layout.toml");
const SERVOS: &str = include_str!("../../../examples/dockside-yard/layout.toml");
const COILS: &str = include_str!("../../../examples/quarry-tramway/layout.toml");

/// A layout with changes: its sizing, and the codes of all errors and warnings.
fn sized(text: &str, changes: &[(&str, &str)]) -> (Sizing, Vec<&'static str>) {
    let text = changes.iter().fold(text.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old:?} is not in the layout");
        text.replacen(old, new, 1)
    });
    let (design, found) = crate::design(&SourceFile::new("layout.toml", text));
    let told = found.iter().filter(|d| d.severity != crate::diag::Severity::Note).map(|d| d.code);
    (design.unwrap_or_else(|| panic!("{found:#?}")).sizing, told.collect())
}

#[test]
fn the_three_ways_to_reverse() {
    let (sizing, _) = sized(MOTORS, &[]);
    let motors = sizing.slow_motion.expect("motors");
    let of = |r| motors.schemes.iter().find(|s| s.reversal == r).expect("all three are compared");
    let [double, split, half] = Reversal::ALL.map(of);
    // Common practice: two wires and a double-pole switch, or one wire, a single pole and a return.
    assert_eq!((double.reversal.switch_poles(), double.reversal.shared_returns()), (2, 0));
    for single in [split, half] {
        assert_eq!((single.reversal.switch_poles(), single.reversal.shared_returns()), (1, 1));
        assert_eq!(single.lines * 2, double.lines);
    }
    // Eight toggles throw the nine motors.
    assert_eq!(double.lines, 16);
    assert_eq!([double, split, half].map(|s| s.in_use), [true, false, false]);
    // A half wave of a winding that toys may have (24 V, IEC 61558-2-7) gives less than 12 V, but what is
    // chosen moves the motor.
    assert!(half.supply.volts() <= 24.0 && half.motor < double.motor && half.motor > Volts::new(6.6));
}

#[test]
fn typical_currents_are_widened_and_measured_ones_are_not() {
    // Eight motors of a measured 18 mA and one of a typical 20 mA: 8·18 + 1.25·20 = 169 mA.
    let (sizing, _) = sized(MOTORS, &[]);
    let standing = sizing.slow_motion.expect("motors").standing;
    assert!((standing.amps() - 0.169).abs() < 1e-9, "{standing}");
    let figure = sizing.figures.iter().find(|f| f.name == "standing load").expect("a figure");
    assert!(figure.note.contains("stall (× 1.25)"), "{}", figure.note);
    // Measured, it counts as it is.
    let measured = ("contacts       = 0", "contacts       = 0\nstall = \"20 mA\"");
    let (sizing, _) = sized(MOTORS, &[measured]);
    assert!((sizing.slow_motion.expect("motors").standing.amps() - 0.164).abs() < 1e-9);
}

#[test]
fn a_typical_cable_is_longer_than_it_says() {
    let run = |text| sized(text, &[]).0.track[0].run;
    let without = SERVOS.replace("[panel]\ncable = \"2 m\"", "");
    let with = SERVOS.replace("cable = \"2 m\"", "cable = \"1.5 m\"");
    // 1.5 m is what stands in; a fifth of that comes on top (common practice, no source).
    assert!((run(&without) - run(&with) - Length::from_mm(300.0)).abs() < Length::from_mm(0.01));
}

#[test]
fn a_motor_that_needs_more_than_is_left() {
    let motor = "voltage        = \"12 V\"\nstall          = \"18 mA\"         # measured";
    let hungry = "voltage = \"12 V\"\nlowest = \"11.9 V\"\nstall = \"18 mA\"";
    let (sizing, told) = sized(MOTORS, &[(motor, hungry)]);
    // A supply of 12 V that is 3 % low gives 11.64 V.
    assert!(sizing.slow_motion.expect("motors").at_farthest < Volts::new(11.64));
    assert!(told.contains(&"motor-voltage-too-low"), "{told:?}");
    assert_eq!(sized(MOTORS, &[]).1, [""; 0]);
}

#[test]
fn servos_that_all_start_at_once() {
    let all = "[servo-controller]\nstaggered-start = false\n\n[panel]\n";
    let (alone, _) = sized(SERVOS, &[]);
    let (together, told) = sized(SERVOS, &[("[panel]\n", all)]);
    let [alone, together] = [alone, together].map(|s| s.servos.expect("servos"));
    // Six servos of 200 mA, one of them stalled at 650 mA, five relays of 40 mA or six.
    assert!(together.worst > Amps::new(0.65 + 5.0 * 0.2) && together.worst > alone.worst);
    assert!(together.fuse > alone.fuse);
    // The wires are made for it, so nothing is told.
    assert_eq!(told, [""; 0]);
    assert!(together.voltages.iter().all(|v| v.switch_on >= v.lowest));
    // One at a time takes less than the two that one control throws.
    let one = ("[panel]\n", "[servo-controller]\nmoves = 1\n\n[panel]\n");
    assert!(sized(SERVOS, &[one]).0.servos.expect("servos").worst < alone.worst);
}

#[test]
fn a_servo_too_far_away() {
    let far =
        [("cable = \"2 m\"", "cable = \"45 m\""), ("[panel]\n", "[wire]\nstock = [\"0.75 mm2\"]\n[panel]\n")];
    let (sizing, told) = sized(SERVOS, &far);
    let servos = sizing.servos.expect("servos");
    assert!(servos.at_servo < Volts::new(4.5));
    assert!(told.contains(&"servo-voltage-too-low"), "{told:?}");
    // Nothing is left to lose in a lead.
    assert!(servos.leads.iter().all(|l| l.longest == Length::new(0.0)));
}

#[test]
fn controllers_and_their_channels() {
    let servos = sized(SERVOS, &[]).0.servos.expect("servos");
    let [here] = servos.controllers.as_slice() else { panic!("one board") };
    assert_eq!((here.count, here.used, here.spare), (1, 6, 2));
    assert!(servos.leads.windows(2).all(|l| l[0].longest < l[1].longest));
}

#[test]
fn a_short_far_away_does_not_open_the_fuse() {
    let told = |cable: &str| {
        let cable = format!("cable = \"{cable}\"");
        sized(
            SERVOS,
            &[("cable = \"2 m\"", &cable), ("[panel]\n", "[wire]\nstock = [\"0.5 mm2\"]\n[panel]\n")],
        )
    };
    let (near, _) = told("1 m");
    let (far, codes) = told("45 m");
    // IEC 60127-2 sheet 3: from 2.75 times the rating within 10 s at the latest.
    for (sizing, opens) in [(&near, true), (&far, false)] {
        let branch =
            sizing.branches.iter().find(|b| b.belongs_to == Some(SupplyUse::Servos)).expect("a branch");
        let Protection::Fuse { rating, .. } = branch.protection else { panic!("a fuse") };
        assert_eq!(branch.short >= rating * 2.75, opens);
        assert_eq!(branch.opens_within.is_some_and(|t| t <= Seconds::new(10.0)), opens);
        // IEC links: no more than 0.8 to 0.9 of the rating for good (common practice).
        assert!(branch.load <= rating * 0.81 && rating <= branch.permitted);
    }
    assert!(codes.contains(&"fuse-may-not-open"), "{codes:?}");
}

#[test]
fn a_long_rail_far_from_its_dropper() {
    // 20 m of code 100 nickel silver, both rails, at 57 mΩ/m (one measurement by an amateur): 2.3 Ω. With
    // 15 V and 3 A the coin test allows 3.33 Ω, with 5 A 2 Ω.
    let long = ("length = \"290 mm\"", "length = \"20 m\"");
    assert_eq!(sized(SERVOS, &[long]).1, [""; 0]);
    let (sizing, told) = sized(SERVOS, &[long, ("trip    = \"3 A\"", "trip    = \"5 A\"")]);
    let track = &sizing.track[0];
    assert!((track.rails.ohms() - 2.3).abs() < 0.05, "{}", track.rails);
    assert!(!track.trips && told.contains(&"short-does-not-trip"), "{told:?}");
}

#[test]
fn the_boards_of_a_track_in_their_order() {
    let (sizing, _) = sized(MOTORS, &[]);
    let [home, next] = sizing.track.as_slice() else { panic!("two boards") };
    // By hand: the cable of 2 m and a board of 1.2 m; then a link of 0.6 m and another board.
    assert_eq!((home.run, next.run), (Length::new(3.2), Length::new(5.0)));
    assert!(home.trips && next.trips && home.wires < next.wires);
}

#[test]
fn nothing_shares_with_the_track() {
    for text in [MOTORS, SERVOS, COILS, STARTER] {
        let (sizing, _) = sized(text, &[]);
        let track: Vec<_> = sizing.sharing.iter().filter(|s| s.other == "track").collect();
        assert!(!track.is_empty() && track.iter().all(|s| s.verdict == Verdict::MustNot));
        // NEM 609: outputs of several supplies neither in parallel nor in series.
        assert!(
            sizing.sharing.iter().any(|s| s.source.starts_with("NEM 609") && s.one.starts_with("output"))
        );
        assert!(sizing.sharing.iter().all(|s| !s.why.is_empty() && !s.source.is_empty()));
    }
}

#[test]
fn every_part_says_what_is_left_out() {
    for part in ["points", "motors", "servos"] {
        assert!(left_out_of(part).is_some_and(|text| text.contains("friction")), "{part}");
    }
    assert_eq!(left_out_of("track"), None);
    // The four usual causes by builders' pages.
    for cause in ["off the middle", "screws", "springs", "friction"] {
        assert!(LOOK_FIRST.contains(cause), "{cause}");
    }
}
