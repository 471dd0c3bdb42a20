//! What a builder reads after a mistake: each message names the place and how to mend it.

use crate::{GOOD, Shop, page};

/// Checks a layout with a mistake in it: exit code, the place, and a word of the mend.
fn bad(name: &str, layout: &str, code: i32, place: &str, mend: &str) {
    let shop = Shop::with(layout);
    let ended = shop.run(&["check", "layout.toml"]);
    assert_eq!(ended.code, code, "{name}\n{}", page(&ended));
    assert!(ended.err.contains(place), "{name}: no {place:?} in\n{}", ended.err);
    assert!(ended.err.contains("help: "), "{name}: no help in\n{}", ended.err);
    assert!(ended.err.contains(mend), "{name}: no {mend:?} in\n{}", ended.err);
    assert_eq!(ended.out, "", "{name}");
    // Building says the same and writes nothing.
    let built = shop.run(&["build", "layout.toml"]);
    assert_eq!(built.code, code, "{name}\n{}", page(&built));
    assert!(built.err.starts_with(&ended.err), "{name}:\n{}", built.err);
    assert!(!shop.path("out").exists(), "{name}");
}

#[test]
fn the_good_layout_is_good() {
    let ended = Shop::with(GOOD).run(&["check", "layout.toml"]);
    assert_eq!(page(&ended), "exit code 0\n--- out\nlayout.toml: nothing found\n--- err\n");
}

#[test]
fn unknown_key() {
    let layout = GOOD.replace("gauge ", "guage ");
    bad("unknown key", &layout, 2, "layout.toml:6:1", "did you mean `gauge`?");
}

#[test]
fn wrong_unit() {
    let layout = GOOD.replace("4.5 ohm", "4.5 V");
    bad("wrong unit", &layout, 2, "layout.toml:20:12", "write a resistance such as");
}

#[test]
fn no_unit() {
    let layout = GOOD.replace("\"1 A\"", "1");
    bad("no unit", &layout, 2, "layout.toml:30:11", "\"1 A\"");
}

#[test]
fn unknown_name() {
    let layout = GOOD.replace("throws = \"T1\"", "throws = \"T7\"");
    bad("unknown name", &layout, 2, "layout.toml:25:10", "T1");
}

#[test]
fn port_joined_twice() {
    let layout = GOOD.replace("siding = { from = \"T1.diverging\"", "siding = { from = \"T1.straight\"");
    bad("port joined twice", &layout, 2, "layout.toml:16:19", "correct one of the two");
}

#[test]
fn absurd_value() {
    let layout = GOOD.replace("4.5 ohm", "45 Mohm");
    bad("absurd value", &layout, 2, "layout.toml:20:12", "look at the unit and the decimal point");
}

#[test]
fn malformed_toml() {
    let layout = GOOD.replace("[turnout.T1]", "[turnout.T1");
    bad("malformed", &layout, 2, "layout.toml:8:", "]");
}

#[test]
fn empty_file() {
    bad("empty", "", 2, "layout.toml:1:1", "underboard new");
}

#[test]
fn empty_layout() {
    let layout = "format = 1\n[layout]\nname = \"Nothing\"\ncontrol = \"dcc\"\n";
    bad("empty layout", layout, 2, "layout.toml:", "describe a turnout");
}

#[test]
fn a_road_that_ends_nowhere() {
    let layout = GOOD.replace("siding = {", "# siding = {");
    bad("open road", &layout, 2, "layout.toml:8:10", "if only to \"buffer\"");
    let layout = GOOD.replace(",  to = \"buffer\" }\nsiding", " }\nsiding");
    bad("no end", &layout, 2, "layout.toml:15:1", "write `to = …`");
}

#[test]
fn joined_to_itself() {
    let layout = GOOD.replace("to = \"buffer\" }\nsiding", "to = \"T1.straight\" }\nsiding");
    bad("one port", &layout, 2, "layout.toml:15:40", "which one is the other?");
    let layout = GOOD
        .replace(
            "T1.straight\",  to = \"buffer\"",
            "T1.straight\",  to = \"T1.diverging\", length = \"90 mm\"",
        )
        .replace("siding =", "# siding =");
    bad("straight back", &layout, 2, "layout.toml:15:65", "longer than 207 mm");
}

#[test]
fn positions_and_tie_bars_that_do_not_exist() {
    let layout = GOOD.replace("kind  = \"left\"", "kind  = \"left\"\nnormal = \"outer\"");
    bad("normal road", &layout, 2, "layout.toml:10:10", "write one of `straight` and `diverging`");
    let layout = GOOD.replace("throws = \"T1\"", "throws = \"T1.ac\"");
    bad("tie bar", &layout, 2, "layout.toml:25:10", "it has one tie bar");
}

/// A loop: out by one road, back by the other.
const BALLOON: [(&str, &str); 2] = [
    (
        "loop   = { from = \"T1.straight\",  to = \"buffer\" }",
        "loop   = { from = \"T1.straight\",  to = \"T1.diverging\", length = \"800 mm\" }",
    ),
    ("siding = {", "# siding = {"),
];

