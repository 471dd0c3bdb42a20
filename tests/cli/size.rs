//! The calculators: what they say, what they refuse, and published numbers.

use crate::{Ended, Shop, page};

fn size(arguments: &[&str]) -> Ended {
    let arguments: Vec<&str> = ["size"].into_iter().chain(arguments.iter().copied()).collect();
    Shop::empty().run(&arguments)
}

/// The row of a printed table that begins with a name, cell by cell.
#[track_caller]
fn row(ended: &Ended, name: &str) -> Vec<String> {
    let lines = ended.out.lines().filter_map(|l| l.strip_prefix("> ").or_else(|| l.strip_prefix("  ")));
    let cells = |line: &str| -> Vec<String> {
        line.split("  ").map(str::trim).filter(|cell| !cell.is_empty()).map(str::to_owned).collect()
    };
    let found = lines.map(cells).find(|cells| cells.first().is_some_and(|first| first == name));
    found.unwrap_or_else(|| panic!("no row {name} in\n{}", page(ended)))
}

/// The number before the unit.
fn number(cell: &str) -> f64 {
    cell.split_whitespace().next().and_then(|n| n.parse().ok()).unwrap_or_else(|| panic!("{cell}"))
}

#[track_caller]
fn assert_near(cell: &str, expected: f64, share: f64) {
    assert!((number(cell) / expected - 1.0).abs() <= share, "{cell}, not {expected}");
}

#[test]
fn one_run_of_each() {
    for (name, arguments) in [
        ("capacitor", &["capacitor", "--coil", "4.5 ohm", "--coils", "3", "--supply", "16 V AC"][..]),
        ("recharge", &["recharge", "--capacitor", "4700 uF", "--limiter", "100 ohm", "--supply", "16 V AC"]),
        ("wire", &["wire", "--current", "3 A", "--length", "6 m"]),
        ("supply_motors", &["supply", "--motors", "24", "--stall", "16 mA"]),
        ("supply_servos", &["supply", "--servos", "8", "--moving", "2", "--stall", "700 mA"]),
        ("led", &["led", "--supply", "16 V AC", "--led", "2 V", "--current", "10 mA"]),
        ("track", &["track", "--voltage", "14 V", "--trip", "5 A", "--length", "13 m"]),
    ] {
        let ended = size(arguments);
        assert_eq!(ended.code, 0, "{}", page(&ended));
        let wide = ended.out.lines().find(|l| l.chars().count() > 100);
        assert_eq!(wide, None, "{name}");
        for ending in ["Left out: ", "If the electrics are sufficient and it still fails, look first for"] {
            assert!(ended.out.contains(ending), "{name}: {ending}");
        }
        insta::assert_snapshot!(format!("size_{name}"), page(&ended));
    }
}

#[test]
fn help() {
    insta::assert_snapshot!("help_size", page(&size(&["--help"])));
    insta::assert_snapshot!("help_size_capacitor", page(&size(&["capacitor", "--help"])));
}

