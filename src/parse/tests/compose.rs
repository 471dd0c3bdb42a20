//! Compositions: what they stand for, and what is said of wrong ones.

use insta::assert_snapshot;

use super::super::*;
use super::read;
use crate::diag::render_all;

const HEAD: &str = r#"format = 1
[layout]
name = "Test"
control = "dcc"
[defaults]
frog = "live"
[drive.coil]
kind = "solenoid"
"#;

fn file(rest: &str) -> String {
    format!("{HEAD}{rest}")
}

fn right(rest: &str) -> Document {
    let (document, found) = read(&file(rest));
    assert_eq!(found, []);
    document.expect("a document")
}

fn shown(rest: &str) -> String {
    let source = SourceFile::new("layout.toml", file(rest));
    render_all(&parse(&source).1, &source, false)
}

fn codes(rest: &str) -> Vec<&'static str> {
    read(&file(rest)).1.iter().map(|d| d.code).collect()
}

/// "X1.a.diverging - X1.b.diverging", for each track.
fn joints(document: &Document) -> Vec<String> {
    let end = |end: TrackEnd| match end {
        TrackEnd::Port(t, port) => format!("{}.{}", *document[t].name, port.word()),
        TrackEnd::Buffer => "buffer".into(),
        TrackEnd::OffTheLayout => "off".into(),
    };
    document.tracks.iter().map(|t| format!("{}: {} - {}", *t.name, end(*t.from), end(*t.to))).collect()
}

fn thrown(document: &Document) -> Vec<String> {
    let bars = |c: &Control| c.throws.iter().map(|b| document[b.value].name.clone()).collect::<Vec<_>>();
    document.controls.iter().map(|c| format!("{}: {}", *c.name, bars(c).join(" "))).collect()
}

const LINES: &str = r#"
[track]
a = { from = "off the layout", to = "X.a" }
b = { from = "off the layout", to = "X.b" }
c = { from = "off the layout", to = "X.c" }
d = { from = "off the layout", to = "X.d" }
"#;

#[test]
fn a_right_hand_crossover_leads_from_a_to_b() {
    let document = right(&format!("[crossover.X]\nhand = \"right\"\nwith = \"push buttons\"{LINES}"));
    assert_eq!(
        joints(&document),
        [
            "a: off - X.a.toe",
            "b: off - X.b.toe",
            "c: off - X.b.straight",
            "d: off - X.a.straight",
            "X.link: X.a.diverging - X.b.diverging"
        ]
    );
    assert_eq!(thrown(&document), ["X: X.a X.b"]);
    assert!(document.turnouts.iter().all(|t| *t.kind == TurnoutKind::Right && t.place.is_none()));
}

#[test]
fn a_left_hand_crossover_leads_from_c_to_d() {
    let document = right(&format!("[crossover.X]\nhand = \"left\"{LINES}"));
    assert_eq!(
        joints(&document),
        [
            "a: off - X.d.straight",
            "b: off - X.c.straight",
            "c: off - X.c.toe",
            "d: off - X.d.toe",
            "X.link: X.c.diverging - X.d.diverging"
        ]
    );
    assert!(document.turnouts.iter().all(|t| *t.kind == TurnoutKind::Left));
    assert!(document.controls.is_empty());
}

#[test]
fn a_scissors_has_a_diamond_that_follows_its_second_diagonal() {
    let document = right(&format!("[scissors.X]\nwith = \"push buttons\"{LINES}"));
    assert_eq!(
        joints(&document),
        [
            "a: off - X.a.toe",
            "b: off - X.b.toe",
            "c: off - X.c.toe",
            "d: off - X.d.toe",
            "X.a-x: X.a.diverging - X.x.a",
            "X.b-x: X.b.diverging - X.x.b",
            "X.c-x: X.c.diverging - X.x.c",
            "X.d-x: X.d.diverging - X.x.d",
            "X.a-d: X.a.straight - X.d.straight",
            "X.c-b: X.c.straight - X.b.straight",
        ]
    );
    assert_eq!(thrown(&document), ["X.ab: X.a X.b", "X.cd: X.c X.d"]);
    let diamond = &document[TurnoutId(4)];
    let decision = diamond.decided_by.as_ref().expect("a decision").value;
    assert_eq!((document[decision.bar].name.as_str(), decision.inverted), ("X.c", false));
    let out = &document.exclusive[0];
    let names: Vec<_> = out.settings.iter().map(|s| (s.name.as_str(), s.bars.clone())).collect();
    assert_eq!(names, [("X.ab", vec![BarId(0), BarId(1)]), ("X.cd", vec![BarId(2), BarId(3)])]);
}

