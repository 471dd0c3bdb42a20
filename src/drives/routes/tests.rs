//! Routes of small layouts: what is planned, and what is said of those that are wrong.

use super::*;
use crate::diag::Severity;
use crate::parse::{STARTER, parse};
use crate::source::SourceFile;

/// Codes found, and the settings of every route that can be wired.
fn planned(text: &str) -> (Document, Plan, Vec<Diagnostic>) {
    let (document, mut found) = parse(&SourceFile::new("layout.toml", text));
    let document = document.unwrap_or_else(|| panic!("{found:#?}\n{text}"));
    let (rails, _) = crate::track::build(&document);
    let (plan, more) = crate::drives::plan(&document, &rails);
    found.extend(more);
    (document, plan, found)
}

/// The starter with a route: T1 has the toggle S1; the buttons S2 throw T2 and T3 together.
fn starter(sets: &str) -> String {
    format!("{STARTER}\n[route.a]\nsets = {{ {sets} }}\n")
}

/// Turnouts with two bars, each bar with a toggle.
fn two_bars(routes: &str) -> String {
    format!(
        r#"format = 1
[layout]
name = "Two bars"
control = "dcc"
[defaults]
frog = "insulated"
[turnout]
T1 = {{ kind = "three-way" }}
T2 = {{ kind = "double-slip" }}
[track]
a = {{ from = "T1.toe", to = "T2.b" }}
b = {{ from = "T1.left", to = "buffer" }}
c = {{ from = "T1.straight", to = "buffer" }}
d = {{ from = "T1.right", to = "buffer" }}
e = {{ from = "T2.a", to = "off the layout" }}
f = {{ from = "T2.c", to = "buffer" }}
g = {{ from = "T2.d", to = "buffer" }}
[drive.coil]
kind = "solenoid"
[control]
S1 = {{ throws = "T1.left", with = "momentary toggle" }}
S2 = {{ throws = "T1.right", with = "momentary toggle" }}
S3 = {{ throws = "T2.ac", with = "momentary toggle" }}
S4 = {{ throws = "T2.bd", with = "momentary toggle" }}
[route]
{routes}
"#
    )
}

fn codes(text: &str) -> Vec<&'static str> {
    let (_, _, found) = planned(text);
    found.iter().filter(|d| d.code != "contact-timing").map(|d| d.code).collect()
}

#[test]
fn what_a_control_throws_together_goes_along() {
    let (document, plan, found) = planned(&starter("T2 = \"reverse\""));
    let route = &plan.routes[0];
    assert_eq!(route.settings(&document), "T2 reverse, T3 reverse");
    assert_eq!(route.along, [BarId(2)]);
    assert_eq!(route.lines.len(), 1);
    let note = found.iter().find(|d| d.code == "route-takes-along").expect("a note");
    assert_eq!(note.severity, Severity::Note);
    assert!(codes(&starter("T2 = \"diverging\", T3 = \"normal\"")).contains(&"route-contradicts"));
}

/// T1's straight road leads to the toe of T2, its diverging one to that of T3.
#[test]
fn a_route_tells_what_its_track_runs_into() {
    let leaves = |sets: &str| {
        let (document, plan, _) = planned(&starter(sets));
        plan.routes[0].leaves_named(&document)
    };
    assert_eq!(leaves("T1 = \"straight\""), ["T2"]);
    assert_eq!(leaves("T1 = \"diverging\""), ["T3"]);
    assert_eq!(leaves("T1 = \"straight\", T2 = \"straight\""), [""; 0]);
    // One bar of a turnout tells no road: the other one is left.
    let (document, plan, _) = planned(&two_bars("a = { sets = { T1.left = \"normal\" } }"));
    assert_eq!(plan.routes[0].leaves_named(&document), ["T1.right"]);
}

/// The positions of the bars for each road are those of `track/tests.rs`: published truth tables.
#[test]
fn roads_are_named_as_throw_takes_them() {
    let settings = |sets: &str| {
        let (document, plan, _) = planned(&two_bars(&format!("a = {{ sets = {{ {sets} }} }}")));
        plan.routes[0].settings(&document)
    };
    assert_eq!(settings("T1 = \"left\""), "T1.left reverse, T1.right normal");
    assert_eq!(settings("T1 = \"straight\""), "T1.left normal, T1.right normal");
    assert_eq!(settings("T2 = \"a-d\""), "T2.ac reverse, T2.bd normal");
    assert_eq!(settings("T2.bd = \"reverse\""), "T2.bd reverse");
}

#[test]
fn what_cannot_be_set_is_an_error_and_no_route() {
    for (text, code) in [
        (starter("T1 = \"revers\""), "unknown-position"),
        (starter("T1 = \"left\""), "unknown-position"),
        (two_bars("a = { sets = { T2 = \"reverse\" } }"), "unknown-position"),
        (two_bars("a = { sets = { T1.left = \"left\" } }"), "unknown-position"),
        (two_bars("a = { sets = { T1 = \"left\", \"T1.right\" = \"normal\" } }"), "set-twice"),
        (two_bars("a = { sets = { T1.left = \"reverse\", T1.right = \"reverse\" } }"), "route-forbidden"),
    ] {
        let (_, plan, found) = planned(&text);
        let errors: Vec<_> = found.iter().filter(|d| d.severity == Severity::Error).collect();
        assert_eq!(errors.iter().map(|d| d.code).collect::<Vec<_>>(), [code], "{text}");
        assert!(errors[0].help.is_some() && !errors[0].labels.is_empty());
        assert!(plan.routes.is_empty());
    }
}

#[test]
fn a_pulse_throws_only_what_the_discharge_unit_fires() {
    let coil = "coil     = \"4.5 ohm\"             # one coil, measured cold\n";
    let direct = STARTER.replace(coil, &format!("{coil}fired-from = \"supply\"\n"));
    let decoder = STARTER.replace("with   = \"momentary toggle\"", "with = \"accessory decoder output\"");
    for layout in [direct, decoder] {
        assert_ne!(layout, STARTER);
        let text = format!("{layout}\n[route.a]\nsets = {{ T1 = \"normal\" }}\n");
        assert!(codes(&text).contains(&"route-does-not-fit"), "{text}");
    }
}

#[test]
fn buttons_that_do_the_same_and_lines_without_any_are_warnings() {
    let both = "a = { sets = { T1 = \"left\" } }\nb = { sets = { \"T1.left\" = \"reverse\", \"T1.right\" = \"normal\" } }";
    assert!(codes(&two_bars(both)).contains(&"routes-alike"));
    let text =
        starter("T1 = \"reverse\"").replace("with   = \"momentary toggle\"", "with = \"route buttons\"");
    let (document, plan, found) = planned(&text);
    let warning = found.iter().find(|d| d.code == "line-without-button").expect("a warning");
    assert_eq!(warning.severity, Severity::Warning);
    assert_eq!(warning.message, "no route sets T1 normal");
    assert_eq!(plan.idle_lines(&document, ControlId(0)), [Position::Normal]);
}

/// One line with its own toggle and a route each way: T1 alone is on both, so nothing can sneak.
#[test]
fn the_matrix_counts_the_control_as_a_driver() {
    let routes = "a = { sets = { T1 = \"left\", T2 = \"a-b\" } }\nb = { sets = { T1 = \"left\" } }";
    let (document, plan, _) = planned(&two_bars(routes));
    let matrix = Matrix::of(&document, &plan);
    assert_eq!(matrix.lines.len(), 4);
    assert!(plan.routes[0].lines.iter().all(|l| matrix.is_diode(0, *l)));
}
