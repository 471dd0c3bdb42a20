//! The published truth tables come out of the one description of each formation.

use super::{Feed, Formation, Position, RailPlace, Rails, Side};
use crate::drives::{Decider, Feeds};
use crate::parse::{Document, Port, TurnoutId};
use crate::source::SourceFile;
use Position::{Normal as N, Reverse as R};

/// A layout of one turnout with a track at every port, all ends off the layout.
fn alone(kind: &str, more: &str) -> crate::Design {
    let ports: &[&str] = match kind {
        "three-way" => &["toe", "left", "straight", "right"],
        "diamond" | "single-slip" | "double-slip" => &["a", "b", "c", "d"],
        "wye" => &["toe", "left", "right"],
        "curved-left" | "curved-right" => &["toe", "outer", "inner"],
        _ => &["toe", "straight", "diverging"],
    };
    let mut text = format!(
        "format = 1\n[layout]\nname = \"x\"\ncontrol = \"dcc\"\n[drive.m]\nkind = \"slow-motion\"\n\
         [turnout.T1]\nkind = \"{kind}\"\nfrog = \"isolated-with-wire\"\n{more}\n[track]\n"
    );
    for port in ports {
        // a and c lead in, so that the upper rail is the left one everywhere.
        let (from, to) = match *port {
            "a" | "c" | "toe" => ("off the layout".to_owned(), format!("T1.{port}")),
            _ => (format!("T1.{port}"), "off the layout".to_owned()),
        };
        text += &format!("t-{port} = {{ from = \"{from}\", to = \"{to}\" }}\n");
    }
    let bars: &[&str] = match kind {
        "three-way" => &["T1.left", "T1.right"],
        "single-slip" | "double-slip" => &["T1.ac", "T1.bd"],
        "diamond" => &[],
        _ => &["T1"],
    };
    for (i, bar) in bars.iter().enumerate() {
        text += &format!("[control.S{i}]\nthrows = \"{bar}\"\nwith = \"maintained toggle\"\n");
    }
    let (design, found) = crate::design(&SourceFile::new("x.toml", text.as_str()));
    design.unwrap_or_else(|| panic!("{found:#?}\n{text}"))
}

fn formation(document: &Document) -> Formation {
    Formation::of(&document[TurnoutId(0)])
}

/// What a frog needs on a road, as the side of the reference rail that has that feed: of a turnout
/// the stock rails, of a diamond the upper (left) and lower (right) rail of road a–b.
fn need(rails: &Rails, document: &Document, name: &str, road: &str) -> Option<Side> {
    let formation = formation(document);
    let index = formation.roads().iter().position(|r| r.name() == road).unwrap();
    let frog = rails.frogs.iter().find(|f| rails[f.rail].name == format!("T1 {name}")).unwrap();
    let feed = frog.on(index)?.feed;
    Side::ALL.into_iter().find(|s| rails.road_feed(document, TurnoutId(0), 0, *s) == feed)
}

const LEFT: Option<Side> = Some(Side::Left);
const RIGHT: Option<Side> = Some(Side::Right);

/// Customary wiring as printed by clubs: right hand, straight over takes the right stock rail and
/// diverging the left; left hand the mirror image; a wye set left takes the right stock rail. A
/// curved turnout is as one of its hand (from memory).
#[test]
fn the_frog_takes_the_stock_rail_that_the_closed_blade_touches() {
    for (kind, road, side) in [
        ("left", "straight", LEFT),
        ("left", "diverging", RIGHT),
        ("right", "straight", RIGHT),
        ("right", "diverging", LEFT),
        ("curved-left", "outer", LEFT),
        ("curved-left", "inner", RIGHT),
        ("curved-right", "outer", RIGHT),
        ("curved-right", "inner", LEFT),
    ] {
        let d = alone(kind, "");
        assert_eq!(need(&d.rails, &d.document, "frog", road), side, "{kind} over {road}");
    }
    let d = alone("wye", "normal = \"right\"");
    assert_eq!(need(&d.rails, &d.document, "frog", "left"), RIGHT);
    assert_eq!(need(&d.rails, &d.document, "frog", "right"), LEFT);
    assert_eq!(formation(&d.document).road(N), Port::Right);
}

/// The table of a three-way as builders publish it (sodigi.com, new_page_9, second-hand by the
/// project's domain text 9.2), and the positions of its two bars.
#[test]
fn three_way() {
    let d = alone("three-way", "");
    for (road, left, centre, right) in
        [("left", RIGHT, RIGHT, None), ("straight", LEFT, None, RIGHT), ("right", None, LEFT, LEFT)]
    {
        let of = |frog| need(&d.rails, &d.document, frog, road);
        assert_eq!([of("left frog"), of("centre frog"), of("right frog")], [left, centre, right], "{road}");
    }
    let set = |setting: [Position; 2]| {
        let formation = formation(&d.document);
        formation.roads_at(&setting).iter().map(|r| formation.roads()[*r].name()).collect::<Vec<_>>()
    };
    assert_eq!(set([N, N]), ["straight"]);
    assert_eq!(set([R, N]), ["left"]);
    assert_eq!(set([N, R]), ["right"]);
    assert_eq!(set([R, R]), [""; 0]);
    // Two contacts for three frogs: left with centre, and right.
    assert_eq!(
        followed(&d),
        [("T1.left", vec!["left frog", "centre frog"]), ("T1.right", vec!["right frog"])]
    );
}