#[test]
fn a_ladder_of_n_roads_has_one_turnout_less() {
    let tracks: String =
        (1..=4).map(|n| format!("r{n} = {{ from = \"L.road-{n}\", to = \"buffer\" }}\n")).collect();
    let document = right(&format!(
        "[ladder.L]\nroads = 4\nhand = \"left\"\nwith = \"push buttons\"\n[track]\n\
         lead = {{ from = \"off the layout\", to = \"L.toe\" }}\n{tracks}"
    ));
    assert_eq!(
        joints(&document),
        [
            "lead: off - L.1.toe",
            "r1: L.1.diverging - buffer",
            "r2: L.2.diverging - buffer",
            "r3: L.3.diverging - buffer",
            "r4: L.3.straight - buffer",
            "L.link-1: L.1.straight - L.2.toe",
            "L.link-2: L.2.straight - L.3.toe",
        ]
    );
    assert_eq!(thrown(&document), ["L.1: L.1", "L.2: L.2", "L.3: L.3"]);
}

#[test]
fn a_passing_loop_has_one_control_or_two() {
    let ends =
        "[track]\nw = { from = \"buffer\", to = \"P.from\" }\ne = { from = \"buffer\", to = \"P.to\" }";
    let with = "with = \"push buttons\"";
    let document = right(&format!("[passing-loop.P]\nhand = \"right\"\nlength = \"900 mm\"\n{with}\n{ends}"));
    assert_eq!(
        joints(&document)[2..],
        ["P.main: P.from.straight - P.to.straight", "P.loop: P.from.diverging - P.to.diverging"]
    );
    let kinds: Vec<_> = document.turnouts.iter().map(|t| *t.kind).collect();
    assert_eq!(kinds, [TurnoutKind::Right, TurnoutKind::Left]);
    assert_eq!(thrown(&document), ["P.from: P.from", "P.to: P.to"]);
    let document = right(&format!("[passing-loop.P]\nhand = \"right\"\n{with}\ntogether = true\n{ends}"));
    assert_eq!(thrown(&document), ["P: P.from P.to"]);
}

#[test]
fn controls_of_the_builder_throw_members_and_diagonals() {
    let control = |name: &str, throws: &str| {
        format!("[control.{name}]\nthrows = \"{throws}\"\nwith = \"push buttons\"\n")
    };
    let document = right(&format!("{}{}[scissors.X]{LINES}", control("S1", "X.ab"), control("S2", "X.cd")));
    assert_eq!(thrown(&document), ["S1: X.a X.b", "S2: X.c X.d"]);
    let document = right(&format!("{}[crossover.X]\nhand = \"left\"{LINES}", control("S1", "X")));
    assert_eq!(thrown(&document), ["S1: X.c X.d"]);
    let document = right(&format!("{}[crossover.X]\nhand = \"left\"{LINES}", control("S1", "X.d")));
    assert_eq!(thrown(&document), ["S1: X.d"]);
}

#[test]
fn the_others_lie_where_standard_turnouts_would() {
    let board = "[board.one]\nsize = [\"2 m\", \"600 mm\"]\n";
    let toe = "toe = [\"100 mm\", \"400 mm\"]\nheading = \"0 deg\"\n";
    let places = |rest: &str| -> Vec<(f64, f64, f64)> {
        let document = right(&format!("{board}{rest}"));
        let place = |t: &Turnout| t.place.expect("a place");
        let mm = |p: TurnoutPlace| (p.origin.0.mm().round(), p.origin.1.mm().round(), p.heading.degrees());
        document.turnouts.iter().map(|t| mm(place(t))).collect()
    };
    // 330 mm for two turnouts, and what is left of 49.5 mm after twice 22.8 mm, at 12 degrees.
    let crossover = places(&format!("[crossover.X]\nhand = \"right\"\n{toe}{LINES}"));
    assert_eq!(crossover, [(100.0, 400.0, 0.0), (448.0, 351.0, 180.0)]);
    let scissors = places(&format!("[scissors.X]\nspacing = \"70 mm\"\n{toe}{LINES}"));
    assert_eq!(
        scissors,
        [
            (100.0, 400.0, 0.0),
            (545.0, 330.0, 180.0),
            (100.0, 330.0, 0.0),
            (545.0, 400.0, 180.0),
            (322.0, 365.0, 0.0)
        ]
    );
}