/// Nothing that anybody may write makes it panic; all of it is refused with the way to mend it.
#[test]
fn what_cannot_be_is_refused() {
    let capacitor = |more: &[&'static str]| [&["capacitor", "--supply", "16 V AC"][..], more].concat();
    let of_supply = |supply: &'static str| vec!["capacitor", "--coil", "4.5 ohm", "--supply", supply];
    for (arguments, says) in [
        (
            capacitor(&["--coil", "4.5"]),
            "the unit is missing; write a resistance with its unit, such as \"4.5 ohm\"",
        ),
        (capacitor(&["--coil", "4.5 V"]), "`V` is no unit of a resistance"),
        (capacitor(&["--coil", "-4.5 ohm"]), "anything from 0.3 ohm to 200 ohm is believed"),
        (capacitor(&["--coil", "soft"]), "that is no number with a unit"),
        (capacitor(&["--coil", "4.5 ohm", "--coils", "0"]), "0 is not in 1..=40"),
        (capacitor(&["--coil", "4.5 ohm", "--energy", "5 kJ"]), "anything from 10 mJ to 10 J is believed"),
        (capacitor(&["--coil", "4.5 ohm", "--wire", "thin"]), "write \"0.5 mm2\", \"AWG 20\" or \"16/0.2\""),
        (capacitor(&["--coil", "4.5 ohm", "--unloaded", "12 V"]), "cannot give less"),
        (capacitor(&["--coil", "4.5 ohm", "--unloaded", "40 V"]), "33 V is the limit for supplies of toys"),
        (of_supply("16 V"), "write \"16 V AC\" or \"16 V DC\""),
        // More than 24 V AC, or than 60 V DC on the bank, must not be touched.
        (of_supply("25 V AC"), "24 V AC is the limit for supplies of toys (IEC 61558-2-7)"),
        (of_supply("230 V AC"), "never mains under a layout"),
        (of_supply("61 V DC"), "60 V DC is the limit"),
        (of_supply("58 V DC"), "no more than 60 V DC may be touched (IEC 61140)"),
        (vec!["capacitor", "--supply", "16 V AC"], "--coil <RESISTANCE>"),
        (vec!["led", "--supply", "5 V", "--leds", "3"], "3 diodes of 2 V in series need 6 V"),
        (vec!["led", "--supply", "12 V DC", "--ac"], "leave out --ac"),
        (vec!["wire", "--current", "3 A", "--length", "6"], "such as \"350 mm\""),
        (vec!["wire", "--current", "3 A", "--length", "6 m", "--loss", "5"], "the sign % is missing"),
        (vec!["supply", "--motors", "900"], "divide them among at least 3 supplies"),
        (vec!["supply", "--motors", "9", "--stall", "5 A"], "anything from 1 mA to 2 A is believed"),
        (vec!["supply", "--servos", "2", "--moving", "3"], "give --moving a number from 1 to 2"),
        (vec!["supply", "--motors", "9", "--servos", "2"], "cannot be used with"),
        (vec!["supply"], "--motors <NUMBER>|--servos <NUMBER>"),
        (vec!["track", "--trip", "30 A", "--length", "13 m"], "anything from 100 mA to 10 A is believed"),
        (
            vec!["recharge", "--capacitor", "0 uF", "--limiter", "1 ohm", "--supply", "12 V DC"],
            "anything from 10 uF",
        ),
    ] {
        let ended = size(&arguments);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments:?}\n{}", page(&ended));
        assert!(ended.err.contains(says), "{arguments:?}: {}", ended.err);
    }
}

/// Nothing on offer is enough: the working is shown all the same, and the exit code says so.
#[test]
fn what_is_not_enough_ends_with_one() {
    for (arguments, says) in [
        (
            &["capacitor", "--coil", "4.5 ohm", "--coils", "12", "--supply", "12 V AC"][..],
            "No capacitor on offer",
        ),
        (&["wire", "--current", "20 A", "--length", "50 m"], "2.5 mm² may carry 13 A"),
        (&["track", "--trip", "5 A", "--length", "40 m"], "with 4 mm² it may be"),
    ] {
        let ended = size(arguments);
        assert_eq!(ended.code, 1, "{}", page(&ended));
        assert!(ended.out.contains(says) && ended.out.contains("Working"), "{}", ended.out);
    }
}

/// At the ends of the ranges there is an answer too.
#[test]
fn extremes_have_answers() {
    for (arguments, code, says) in [
        (
            &["recharge", "--capacitor", "10 uF", "--limiter", "0.1 ohm", "--supply", "3 V AC"][..],
            0,
            "more than 60 throws",
        ),
        (
            &["recharge", "--capacitor", "1 F", "--limiter", "100 kohm", "--supply", "60 V DC"],
            0,
            "less than one throw",
        ),
        (&["capacitor", "--coil", "200 ohm", "--supply", "54 V DC", "--current", "50 mA"], 0, "rated 80 V"),
        (
            &["capacitor", "--coil", "0.3 ohm", "--coils", "40", "--supply", "54 V DC"],
            1,
            "What helps: it throws",
        ),
        (&["capacitor", "--coil", "4.5 ohm", "--supply", "3 V AC"], 1, "Use a supply of a higher voltage"),
        (&["led", "--supply", "3 V", "--led", "2.999999 V", "--current", "0.1 mA"], 0, "10 mΩ"),
        (&["wire", "--current", "50 A", "--length", "1 km", "--voltage", "3 V"], 1, "all of it"),
        (&["supply", "--servos", "1", "--stall", "50 mA"], 0, "worst load: 50 mA"),
    ] {
        let ended = size(arguments);
        assert_eq!(ended.code, code, "{}", page(&ended));
        assert!(ended.out.contains(says), "{says}: {}", ended.out);
    }
}