/// Which frogs follow which bar.
fn followed(d: &crate::Design) -> Vec<(&str, Vec<&str>)> {
    let name = |r: super::RailId| d.rails[r].name.strip_prefix("T1 ").unwrap();
    let mut list = Vec::new();
    for c in &d.plan.changeovers {
        let (Decider::Bar(bar), Feeds::Frogs(frogs)) = (c.decider, &c.feeds) else { continue };
        list.push((d.document[bar].name.as_str(), frogs.iter().map(|f| name(d.rails[*f].rail)).collect()));
    }
    list.sort();
    list
}

/// The table of slips and diamonds, upper rail = left, lower = right (domain text 9.2; each frog
/// switched by the motor of the opposite end: widely stated practice, from memory; it also follows
/// from geometry).
#[test]
fn slips_and_diamonds() {
    for (kind, roads) in [("diamond", 2), ("single-slip", 3), ("double-slip", 4)] {
        let d = alone(kind, "");
        let table = [("a-b", RIGHT, LEFT), ("c-d", LEFT, RIGHT), ("a-d", RIGHT, RIGHT), ("c-b", LEFT, LEFT)];
        for (road, west, east) in &table[..roads] {
            let of = |frog| need(&d.rails, &d.document, frog, road);
            assert_eq!([of("a-c frog"), of("b-d frog")], [*west, *east], "{kind} over {road}");
        }
        assert_eq!(d.rails.frogs.len(), 2, "{kind}: the obtuse crossings never change");
        if roads > 2 {
            assert_eq!(followed(&d), [("T1.ac", vec!["b-d frog"]), ("T1.bd", vec!["a-c frog"])], "{kind}");
        }
    }
    let d = alone("double-slip", "");
    let set = |setting: [Position; 2]| {
        let formation = formation(&d.document);
        formation.roads_at(&setting).iter().map(|r| formation.roads()[*r].name()).collect::<Vec<_>>()
    };
    assert_eq!([set([N, N]), set([R, N]), set([R, R]), set([N, R])], [["a-b"], ["a-d"], ["c-d"], ["c-b"]]);
}

/// Where the bars must agree, no motor contact tells which of two roads is used.
#[test]
fn a_slip_whose_bars_agree_follows_no_bar_of_its_own() {
    let text = "format = 1\n[layout]\nname = \"x\"\ncontrol = \"dcc\"\n[drive.m]\nkind = \"slow-motion\"\n\
        [turnout.T1]\nkind = \"double-slip\"\nblades = \"both-agree\"\nfrog = \"live\"\n[track]\n\
        a = { from = \"off the layout\", to = \"T1.a\" }\nb = { from = \"T1.b\", to = \"buffer\" }\n\
        c = { from = \"off the layout\", to = \"T1.c\" }\nd = { from = \"T1.d\", to = \"buffer\" }\n\
        [control.S1]\nthrows = \"T1\"\nwith = \"maintained toggle\"\n";
    let (design, found) = crate::design(&SourceFile::new("x.toml", text));
    let d = design.unwrap_or_else(|| panic!("{found:#?}"));
    assert_eq!(followed(&d), []);
    let selectors: Vec<_> = d.plan.selectors.iter().map(|s| s.positions.clone()).collect();
    assert_eq!(selectors, [["a-b, a-d", "c-d, c-b"], ["a-b, c-b", "c-d, a-d"]]);
}

/// A figure of eight meets itself with its rails the other way round: the acute frogs stay and the
/// obtuse crossings switch, with joints in the outer rails (plain geometry, trade text 5.17).
#[test]
fn in_a_figure_of_eight_the_obtuse_crossings_switch() {
    let text = "format = 1\n[layout]\nname = \"x\"\ncontrol = \"dc\"\n\
        [turnout.X]\nkind = \"diamond\"\nfrog = \"live\"\n[track]\n\
        one = { from = \"X.b\", to = \"X.d\" }\ntwo = { from = \"X.a\", to = \"X.c\" }\n\
        t = { from = \"T1.toe\", to = \"buffer\" }\ns = { from = \"T1.straight\", to = \"buffer\" }\n\
        d = { from = \"T1.diverging\", to = \"buffer\" }\n\
        [turnout.T1]\nkind = \"left\"\nfrog = \"live\"\n[drive.m]\nkind = \"slow-motion\"\n\
        [control.S1]\nthrows = \"T1\"\nwith = \"maintained toggle\"\n";
    let (design, found) = crate::design(&SourceFile::new("x.toml", text));
    let d = design.unwrap_or_else(|| panic!("{found:#?}"));
    let names: Vec<&str> = d
        .rails
        .frogs
        .iter()
        .filter(|f| matches!(d.rails[f.rail].place, RailPlace::Frog(TurnoutId(0), _)))
        .map(|f| d.rails[f.rail].name.as_str())
        .collect();
    assert_eq!(names, ["X a-d crossing", "X c-b crossing"]);
    assert!(d.rails.reversing.is_empty());
    let feeds = |f: Feed| d.rails.rails.iter().filter(|r| r.feed() == Some(f)).count();
    assert_eq!(feeds(Feed::A), feeds(Feed::B));
}