#[test]
fn all_parts_stand_where_the_composition_is_named() {
    let text = file(&format!("[scissors.X]\nwith = \"push buttons\"{LINES}"));
    let document = read(&text).0.expect("a document");
    let at = text.find("X]").expect("its name");
    assert!(document.turnouts.iter().all(|t| t.span.start == at && t.kind.span.start == at));
    assert!(document.tracks[4..].iter().all(|t| t.span.start == at && t.from.span.start == at));
    assert!(document.controls.iter().all(|c| c.span.start == at && c.with.span.start > at));
}

/// What is written after the head, and the codes of what is found.
const SLIPS: &[(&str, &[&str])] = &[
    ("[crossover.X]\n", &["missing-key"]),
    ("[crossover.X]\nhand = \"rigth\"\n", &["unknown-word"]),
    ("[crossover.X]\nhand = \"right\"\ntoe = [\"1 m\", \"1 m\"]\n", &["missing-key"]),
    ("[crossover.X]\nhand = \"right\"\nspacing = \"40 mm\"\n", &["spacing-tight"]),
    ("[crossover.X]\nhand = \"right\"\ndrive = \"cool\"\n", &["unknown-name"]),
    ("[crossover.X]\nhand = \"right\"\nroads = 2\n", &["unknown-key"]),
    ("[turnout.X]\nkind = \"left\"\n[crossover.X]\nhand = \"right\"\n", &["open-port", "name-taken"]),
    (
        "[crossover.X]\nhand = \"right\"\nwith = \"push buttons\"\n[control.X]\nthrows = \"X.a\"\nwith = \"push buttons\"\n",
        &["name-taken", "thrown-twice"],
    ),
    ("[scissors.X]\n[control.S]\nthrows = \"X\"\nwith = \"push buttons\"\n", &["which-bar"]),
    ("[scissors.X]\n[control.S]\nthrows = \"X.x\"\nwith = \"push buttons\"\n", &["no-blades"]),
    ("[scissors.X]\n[control.S]\nthrows = \"X.ad\"\nwith = \"push buttons\"\n", &["unknown-name"]),
    ("[scissors.X]\n[control.S]\nthrows = [\"X.ab\", \"X.a\"]\nwith = \"push buttons\"\n", &["thrown-twice"]),
    ("[crossover]\nhand = \"right\"\n", &["wrong-form"]),
    ("[crossover]\nX = 3\n", &["wrong-form"]),
];

#[test]
fn each_slip_is_found_and_nothing_else() {
    for (rest, expected) in SLIPS {
        assert_eq!(codes(&format!("{rest}{LINES}")), *expected, "{rest}");
    }
    for (rest, expected) in [
        ("[ladder.L]\nroads = 0\nhand = \"left\"\n", ["too-few-roads"]),
        (
            "[ladder.L]\nhand = \"left\"\n[track]\nt = { from = \"L.road-7\", to = \"buffer\" }",
            ["missing-key"],
        ),
        ("[ladder.L]\nroads = 99\nhand = \"left\"\n", ["wrong-form"]),
    ] {
        assert_eq!(codes(rest), expected, "{rest}");
    }
}

