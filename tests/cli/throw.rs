//! One setting of the layout: what is said of it, and what cannot be set.

use crate::{Shop, page};

/// A double slip, a three-way and a scissors crossover with all tracks ending at once.
const LAYOUT: &str = r#"format = 1
[layout]
name = "Throw"
control = "dcc"
[defaults]
frog = "isolated-with-wire"
[drive.m]
kind = "slow-motion"
contact-rating = "4 A"
[turnout]
T1 = { kind = "double-slip" }
T2 = { kind = "three-way" }
[scissors.X3]
with = "maintained toggle"
[track]
in-a = { from = "off the layout", to = "T1.a" }
in-c = { from = "off the layout", to = "T1.c" }
lead = { from = "T1.b", to = "T2.toe" }
on   = { from = "T1.d", to = "X3.a" }
r1 = { from = "T2.left", to = "buffer" }
r2 = { from = "T2.straight", to = "buffer" }
r3 = { from = "T2.right", to = "buffer" }
x-b = { from = "X3.b", to = "buffer" }
x-c = { from = "X3.c", to = "buffer" }
x-d = { from = "X3.d", to = "buffer" }
[control]
S1 = { throws = "T1.ac", with = "maintained toggle" }
S2 = { throws = "T1.bd", with = "maintained toggle" }
S3 = { throws = "T2.left", with = "maintained toggle" }
S4 = { throws = "T2.right", with = "maintained toggle" }
"#;

fn throw(positions: &[&str]) -> (Shop, crate::Ended) {
    let shop = Shop::with(LAYOUT);
    let arguments: Vec<&str> =
        ["throw", "layout.toml"].into_iter().chain(positions.iter().copied()).collect();
    let ended = shop.run(&arguments);
    (shop, ended)
}

#[test]
fn the_state_is_told_and_drawn() {
    let (shop, ended) = throw(&["T1=a-d", "T2=left"]);
    assert_eq!(ended.code, 0, "{}", page(&ended));
    // Slip roads have both acute frogs alike (the table published for slips), the left road of a
    // three-way the right stock rail on its left and centre frog.
    let line = |frog: &str| {
        ended.out.lines().find(|l| l.contains(frog)).unwrap_or_else(|| panic!("{frog}")).to_owned()
    };
    let feed = |frog: &str| line(frog)[frog.len()..].split_whitespace().next().map(str::to_owned);
    assert_eq!(feed("  T1 a-c frog"), feed("  T1 b-d frog"));
    assert_eq!(feed("  T2 left frog"), feed("  T2 centre frog"));
    assert!(line("T2 right frog").contains("no road over it is set"));
    assert!(!ended.out.contains("WRONG") && !ended.out.contains("SHORT"), "{}", ended.out);
    let drawn = ended.out.lines().find_map(|l| l.strip_prefix("drawn in ")).unwrap();
    // It is this setting that is drawn, not the plan with everything normal.
    let svg = shop.read(drawn);
    for words in ["State: T1.ac reverse, T2.left reverse", "In this setting: T1.ac reverse, T2.left reverse"]
    {
        assert!(svg.contains(words), "{words}");
    }
}

#[test]
fn what_cannot_be_set_is_refused() {
    for (positions, says) in [
        (&["T9=reverse"][..], "there is no turnout `T9`"),
        (&["T1=left"], "T1 has no position `left`"),
        (&["T1"], "does not say in which position"),
        (&["T1.ac=reverse", "T1=a-b"], "cannot lie in two positions"),
        (&["T2.left=reverse", "T2.right=reverse"], "must never be set"),
        (&["X3.a=reverse", "X3.c=reverse"], "X3.ab and X3.cd must never be set together"),
    ] {
        let (_, ended) = throw(positions);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{positions:?}");
        assert!(ended.err.contains(says) && ended.err.contains("help:"), "{positions:?}: {}", ended.err);
    }
}
