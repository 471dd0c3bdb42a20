//! Diamonds, slips and three-way turnouts: what is said of wrong ones.

use insta::assert_snapshot;

use super::super::*;
use super::{codes, read, shown, starter_with};

/// Three roads, two tie bars.
const THREE_WAY: &[(&str, &str)] = &[
    ("kind    = \"wye\"", "kind    = \"three-way\""),
    ("normal  = \"left\"", "#"),
    ("throws = [\"T2\", \"T3\"]", "throws = \"T2\""),
    ("[track]", "[track]\nmiddle = { from = \"T3.straight\", to = \"buffer\" }"),
];

/// A formation with four ends in place of T3.
fn crossing(kind: &str) -> Vec<(&'static str, String)> {
    vec![
        ("kind    = \"wye\"", format!("kind    = \"{kind}\"")),
        ("normal  = \"left\"", "#".into()),
        ("toe     = [\"520 mm\", \"260 mm\"]", "centre  = [\"520 mm\", \"260 mm\"]".into()),
        ("throws = [\"T2\", \"T3\"]", "throws = \"T2\"".into()),
        ("to = \"T3.toe\"", "to = \"T3.a\"".into()),
        ("from = \"T3.left\"", "from = \"T3.b\"".into()),
        ("from = \"T3.right\"", "from = \"T3.d\"".into()),
        ("[track]", "[track]\nfourth = { from = \"T3.c\", to = \"buffer\" }".into()),
    ]
}