#[test]
fn a_ladder_of_one_road() {
    assert_snapshot!(shown("[ladder.L1]\nroads = 1\nhand = \"left\""), @r#"
    error[too-few-roads]: ladder `L1` fans out to nothing
      --> layout.toml:10:9
       |
    10 | roads = 1
       |         ^ one road needs no turnout
       |
    help: write how many roads there are, 2 or more; for a single road write a [track]
    "#);
}

#[test]
fn an_end_that_a_crossover_does_not_have() {
    let text = shown("[crossover.X1]\nhand = \"left\"\n[track]\nup = { from = \"X1.e\", to = \"buffer\" }");
    assert_snapshot!(text, @r#"
    error[unknown-end]: crossover `X1` has no end `X1.e`
      --> layout.toml:12:15
       |
     9 | [crossover.X1]
       |            -- a crossover
    ...
    12 | up = { from = "X1.e", to = "buffer" }
       |               ^^^^^^ no such end
       |
    help: its ends are `X1.a`, `X1.b`, `X1.c` and `X1.d`
    "#);
    let text = shown("[crossover.X1]\nhand = \"left\"\n[track]\nup = { from = \"X1\", to = \"buffer\" }");
    assert_snapshot!(text, @r#"
    error[unknown-end]: `X1` is a crossover, which has several ends
      --> layout.toml:12:15
       |
     9 | [crossover.X1]
       |            -- a crossover
    ...
    12 | up = { from = "X1", to = "buffer" }
       |               ^^^^ which of them?
       |
    help: its ends are `X1.a`, `X1.b`, `X1.c` and `X1.d`
    "#);
}

#[test]
fn a_port_that_is_joined_within() {
    let text = shown(&format!(
        "[crossover.X]\nhand = \"right\"{LINES}e = {{ from = \"X.a.diverging\", to = \"buffer\" }}"
    ));
    assert_snapshot!(text, @r#"
    error[joined-twice]: port `diverging` of turnout `X.a` is joined by two tracks
      --> layout.toml:16:14
       |
     9 | [crossover.X]
       |            - joined within this already
    ...
    16 | e = { from = "X.a.diverging", to = "buffer" }
       |              ^^^^^^^^^^^^^^^ joined again here
       |
    help: join one of its ends instead
    "#);
}

#[test]
fn both_diagonals_under_one_control() {
    let text = shown(&format!(
        "[scissors.X]{LINES}[control.S1]\nthrows = [\"X.ab\", \"X.cd\"]\nwith = \"push buttons\""
    ));
    assert_snapshot!(text, @r#"
    error[thrown-together]: control `S1` sets `X.ab` and `X.cd` at once
      --> layout.toml:16:19
       |
    16 | throws = ["X.ab", "X.cd"]
       |           ------  ^^^^^^ the diagonals cross: trains would meet, and the frogs in the middle suit one only
       |           |
       |           throws `X.ab`
       |
    help: give each a control of its own: throws = "X.ab" and throws = "X.cd"
    "#);
}

#[test]
fn a_composition_beyond_the_edge() {
    let text = shown(&format!(
        "[board.one]\nsize = [\"1 m\", \"600 mm\"]\n[crossover.X]\nhand = \"right\"\n\
         toe = [\"800 mm\", \"300 mm\"]\nheading = \"0 deg\"{LINES}"
    ));
    assert_snapshot!(text, @r#"
    error[off-the-board]: crossover `X` does not lie on its board
      --> layout.toml:13:7
       |
    13 | toe = ["800 mm", "300 mm"]
       |       ^^^^^^^^^^^^^^^^^^^^ from here on, `X.b` would lie 1148 mm to the right and 250 mm to the back
    14 | heading = "0 deg"
       |           ------- in this direction
       |
    help: measure from the front left corner of the board to the toe, and look at heading and hand; or leave `toe` and `heading` out
    "#);
}

#[test]
fn a_name_that_is_taken() {
    let text = shown(&format!(
        "[turnout.\"X.a\"]\nkind = \"wye\"\nnormal = \"left\"\n[crossover.X]\nhand = \"right\"{LINES}"
    ));
    assert_snapshot!(text, @r#"
    error[open-port]: no track joins ports `toe`, `left` and `right` of turnout `X.a`
     --> layout.toml:9:10
      |
    9 | [turnout."X.a"]
      |          ^^^^^ its rails lead nowhere
      |
    help: give a track from "X.a.toe" to where it leads, if only to "buffer"

    error[name-taken]: crossover `X` needs the name `X.a` for a turnout
      --> layout.toml:12:12
       |
     9 | [turnout."X.a"]
       |          ----- has that name already
    ...
    12 | [crossover.X]
       |            ^ named here
       |
    help: rename one of the two
    "#);
}