/// What the builder measured takes the place of typical figures, and no doubt is added to it.
#[test]
fn measured_figures_narrow_the_corners() {
    let asked = ["capacitor", "--coil", "4.5 ohm", "--supply", "16 V AC"];
    let measured = [
        "--inductance",
        "8 mH",
        "--energy",
        "0.5 J",
        "--current",
        "2 A",
        "--pulse",
        "10 ms",
        "--feed-length",
        "3 m",
        "--return-length",
        "3 m",
    ];
    let (typical, measured) = (size(&asked), size(&[&asked[..], &measured].concat()));
    assert!(typical.out.contains("needs 550 mJ") && typical.out.contains("measure yours"));
    assert!(measured.out.contains("needs 500 mJ") && !measured.out.contains("measure yours"));
}

/// Numbers that others published for wires, at 20 °C.
#[test]
fn published_losses_in_wires() {
    for (current, length, voltage, wire, left, within) in [
        // A help-centre article on voltage drop: 18 % of 14 V at 5 A over 100 ft.
        ("5 A", "100 ft", "14 V", "AWG 14", 14.0 * 0.82, 0.005),
        // A hobby-electronics thread on a servo over a long lead: "4 V" and 5.24 V.
        ("2.5 A", "15 ft", "6 V", "AWG 24", 4.0, 0.02),
        ("2.5 A", "15 ft", "6 V", "AWG 20", 5.24, 0.005),
        // forum.allaboutcircuits.com/threads/need-help-determining-correct-wire-gauge.20701
        ("1 A", "100 ft", "5 V", "AWG 16", 4.2, 0.005),
        ("1 A", "100 ft", "5 V", "AWG 14", 4.5, 0.005),
        ("3 A", "100 ft", "36 V", "AWG 14", 34.5, 0.005),
        ("3 A", "100 ft", "36 V", "AWG 12", 35.0, 0.005),
    ] {
        let ended = size(&[
            "wire",
            "--current",
            current,
            "--length",
            length,
            "--voltage",
            voltage,
            "--wire",
            wire,
            "--temperature",
            "20 degC",
        ]);
        assert_near(&row(&ended, wire)[4], left, within);
    }
}

/// A forum thread on the length of a track bus (forum.trains.com t/110261): 5 A over 45 ft of AWG 12
/// lose 0.7155 V.
#[test]
fn published_loss_in_a_bus() {
    let ended = size(&[
        "track",
        "--trip",
        "5 A",
        "--length",
        "45 ft",
        "--wire",
        "AWG 12",
        "--temperature",
        "20 degC",
    ]);
    assert_near(&row(&ended, "AWG 12")[2], 715.5, 0.002);
}

/// The longest run that loses 0.7 V, 5 % of 14 V, worked out by hand: l = 0.7 V/(2·I·r) with r of
/// ASTM B258 and IEC 60228 class 5.
#[test]
fn longest_runs() {
    for (wire, by_trip) in [
        ("AWG 12", [22.4, 13.4, 8.4]),
        ("AWG 14", [14.1, 8.4, 5.3]),
        ("AWG 16", [8.9, 5.3, 3.3]),
        ("AWG 18", [5.6, 3.3, 2.1]),
        ("2.5 mm²", [14.6, 8.8, 5.5]),
        ("1.5 mm²", [8.8, 5.3, 3.3]),
        ("1 mm²", [6.0, 3.6, 2.2]),
        ("0.75 mm²", [4.5, 2.7, 1.7]),
    ] {
        for (trip, metres) in ["3 A", "5 A", "8 A"].into_iter().zip(by_trip) {
            let ended = size(&[
                "track",
                "--trip",
                trip,
                "--length",
                "1 m",
                "--wire",
                wire,
                "--temperature",
                "20 degC",
            ]);
            let longest = number(&row(&ended, wire)[7]);
            assert!((longest - metres).abs() < 0.051, "{wire} at {trip}: {longest}, not {metres}");
        }
    }
}