fn with<'a>(base: &'a [(&'static str, String)], more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    base.iter().map(|(old, new)| (*old, new.as_str())).chain(more.iter().copied()).collect()
}

#[test]
fn every_kind_with_its_ports_is_right() {
    assert_eq!(codes(THREE_WAY), Vec::<&str>::new());
    for (kind, bars) in [("diamond", 0), ("single-slip", 2), ("double-slip", 2)] {
        let text = starter_with(&with(&crossing(kind), &[]));
        let (document, found) = read(&text);
        assert_eq!(found, [], "{kind}");
        let document = document.expect("a document");
        assert_eq!(document.bars_of(TurnoutId(2)).count(), bars, "{kind}");
    }
}

#[test]
fn each_slip_is_found_and_nothing_else() {
    let throws = |what: &'static str| ("throws = \"T1\"", what);
    for (kind, change, expected) in [
        ("double-slip", ("centre  =", "toe     ="), "unknown-key"),
        ("double-slip", ("heading = \"12 deg\"", "heading = \"12 deg\"\nnormal = \"d\""), "unknown-port"),
        (
            "double-slip",
            ("heading = \"12 deg\"", "heading = \"12 deg\"\ndecided-by = \"T1\""),
            "not-a-diamond",
        ),
        (
            "single-slip",
            ("heading = \"12 deg\"", "heading = \"12 deg\"\nblades = \"far-exit\""),
            "not-a-double-slip",
        ),
        ("double-slip", throws("throws = [\"T1\", \"T3\"]"), "which-bar"),
        ("double-slip", throws("throws = [\"T1\", \"T3.ab\"]"), "unknown-bar"),
        ("diamond", throws("throws = [\"T1\", \"T3\"]"), "no-blades"),
        ("diamond", ("heading = \"12 deg\"", "heading = \"12 deg\"\ndecided-by = \"T7\""), "unknown-name"),
    ] {
        assert_eq!(codes(&with(&crossing(kind), &[change])), [expected], "{kind} {change:?}");
    }
}

#[test]
fn a_diamond_that_is_decided_by_a_diamond() {
    let text = shown(&with(
        &crossing("diamond"),
        &[("heading = \"12 deg\"", "heading = \"12 deg\"\ndecided-by = \"T3\"")],
    ));
    assert_snapshot!(text, @r#"
    error[no-blades]: `T3` has no blades that could decide the road over turnout `T3`
      --> layout.toml:45:14
       |
    45 | decided-by = "T3"
       |              ^^^^ this is the diamond itself
       |
    help: name a turnout whose blades lead trains to the one road or the other; if there is none, leave `decided-by` out
    "#);
}

#[test]
fn a_tie_bar_that_does_not_exist() {
    let more = [("throws = \"T1\"", "throws = [\"T1\", \"T3.middle\"]")];
    let text = shown(&[THREE_WAY, &more].concat());
    assert_snapshot!(text, @r#"
    error[unknown-bar]: turnout `T3` has no tie bar `middle`
      --> layout.toml:70:17
       |
    39 | [turnout.T3]
       |          -- its kind is `three-way`
    ...
    70 | throws = ["T1", "T3.middle"]
       |                 ^^^^^^^^^^^ no such tie bar
       |
    help: its tie bars are `left` and `right`
    "#);
}

#[test]
fn both_bars_of_a_three_way_under_one_control() {
    let more = [("throws = \"T1\"", "throws = [\"T3.left\", \"T3.right\"]")];
    let text = shown(&[THREE_WAY, &more].concat());
    assert_snapshot!(text, @r#"
    error[thrown-together]: control `S1` throws both tie bars of the three-way `T3` at once
      --> layout.toml:70:22
       |
    70 | throws = ["T3.left", "T3.right"]
       |           ---------  ^^^^^^^^^^ with both reverse, a train derails
       |           |
       |           the other one
       |
    help: give each a control of its own: throws = "T3.left" and throws = "T3.right"
    "#);
}

#[test]
fn one_bar_of_a_slip_whose_bars_agree() {
    let text = shown(&with(
        &crossing("double-slip"),
        &[
            ("heading = \"12 deg\"", "heading = \"12 deg\"\nblades = \"both-agree\""),
            ("throws = \"T1\"", "throws = [\"T1\", \"T3.ac\"]"),
        ],
    ));
    assert_snapshot!(text, @r#"
    error[bars-apart]: the tie bars of `T3` must lie alike, so one control throws both
      --> layout.toml:71:17
       |
    39 | [turnout.T3]
       |          -- its `blades` are "both-agree"
    ...
    71 | throws = ["T1", "T3.ac"]
       |                 ^^^^^^^ throws one of them alone
       |
    help: give both one control; write
       |
    71 - throws = ["T1", "T3.ac"]
    71 + throws = ["T1", "T3"]
       |
    "#);
}

#[test]
fn a_road_that_ends_nowhere() {
    let text = shown(&[("sawmill  =", "#")]);
    assert_snapshot!(text, @r#"
    error[open-port]: no track joins port `left` of turnout `T3`
      --> layout.toml:39:10
       |
    39 | [turnout.T3]
       |          ^^ its rails lead nowhere
       |
    help: give a track from "T3.left" to where it leads, if only to "buffer"
    "#);
}

#[test]
fn a_track_straight_back_to_its_turnout() {
    let text = shown(&[
        (
            "link     = { from = \"T1.straight\",  to = \"T2.toe\", ",
            "link     = { from = \"T1.straight\",  to = \"T1.diverging\", ",
        ),
        ("from = \"T1.diverging\", to = \"T3.toe\"", "from = \"T2.toe\", to = \"T3.toe\""),
    ]);
    assert_snapshot!(text, @r#"
    error[joined-to-itself]: track `link` leads from turnout `T1` straight back to it
      --> layout.toml:52:75
       |
    52 | link     = { from = "T1.straight",  to = "T1.diverging",         length = "120 mm" }
       |                     -------------        --------------                   ^^^^^^^^ too short for any curve
       |                     |                    |
       |                     |                    ends at the same turnout
       |                     begins here
       |
    help: correct one of the ends; if it is a loop, it is longer than 207 mm
    "#);
}

#[test]
fn a_position_that_does_not_exist() {
    let text = shown(&[("normal  = \"left\"", "normal  = \"diverging\"")]);
    assert_snapshot!(text, @r#"
    error[unknown-port]: turnout `T3` has no road `diverging`
      --> layout.toml:41:11
       |
    40 | kind    = "wye"
       |           ----- a turnout of this kind has the roads `left` and `right`
    41 | normal  = "diverging"                 # a wye has no straight road, so say which one is normal
       |           ^^^^^^^^^^^ not one of its roads
       |
    help: write one of `left` and `right`
    "#);
}