#[test]
fn a_reversing_section_shorter_than_the_train() {
    let looped = BALLOON.iter().fold(GOOD.to_string(), |text, (old, new)| text.replace(old, new));
    let layout = looped.replace("gauge   =", "longest-train = \"900 mm\"\ngauge   =");
    bad("short section", &layout, 1, "layout.toml:16:1", "or run shorter trains");
    let section = "[section.main]\n[section.back]\nfeed = \"reversing\"\n\n[turnout.T1]\nsection = \"main\"";
    let layout =
        GOOD.replace("[turnout.T1]", section).replace("siding = {", "siding = { section = \"back\",");
    bad("no reversing", &layout, 1, "layout.toml:9:10", "feed = \"shared\"");
}

#[test]
fn compositions_that_cannot_be() {
    let with = |what: &str| GOOD.replace("[track]", &format!("{what}\n[track]"));
    let layout = with("[ladder.L1]\nroads = 1\nhand = \"left\"\nfrog = \"live\"\n");
    bad("one road", &layout, 2, "layout.toml:14:9", "2 or more");
    let crossover = with("[crossover.X1]\nhand = \"left\"\nfrog = \"live\"\n");
    let layout = crossover.replace(
        "loop   = { from = \"T1.straight\",  to = \"buffer\"",
        "loop   = { from = \"T1.straight\",  to = \"X1.toe\"",
    );
    bad("unknown end", &layout, 2, "layout.toml:19:40", "its ends are `X1.a`, `X1.b`, `X1.c` and `X1.d`");
}

#[test]
fn three_mistakes_are_told_at_once() {
    let layout =
        GOOD.replace("gauge ", "guage ").replace("4.5 ohm", "4.5 V").replace("\"left\"", "\"lefft\"");
    let ended = Shop::with(&layout).run(&["check", "layout.toml"]);
    insta::assert_snapshot!("three_mistakes", page(&ended));
}

#[test]
fn a_design_with_errors_ends_with_one() {
    // A maintained toggle on a solenoid would burn the coil: the file is right, the design is not.
    let layout = GOOD.replace("momentary toggle", "maintained toggle");
    bad("design", &layout, 1, "layout.toml:26:10", "momentary toggle");
}

/// With capacitors of the builder's own.
fn with_stock(stock: &str) -> String {
    format!("{GOOD}\n[capacitor]\nstock = {stock}\n")
}

#[test]
fn no_capacitor_is_enough() {
    let layout = with_stock("[\"470 uF\"]");
    bad("too weak", &layout, 1, "layout.toml:24:10", "what would help, the best first");
    let ended = Shop::with(&layout).run(&["check", "layout.toml"]);
    insta::assert_snapshot!("bank_too_weak", page(&ended));
}

#[test]
fn absurd_capacitors() {
    bad("farads", &with_stock("[\"4700 F\"]"), 2, "layout.toml:33:", "write microfarads");
    bad("no unit", &with_stock("[4700]"), 2, "layout.toml:33:", "uF");
}

#[test]
fn a_bank_that_may_not_be_touched() {
    let layout = GOOD.replace("16 V AC", "58 V DC");
    bad("60 V", &layout, 1, "layout.toml:28:9", "lower voltage");
}

#[test]
fn a_missing_file_is_named_with_its_neighbours() {
    let shop = Shop::empty();
    let alone = shop.run(&["check", "layuot.toml"]);
    shop.put("layout.toml", GOOD);
    shop.put("shed.toml", GOOD);
    let near = shop.run(&["build", "layuot.toml"]);
    let astray = shop.run(&["check", "nowhere/layout.toml"]);
    insta::assert_snapshot!("missing_file", [page(&alone), page(&near), page(&astray)].join("\n"));
}

#[test]
fn a_folder_is_no_layout_file() {
    let shop = Shop::empty();
    shop.put("empty/readme.txt", "");
    shop.put("mine/layout.toml", GOOD);
    shop.put("other/yard.toml", GOOD);
    let pages: Vec<String> = ["empty", "mine", "other"].map(|f| page(&shop.run(&["build", f]))).into();
    insta::assert_snapshot!("folder", pages.join("\n"));
}

#[test]
fn what_is_no_text_is_refused_with_its_line() {
    let shop = Shop::empty();
    shop.put("layout.toml", b"format = 1\nname = \"\xff\"\n");
    let ended = shop.run(&["check", "layout.toml"]);
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("layout.toml:2: this is not UTF-8 text"), "{}", ended.err);
    assert!(ended.err.contains("help: open the file in a text editor"), "{}", ended.err);
}

#[test]
fn a_file_without_end_is_refused() {
    let shop = Shop::empty();
    shop.put("layout.toml", vec![b'#'; 5 << 20]);
    let ended = shop.run(&["check", "layout.toml"]);
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("too large for a layout file"), "{}", ended.err);
}
