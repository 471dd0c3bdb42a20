//! What a builder reads when the file is wrong. Each was read with a builder's eyes: does it say
//! where, what, and what to do?

use insta::assert_snapshot;

use super::super::parse;
use super::shown;
use crate::diag::render_all;
use crate::source::SourceFile;

#[test]
fn an_unknown_key() {
    let text = shown(&[("gauge    = \"16.5 mm\"", "guage = \"16.5 mm\"")]);
    assert_snapshot!(text, @r#"
    error[unknown-key]: [layout] has no key `guage`
      --> layout.toml:13:1
       |
    13 | guage = "16.5 mm"
       | ^^^^^ not a known key
       |
    help: did you mean `gauge`?
       |
    13 - guage = "16.5 mm"
    13 + gauge = "16.5 mm"
       |
    "#);
}

#[test]
fn a_key_of_another_kind_of_drive() {
    let text = shown(&[("contacts = 1", "contacts = 1\nstall = \"20 mA\"")]);
    assert_snapshot!(text, @r#"
    error[unknown-key]: drive `coil` has no key `stall`
      --> layout.toml:66:1
       |
    66 | stall = "20 mA"                     # changeover contacts on the motor
       | ^^^^^ not a known key
       |
    help: `stall` is for `slow-motion` and `servo` only
    "#);
}

#[test]
fn a_bare_number() {
    let text = shown(&[("length = \"120 mm\"", "length = 120")]);
    assert_snapshot!(text, @r#"
    error[missing-unit]: `length` of track `link` is a number without a unit
      --> layout.toml:52:69
       |
    52 | link     = { from = "T1.straight",  to = "T2.toe",         length = 120 }
       |                                                                     ^^^ a length needs its unit, in quotes
       |
    help: if you mean mm, write
       |
    52 - link     = { from = "T1.straight",  to = "T2.toe",         length = 120 }
    52 + link     = { from = "T1.straight",  to = "T2.toe",         length = "120 mm" }
       |
    "#);
}

#[test]
fn a_unit_of_something_else() {
    let text = shown(&[("coil     = \"4.5 ohm\"", "coil = \"4.5 A\"")]);
    assert_snapshot!(text, @r#"
    error[wrong-unit]: `coil` of drive `coil` has a unit that does not fit
      --> layout.toml:64:8
       |
    64 | coil = "4.5 A"             # one coil, measured cold
       |        ^^^^^^^ `A` is not a unit of a resistance
       |
    help: write a resistance such as "4.5 ohm"
    "#);
}

#[test]
fn an_unknown_turnout() {
    let text = shown(&[("throws = \"T1\"", "throws = \"TT1\"")]);
    assert_snapshot!(text, @r#"
    error[unknown-name]: there is no turnout `TT1`
      --> layout.toml:69:10
       |
    69 | throws = "TT1"
       |          ^^^^^ not in this file
       |
    help: did you mean `T1`?
       |
    69 - throws = "TT1"
    69 + throws = "T1"
       |
    "#);
}

#[test]
fn a_port_that_a_wye_does_not_have() {
    let text = shown(&[("from = \"T3.left\"", "from = \"T3.straight\"")]);
    assert_snapshot!(text, @r#"
    error[unknown-port]: turnout `T3` has no port `straight`
      --> layout.toml:56:21
       |
    39 | [turnout.T3]
       |          -- its kind is `wye`
    ...
    56 | sawmill  = { from = "T3.straight",      to = "buffer",         length = "420 mm" }
       |                     ^^^^^^^^^^^^^ no such port
       |
    help: its ports are `toe`, `left` and `right`
    "#);
}

#[test]
fn a_port_joined_twice() {
    let text = shown(&[("from = \"T2.diverging\"", "from = \"T2.straight\"")]);
    assert_snapshot!(text, @r#"
    error[joined-twice]: port `straight` of turnout `T2` is joined by two tracks
      --> layout.toml:54:21
       |
    53 | quay     = { from = "T2.straight",  to = "buffer",         length = "430 mm" }
       |                     ------------- joined first here
    54 | crane    = { from = "T2.straight", to = "buffer",         length = "410 mm" }
       |                     ^^^^^^^^^^^^^ joined again here
       |
    help: rails can go on to one track only; correct one of the two
    "#);
}

#[test]
fn a_figure_that_cannot_be_right() {
    let text = shown(&[("coil     = \"4.5 ohm\"", "coil = \"4.5 kohm\"")]);
    assert_snapshot!(text, @r#"
    error[absurd-value]: `coil` of drive `coil` cannot be right
      --> layout.toml:64:8
       |
    64 | coil = "4.5 kohm"             # one coil, measured cold
       |        ^^^^^^^^^^ more than 200 ohm is not believed
       |
    help: anything from 0.3 ohm to 200 ohm is believed; look at the unit and the decimal point
    "#);
}

#[test]
fn a_required_key_that_is_missing() {
    let text = shown(&[("control  = \"dcc\"", "")]);
    assert_snapshot!(text, @r#"
    error[missing-key]: [layout] has no `control`
      --> layout.toml:10:2
       |
    10 | [layout]
       |  ^^^^^^ `control` is missing here
       |
    help: write `control = …`: how the trains are driven; one of "dcc", "dc"
    "#);
}

#[test]
fn a_supply_that_is_not_safe() {
    let text = shown(&[("voltage = \"16 V AC\"", "voltage = \"30 V AC\"")]);
    assert_snapshot!(text, @r#"
    error[unsafe-voltage]: supply `points` is not safe on a layout
      --> layout.toml:79:11
       |
    79 | voltage = "30 V AC"
       |           ^^^^^^^^^ 24 V AC is the limit for supplies of toys (IEC 61558-2-7)
       |
    help: use an approved plug-in supply for model railways with a lower voltage
    "#);
}

#[test]
fn a_wye_without_a_normal_road() {
    let text = shown(&[("normal  = \"left\"", "")]);
    assert_snapshot!(text, @r#"
    error[missing-key]: turnout `T3` is a wye and has no `normal`
      --> layout.toml:40:11
       |
    40 | kind    = "wye"
       |           ^^^^^ neither of its roads is the straight one
       |
    help: say which road is set in the normal position: `normal = "left"` or `"right"`
    "#);
}

#[test]
fn two_controls_for_one_turnout() {
    let text = shown(&[("throws = [\"T2\", \"T3\"]", "throws = [\"T1\", \"T3\"]")]);
    assert_snapshot!(text, @r#"
    error[thrown-twice]: controls `S1` and `S2` throw the same turnout
      --> layout.toml:73:11
       |
    69 | throws = "T1"
       |          ---- `S1` throws it already
    ...
    73 | throws = ["T1", "T3"]            # thrown together
       |           ^^^^ `S2` throws it
       |
    help: a turnout has one control; to throw several together, list them under one
    "#);
}

#[test]
fn text_without_quotes() {
    let text = shown(&[("length = \"430 mm\"", "length = 430 mm")]);
    assert_snapshot!(text, @r#"
    error[syntax]: `430 mm` stands without quotes
      --> layout.toml:53:69
       |
    53 | quay     = { from = "T2.straight",  to = "buffer",         length = 430 mm }
       |                                                                     ^^^^^^ a text needs quotes
       |
    help: put straight quotes round it
       |
    53 - quay     = { from = "T2.straight",  to = "buffer",         length = 430 mm }
    53 + quay     = { from = "T2.straight",  to = "buffer",         length = "430 mm" }
       |
    "#);
}

#[test]
fn a_bracket_left_open() {
    let text = shown(&[("size = [\"1200 mm\", \"400 mm\"]", "size = [\"1200 mm\", \"400 mm\"")]);
    assert_snapshot!(text, @r#"
    error[syntax]: a `[` is never closed
      --> layout.toml:24:8
       |
    24 | size = ["1200 mm", "400 mm"
       |        ^ opened here
       |
    help: close it with `]`; what follows could not be looked at and may hold more errors
    "#);
}

#[test]
fn a_name_that_is_there_twice() {
    let text = shown(&[("[control.S2]", "[control.S1]")]);
    assert_snapshot!(text, @r#"
    error[syntax]: `S1` is there twice
      --> layout.toml:72:10
       |
    68 | [control.S1]
       |          -- first here
    ...
    72 | [control.S1]
       |          ^^ again here
       |
    help: a name or a key can stand once only; rename or delete one of the two
    "#);
}

#[test]
fn three_errors_at_once() {
    let text = shown(&[
        ("name     = \"Otter Wharf\"", "name = \"\""),
        ("heading = \"0 deg\"", "heading = \"0 rad\""),
        ("to = \"T3.toe\"", "to = \"T4.toe\""),
    ]);
    assert_snapshot!(text, @r#"
    error[unprintable-text]: `name` of [layout] is empty
      --> layout.toml:11:8
       |
    11 | name = ""
       |        ^^ here
       |
    help: write one line of not more than 80 characters

    error[wrong-unit]: `heading` of turnout `T1` has a unit that does not fit
      --> layout.toml:32:11
       |
    32 | heading = "0 rad"
       |           ^^^^^^^ `rad` is not a unit of an angle
       |
    help: write an angle such as "15 deg"

    error[unknown-name]: there is no turnout `T4`
      --> layout.toml:55:42
       |
    55 | back     = { from = "T1.diverging", to = "T4.toe",         length = "130 mm" }
       |                                          ^^^^^^^^ not in this file
       |
    help: this file has `T1`, `T2` and `T3`
    "#);
}

#[test]
fn mains() {
    let text = shown(&[("voltage = \"16 V AC\"", "voltage = \"230 V AC\"")]);
    assert_snapshot!(text, @r#"
    error[unsafe-voltage]: `voltage` of supply `points` is dangerous to touch
      --> layout.toml:79:11
       |
    79 | voltage = "230 V AC"
       |           ^^^^^^^^^^ mains and other dangerous voltages never belong in this file or under a layout
       |
    help: write what an approved plug-in supply gives on its low side; the limits are 24 V AC (supplies of toys, IEC 61558-2-7) and 60 V DC (bare parts, IEC 61140)
    "#);
}

#[test]
fn a_count_below_zero_or_not_whole() {
    let text = shown(&[("contacts = 1 ", "contacts = -1 ")]);
    assert_snapshot!(text, @r#"
    error[wrong-form]: `contacts` of drive `coil` is below zero
      --> layout.toml:65:12
       |
    65 | contacts = -1                     # changeover contacts on the motor
       |            ^^ none is 0
       |
    help: write a whole number from 0 to 8
    "#);
    let text = shown(&[("contacts = 1 ", "contacts = 1.5 ")]);
    assert_snapshot!(text, @r#"
    error[wrong-form]: `contacts` of drive `coil` must be whole
      --> layout.toml:65:12
       |
    65 | contacts = 1.5                     # changeover contacts on the motor
       |            ^^^ a part of one is none
       |
    help: write a whole number from 0 to 8
    "#);
    let text = shown(&[("contacts = 1 ", "contacts = 99 ")]);
    assert_snapshot!(text, @r#"
    error[wrong-form]: `contacts` of drive `coil` cannot be right
      --> layout.toml:65:12
       |
    65 | contacts = 99                     # changeover contacts on the motor
       |            ^^ more than 8 is not believed
       |
    help: write a whole number from 0 to 8
    "#);
}

#[test]
fn a_month_that_does_not_exist() {
    let text = shown(&[("revision = \"A\"", "date = \"2026-13-02\"")]);
    assert_snapshot!(text, @r#"
    error[wrong-form]: `date` of [layout] has a wrong month
      --> layout.toml:14:8
       |
    14 | date = "2026-13-02"
       |        ^^^^^^^^^^^^ there is no month 13; the day comes last
       |
    help: write year, month and day, such as 2026-05-02
    "#);
    let text = shown(&[("revision = \"A\"", "date = 2026-13-02")]);
    assert_snapshot!(text, @r#"
    error[syntax]: a date has a wrong month
      --> layout.toml:14:8
       |
    14 | date = 2026-13-02
       |        ^^^^^^^^^^ there is no month 13; the day comes last
       |
    help: write year, month and day, such as 2026-05-02
    "#);
    let text = shown(&[("revision = \"A\"", "date = \"2026-02-30\"")]);
    assert_snapshot!(text, @r#"
    error[wrong-form]: `date` of [layout] has a wrong day
      --> layout.toml:14:8
       |
    14 | date = "2026-02-30"
       |        ^^^^^^^^^^^^ this month has no day 30
       |
    help: write year, month and day, such as 2026-05-02
    "#);
}

#[test]
fn a_word_with_something_after_it() {
    let text = shown(&[("kind    = \"left\" ", "kind = \"lefthand\" ")]);
    assert_snapshot!(text, @r#"
    error[unknown-word]: `kind` of turnout `T1` cannot be `lefthand`
      --> layout.toml:30:8
       |
    30 | kind = "lefthand"                 # "left", "right" or "wye", seen from the toe
       |        ^^^^^^^^^^ not one of the words known here
       |
    help: did you mean "left"?
       |
    30 - kind = "lefthand"                 # "left", "right" or "wye", seen from the toe
    30 + kind = "left"                 # "left", "right" or "wye", seen from the toe
       |
    "#);
}

#[test]
fn a_misspelt_key_is_not_missing_as_well() {
    let text = shown(&[("heading = \"0 deg\"", "headng = \"0 deg\"")]);
    assert_snapshot!(text, @r#"
    error[unknown-key]: turnout `T1` has no key `headng`
      --> layout.toml:32:1
       |
    32 | headng = "0 deg"
       | ^^^^^^ not a known key
       |
    help: did you mean `heading`?
       |
    32 | heading = "0 deg"
       |     +
    "#);
}

#[test]
fn an_empty_file() {
    for text in ["", "\n\n", "# only a remark\n"] {
        let source = SourceFile::new("layout.toml", text);
        let found = parse(&source).1;
        assert_eq!(found.iter().map(|d| d.code).collect::<Vec<_>>(), ["empty-file"]);
    }
    let source = SourceFile::new("layout.toml", "");
    assert_snapshot!(render_all(&parse(&source).1, &source, false), @r#"
    error[empty-file]: the file describes nothing yet
     --> layout.toml:1:1
      |
    1 |
      | ^ no line of a layout in this file
      |
    help: `underboard new` writes a small layout to begin with
    "#);
}

#[test]
fn a_track_of_no_length() {
    let text = shown(&[("length = \"120 mm\"", "length = \"0 mm\"")]);
    assert_snapshot!(text, @r#"
    error[absurd-value]: `length` of track `link` cannot be right
      --> layout.toml:52:69
       |
    52 | link     = { from = "T1.straight",  to = "T2.toe",         length = "0 mm" }
       |                                                                     ^^^^^^ less than 1 mm is not believed
       |
    help: anything from 1 mm to 100 m is believed; look at the unit and the decimal point
    "#);
}

#[test]
fn a_name_that_is_too_long() {
    let name = format!("name = \"{}\"", "Otter Wharf ".repeat(8));
    let text = shown(&[("name     = \"Otter Wharf\"", &name)]);
    assert_snapshot!(text, @r#"
    error[unprintable-text]: `name` of [layout] is too long to be printed: 95 characters, where 80 are the most
      --> layout.toml:11:8
       |
    11 | name = "Otter Wharf Otter Wharf Otter Wharf Otter Wharf Otter Wharf Otter Wharf Otter Wharf Otter Wharf "
       |        ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^ here
       |
    help: write one line of not more than 80 characters
    "#);
}

#[test]
fn a_name_that_the_font_lacks() {
    let text = shown(&[("name     = \"Otter Wharf\"", "name = \"Otter 埠頭\"")]);
    assert_snapshot!(text, @r#"
    warning[unprintable-name]: `name` of [layout] has characters in it that the printed font lacks: `埠` and 1 more
      --> layout.toml:11:8
       |
    11 | name = "Otter 埠頭"
       |        ^^^^^^^^^^^^ printed as empty boxes
       |
    help: use Latin, Greek or Cyrillic letters, figures and common signs
    "#);
}

#[test]
fn many_open_ports_are_one_message() {
    let text = shown(&[("quay     =", "#"), ("crane    =", "#"), ("sawmill  =", "#")]);
    assert_snapshot!(text, @r#"
    error[open-port]: 2 turnouts have ports that no track joins; their rails lead nowhere
      --> layout.toml:34:10
       |
    34 | [turnout.T2]
       |          ^^ no track at `straight` and `diverging`
    ...
    39 | [turnout.T3]
       |          -- no track at `left`
       |
    help: give a track from "T2.straight" to where it leads, if only to "buffer"; and so on for the others
    "#);
}