/// A short must draw half as much again as trips the booster: 14 V/(1.5 · 5 A) = 1.87 Ω of loop, worked
/// out by hand; with 39 Ω/km that is 23.9 m.
#[test]
fn a_bus_that_is_too_long_for_the_short() {
    let at = |length| {
        size(&["track", "--trip", "5 A", "--length", length, "--wire", "0.5 mm2", "--temperature", "20 degC"])
    };
    assert_eq!(row(&at("23.8 m"), "0.5 mm²")[4], "yes");
    let longer = row(&at("24.1 m"), "0.5 mm²");
    assert_eq!((longer[4].as_str(), longer[6].as_str()), ("no", "23.9 m"));
    assert_eq!(longer[8], "a short may not trip");
}

/// Worked out by hand from R = (U − n·U_f)/I and the list of IEC 60063.
#[test]
fn resistors_of_leds() {
    for (supply, led, exact, e12) in [
        ("5 V", "2 V", "300 Ω", "330 Ω"),
        ("12 V", "2 V", "1 kΩ", "1 kΩ"),
        ("12 V", "3.2 V", "880 Ω", "1 kΩ"),
        ("16 V DC", "2 V", "1.4 kΩ", "1.5 kΩ"),
        ("21.2 V", "2 V", "1.92 kΩ", "2.2 kΩ"),
        ("24 V", "2 V", "2.2 kΩ", "2.2 kΩ"),
    ] {
        let ended = size(&["led", "--supply", supply, "--led", led, "--current", "10 mA"]);
        assert_eq!(row(&ended, "E12")[1], e12, "{supply} {led}");
        assert!(ended.out.contains(&format!("resistor, exact: {exact}\n")), "{}", ended.out);
    }
}

/// A page on discharge units: 2200 µF through 220 Ω takes "about a second to 90 %"
/// (angelfire.com/ab6/userper/cap_dis.htm). Another: with 560 Ω and 25 V less two diodes a stuck contact
/// draws not more than 42 mA (graemestrainstuff.webs.com/CDU.htm).
#[test]
fn published_recharging() {
    let ended = size(&["recharge", "--capacitor", "2200 uF", "--limiter", "220 ohm", "--supply", "18 V DC"]);
    assert_near(&row(&ended, "90 %")[3], 1.1, 0.02);
    let ended =
        size(&["recharge", "--capacitor", "4700 uF", "--limiter", "560 ohm", "--supply", "23.6 V DC"]);
    let line = ended.out.lines().find_map(|l| l.trim().strip_prefix("current while a contact sticks: "));
    assert_near(line.expect("it is told"), 42.0, 0.01);
}

/// Sums worked out by hand: 24, 60 and 200 motors of 16 mA; 600 mA + 100 mA + 6 · 10 mA of servos.
#[test]
fn loads_are_sums() {
    for (motors, draws) in [("24", "384 mA"), ("60", "960 mA"), ("200", "3.2 A")] {
        let ended = size(&["supply", "--motors", motors, "--stall", "16 mA"]);
        assert!(ended.out.contains(&format!("standing load: {draws}\n")), "{}", ended.out);
    }
    let servos = ["supply", "--servos", "8", "--moving", "2", "--stall", "600 mA", "--running", "100 mA"];
    assert!(size(&servos).out.contains("worst load: 760 mA\n"));
}

/// Every example of docs/size.md says what the program says.
#[test]
fn the_page_of_calculators_is_true() {
    let page = include_str!("../../docs/size.md");
    let mut examples = 0;
    for example in page.split("```console\n").skip(1) {
        let (command, rest) = example.split_once("\n```").expect("the command ends");
        let arguments = words(command);
        assert_eq!(arguments[..2], ["underboard", "size"], "{command}");
        let ended = size(&arguments[2..].iter().map(String::as_str).collect::<Vec<_>>());
        let shown =
            rest.split_once("```text\n").and_then(|(_, t)| t.split_once("```")).expect("an answer follows").0;
        let mut told = ended.out.lines();
        for line in shown.lines().filter(|l| *l != "...") {
            assert!(told.any(|l| l == line), "{command}: {line:?} is not in\n{}", ended.out);
        }
        examples += 1;
    }
    assert_eq!(examples, 7);
}

/// Words of a command, those in quotes as one.
fn words(command: &str) -> Vec<String> {
    command.split('"').enumerate().fold(Vec::new(), |mut words, (n, part)| {
        match n % 2 {
            0 => words.extend(part.split_whitespace().map(str::to_owned)),
            _ => words.push(part.to_owned()),
        }
        words
    })
}
