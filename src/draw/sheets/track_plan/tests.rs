use super::*;
use crate::draw::overlap;
use crate::draw::scene::Scene;
use crate::source::SourceFile;
use crate::track::{RailPlace, Side};

pub(crate) const EXAMPLES: [(&str, &str); 5] = [
    ("single-turnout", include_str!("../../../../examples/single-turnout/layout.toml")),
    ("quarry-tramway", include_str!("../../../../examples/quarry-tramway/layout.toml")),
    ("dockside-yard", include_str!("../../../../examples/dockside-yard/layout.toml")),
    ("branch-terminus", include_str!("../../../../examples/branch-terminus/layout.toml")),
    ("fiddle-yard", include_str!("../../../../examples/fiddle-yard/layout.toml")),
];

pub(crate) fn designed(name: &str, text: &str) -> Design {
    let (design, diagnostics) = crate::design(&SourceFile::new(name, text));
    design.unwrap_or_else(|| panic!("{name}: {diagnostics:#?}"))
}

pub(crate) fn framed(format: PageFormat) -> impl FnMut(&str, &str, &str) -> Page {
    let mut sheet = 0;
    move |slug, title, scale| {
        sheet += 1;
        let block = TitleBlock {
            title: title.into(),
            layout: "Test".into(),
            sheet,
            of: 9,
            revision: "A".into(),
            date: "2026-05-02".into(),
            scale: scale.into(),
        };
        Page::new(format, slug, &block, false)
    }
}

fn sheets(design: &Design, format: PageFormat) -> Vec<Page> {
    track_plan(design, format, &mut framed(format))
}

const FORMATS: [PageFormat; 3] = [PageFormat::A4, PageFormat::A3, PageFormat::Letter];

fn assert_sound(name: &str, design: &Design, pages: &[Page]) {
    for page in pages {
        let faults = overlap::check(&page.scene).faults;
        assert!(faults.is_empty(), "{name} {}: {faults:#?}", page.scene.slug);
    }
    let scenes: Vec<&Scene> = pages.iter().map(|p| &p.scene).collect();
    assert_named_once(name, design, &scenes);
}

/// The names that sheets say they leave out. A note is broken into lines.
pub(crate) fn left_out(scenes: &[&Scene], opening: &str) -> Vec<String> {
    let mut names = Vec::new();
    for scene in scenes {
        let lines: Vec<&str> = scene.texts().map(|t| t.content.as_str()).collect();
        let all = lines.join(" ");
        let Some((_, list)) = all.split_once(opening) else { continue };
        let list = list.split_once(". ").map_or(list.trim_end_matches('.'), |(list, _)| list);
        names.extend(list.split(", ").map(|n| n.trim_end_matches('.').to_owned()));
    }
    names
}

/// Every joint, dropper, frog and turnout stands on the plan once.
fn assert_named_once(name: &str, design: &Design, scenes: &[&Scene]) {
    // A crowded plan may leave a name out, but then it says which.
    let left_out = left_out(scenes, "Not named for lack of room: ");
    let count = |want: &dyn Fn(&str) -> bool| {
        let named = scenes.iter().flat_map(|s| s.texts()).filter(|t| want(&t.content)).count();
        named + left_out.iter().filter(|l| want(l)).count()
    };
    for i in 1..=design.rails.joints.len() {
        assert_eq!(count(&|t| t == format!("J{i}")), 1, "{name}: J{i}");
    }
    for (i, d) in design.rails.droppers.iter().enumerate() {
        let feed = design.rails.rails[d.rail.0].feed().unwrap().letter();
        assert_eq!(count(&|t| t == format!("D{} {feed}", i + 1)), 1, "{name}: D{}", i + 1);
    }
    for t in &design.document.turnouts {
        assert_eq!(count(&|c| c == t.name.value), 1, "{name}: {}", *t.name);
        let crossings = crate::track::Formation::of(t).crossings();
        for crossing in crossings {
            let frog = match crossings.len() {
                1 => format!("{crossing} {}", *t.name),
                _ => format!("{} {crossing}", *t.name),
            };
            let insulated = format!("{frog} insulated");
            assert_eq!(count(&|c| c == frog || c == insulated), 1, "{name}: {frog}");
        }
        if t.kind.bars().len() > 1 {
            for bar in t.kind.bars() {
                let bar = format!("{}.{bar}", *t.name);
                assert_eq!(count(&|c| c == bar), 1, "{name}: {bar}");
            }
        }
    }
    for (i, t) in design.document.tracks.iter().enumerate() {
        let zone = design.rails[design.rails.rail(RailPlace::Track(TrackId(i), Side::Left)).unwrap()].zone;
        if design.rails.is_reversing(zone) {
            let words = format!("reversing section {}", design.rails[zone].name);
            assert!(count(&|c| c == words) >= 1, "{name}: {words}");
        }
        assert_eq!(count(&|c| c == t.name.value), 1, "{name}: {}", *t.name);
    }
}

#[test]
fn every_example_is_drawn_without_a_fault_and_names_everything_once() {
    for (name, text) in EXAMPLES {
        let design = designed(name, text);
        for format in FORMATS {
            let pages = sheets(&design, format);
            assert!(pages.len() <= 2, "{name} {format:?}");
            assert_sound(name, &design, &pages);
        }
    }
}

#[test]
#[ignore = "writes pictures for people to look at"]
fn draw_the_examples() {
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/target/sheets");
    std::fs::create_dir_all(dir).unwrap();
    for (name, text) in EXAMPLES.into_iter().chain([("ladder", ladder().as_str())]) {
        let design = designed(name, text);
        for page in sheets(&design, PageFormat::A4) {
            let svg = crate::export::svg::svg(&page.scene);
            let png = crate::export::png::png(&svg, 150.0).unwrap();
            std::fs::write(format!("{dir}/{name}-{}.png", page.scene.slug), png).unwrap();
        }
    }
}

/// A layout file of `kinds.len()` turnouts, whose ports are joined in pairs as `links` says; what
/// is left over ends at a buffer stop. Every third turnout has a place.
pub(crate) fn grown(kinds: &[u8], links: &[(usize, usize)], places: bool, frogs: &[u8]) -> String {
    let plain: Vec<u8> = kinds.iter().map(|k| k % 3).collect();
    grown_of_all(&plain, links, places, frogs)
}

/// The same with every kind of formation.
fn grown_of_all(kinds: &[u8], links: &[(usize, usize)], places: bool, frogs: &[u8]) -> String {
    let mut text = String::from(
        "format = 1\n[layout]\nname = \"Grown\"\ncontrol = \"dcc\"\ndate = 2026-11-25\n\
         [board.one]\nsize = [\"3000 mm\", \"600 mm\"]\n[turnout]\n",
    );
    let mut ports = Vec::new();
    let mut controls = String::new();
    const CROSSING: [&str; 4] = ["a", "b", "c", "d"];
    for (i, kind) in kinds.iter().enumerate() {
        let (kind, ends, bars): (&str, &[&str], &[&str]) = match kind % 9 {
            0 => ("left", &["toe", "straight", "diverging"], &[""]),
            1 => ("right", &["toe", "straight", "diverging"], &[""]),
            2 => ("wye", &["toe", "left", "right"], &[""]),
            3 => ("curved-left", &["toe", "outer", "inner"], &[""]),
            4 => ("curved-right", &["toe", "outer", "inner"], &[""]),
            5 => ("three-way", &["toe", "left", "straight", "right"], &[".left", ".right"]),
            6 => ("diamond", &CROSSING, &[]),
            7 => ("single-slip", &CROSSING, &[".ac", ".bd"]),
            _ => ("double-slip", &CROSSING, &[".ac", ".bd"]),
        };
        let frog = ["live", "insulated", "isolated-with-wire"][usize::from(frogs[i % frogs.len()] % 3)];
        let place = if places && i % 3 == 0 {
            let heading = if i % 2 == 0 { 0 } else { 180 };
            let key = if ends[0] == "toe" { "toe" } else { "centre" };
            format!(", {key} = [\"{} mm\", \"200 mm\"], heading = \"{heading} deg\"", 100 + 75 * i)
        } else {
            String::new()
        };
        let normal = if kind == "wye" { ", normal = \"left\"" } else { "" };
        text += &format!("T{0} = {{ kind = \"{kind}\", frog = \"{frog}\"{normal}{place} }}\n", i + 1);
        ports.extend(ends.iter().map(|p| format!("T{}.{p}", i + 1)));
        for bar in bars {
            let name = format!("T{}{bar}", i + 1);
            let control = name.replace(['T', '.'], "");
            controls += &format!("[control.S{control}]\nthrows = \"{name}\"\nwith = \"momentary toggle\"\n");
        }
    }
    text += "[track]\n";
    let mut free: Vec<String> = ports;
    let mut number = 0;
    for (a, b) in links {
        if free.len() < 2 {
            break;
        }
        let first = free.remove(a % free.len());
        let second = free.remove(b % free.len());
        number += 1;
        text += &format!("line-{number} = {{ from = \"{first}\", to = \"{second}\" }}\n");
    }
    for port in free {
        number += 1;
        text += &format!("line-{number} = {{ from = \"{port}\", to = \"buffer\" }}\n");
    }
    text += "[drive.coil]\nkind = \"solenoid\"\ncontacts = 1\n";
    text + &controls
}

/// Lines of different rails must not cross: what looks joined would be.
fn assert_no_crossing_rails(name: &str, design: &Design, format: PageFormat) {
    let course = Course::of(&design.document);
    let look = Look { design, state: None };
    let inner = Page::new(format, "", &TitleBlock::default(), false).inner;
    for part in parts(&look, &course, inner) {
        let picture = Picture::of(&look, &part, inner);
        for (i, a) in picture.roads.iter().enumerate() {
            for b in &picture.roads[i + 1..] {
                for s in a.windows(2) {
                    for t in b.windows(2) {
                        let d = crate::draw::place::offset::crossing((s[0], s[1]), (t[0], t[1]));
                        let within = |p: crate::geom::Point, w: &[crate::geom::Point]| {
                            Rect::around(w[0], w[1]).inflate(-0.01).contains(p)
                                || (w[0].y == w[1].y && p.x > w[0].x.min(w[1].x) && p.x < w[0].x.max(w[1].x))
                        };
                        let crossed = d.is_some_and(|p| within(p, s) && within(p, t));
                        assert!(!crossed, "{name}: roads cross at {d:?}");
                    }
                }
            }
        }
    }
}

/// Layouts of a few formations, with and without places.
fn patterns() -> Vec<(String, String)> {
    // Name and kind, place of toe or middle, heading.
    type Formation = (&'static str, &'static str, (u32, u32), u32);
    let whole =
        |name: &str, turnouts: &[Formation], tracks: &[(&str, &str, &str)], frog: &str, placed: bool| {
            let mut text = format!(
                "format = 1\n[layout]\nname = \"{name}\"\ncontrol = \"dcc\"\n[defaults]\nfrog = \"{frog}\"\n\
             [board.one]\nsize = [\"2400 mm\", \"600 mm\"]\n[turnout]\n"
            );
            for (name, kind, (x, y), heading) in turnouts {
                let key = if kind.contains("slip") || *kind == "diamond" { "centre" } else { "toe" };
                let normal = if *kind == "wye" { ", normal = \"left\"" } else { "" };
                let place = match placed {
                    true => format!(", {key} = [\"{x} mm\", \"{y} mm\"], heading = \"{heading} deg\""),
                    false => String::new(),
                };
                text += &format!("{name} = {{ kind = \"{kind}\"{normal}{place} }}\n");
            }
            text += "[track]\n";
            for (name, from, to) in tracks {
                text += &format!("{name} = {{ from = \"{from}\", to = \"{to}\", length = \"900 mm\" }}\n");
            }
            text + "[drive.motor]\nkind = \"slow-motion\"\ncontacts = 2\n"
        };
    const OFF: &str = "off the layout";
    let crossing =
        [("nw", OFF, "T1.a"), ("se", "T1.b", OFF), ("sw", "buffer", "T1.c"), ("ne", "T1.d", "buffer")];
    let three = [
        ("lead", OFF, "T1.toe"),
        ("one", "T1.left", "buffer"),
        ("two", "T1.straight", "buffer"),
        ("three", "T1.right", OFF),
    ];
    let scissors = [
        ("up-west", OFF, "T1.toe"),
        ("up", "T1.straight", "T3.straight"),
        ("up-east", "T3.toe", OFF),
        ("down-west", OFF, "T2.toe"),
        ("down", "T2.straight", "T4.straight"),
        ("down-east", "T4.toe", OFF),
        ("x1", "T1.diverging", "X.a"),
        ("x2", "X.b", "T4.diverging"),
        ("x3", "T2.diverging", "X.c"),
        ("x4", "X.d", "T3.diverging"),
    ];
    let loops = [("main", OFF, "T1.toe"), ("loop", "T1.straight", "T1.diverging")];
    let triangle = [
        ("west", OFF, "T1.toe"),
        ("east", OFF, "T2.toe"),
        ("south", OFF, "T3.toe"),
        ("base", "T1.straight", "T2.diverging"),
        ("leg-1", "T1.diverging", "T3.right"),
        ("leg-2", "T2.straight", "T3.left"),
    ];
    let throat = [
        ("up-main", OFF, "T1.toe"),
        ("up-2", "T1.straight", "X1.a"),
        ("up-3", "X1.b", "T4.toe"),
        ("down-main", OFF, "T5.toe"),
        ("down-2", "T5.straight", "T2.a"),
        ("link-1", "T5.diverging", "X1.c"),
        ("yard-lead", "buffer", "T2.c"),
        ("bay", "T1.diverging", "buffer"),
        ("link-2", "X1.d", "buffer"),
        ("down-3", "T2.b", "T3.toe"),
        ("link-3", "T2.d", "T4.diverging"),
        ("p1", "T4.straight", "buffer"),
        ("p2", "T3.left", "buffer"),
        ("p3", "T3.straight", "buffer"),
        ("p4", "T3.right", "buffer"),
    ];
    let mut made = Vec::new();
    for placed in [false, true] {
        for frog in ["live", "insulated", "isolated-with-wire"] {
            let mut add = |name: &str, turnouts: &[Formation], tracks: &[(&str, &str, &str)]| {
                let text = whole(name, turnouts, tracks, frog, placed);
                made.push((format!("{name}, {frog}{}", if placed { ", placed" } else { "" }), text));
            };
            add("three-way", &[("T1", "three-way", (300, 300), 180)], &three);
            for kind in ["diamond", "single-slip", "double-slip"] {
                add(kind, &[("T1", kind, (300, 300), 180)], &crossing);
            }
            let four = [
                ("T1", "right", (200, 300), 0),
                ("T2", "left", (200, 240), 0),
                ("T3", "left", (900, 300), 180),
                ("T4", "right", (900, 240), 180),
                ("X", "diamond", (550, 270), 0),
            ];
            add("scissors", &four, &scissors);
            add("loop", &[("T1", "left", (900, 300), 0)], &loops);
            let corners = [
                ("T1", "left", (300, 400), 0),
                ("T2", "left", (1200, 400), 180),
                ("T3", "wye", (700, 100), 90),
            ];
            add("triangle", &corners, &triangle);
            let station = [
                ("T1", "left", (200, 340), 0),
                ("T2", "double-slip", (700, 250), 0),
                ("T3", "three-way", (1100, 250), 0),
                ("T4", "right", (1000, 340), 0),
                ("T5", "left", (250, 250), 0),
                ("X1", "diamond", (600, 340), 0),
            ];
            add("throat", &station, &throat);
        }
    }
    made
}

#[test]
fn every_formation_is_drawn_without_a_fault_and_names_everything_once() {
    for (name, text) in patterns() {
        let design = designed(&name, &text);
        for format in FORMATS {
            let pages = sheets(&design, format);
            assert!(pages.len() <= 3, "{name} {format:?}");
            assert_sound(&name, &design, &pages);
        }
    }
}

/// Everything normal, then every bar and selector reverse.
#[test]
fn a_setting_of_every_formation_is_drawn_without_a_fault() {
    use crate::drives::{Decider, SelectorId};
    use crate::proof::{Positions, State};
    let examples = EXAMPLES.into_iter().map(|(name, text)| (name.to_owned(), text.to_owned()));
    for (name, text) in examples.chain(patterns()) {
        let d = designed(&name, &text);
        let bars = (0..d.document.bars.len()).map(|b| Decider::Bar(crate::parse::BarId(b)));
        let selectors = (0..d.plan.selectors.len()).map(|s| Decider::Selector(SelectorId(s)));
        let reverse: Positions =
            bars.chain(selectors).map(|d| (d, crate::track::Position::Reverse)).collect();
        for positions in [Positions::new(), reverse] {
            let state = State::of(&d.document, &d.rails, &d.plan, &d.circuit, positions);
            let scenes = crate::draw::sheets::state(&d, &state, false);
            assert!(!scenes.is_empty());
            for scene in &scenes {
                let faults = overlap::check(scene).faults;
                assert!(faults.is_empty(), "{name} {}: {faults:#?}", scene.slug);
            }
            if let Ok(dir) = std::env::var("WRITE_STATES") {
                for scene in &scenes {
                    let png = crate::export::png::png(&crate::export::svg::svg(scene), 110.0).unwrap();
                    let reversed = if state.positions.is_empty() { "normal" } else { "reverse" };
                    std::fs::write(format!("{dir}/{name} {reversed} {}.png", scene.slug), png).unwrap();
                }
            }
        }
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(24))]

    #[test]
    fn any_layout_is_drawn_without_a_fault(
        kinds in proptest::collection::vec(0u8..3, 1..12),
        links in proptest::collection::vec((0usize..40, 0usize..40), 0..16),
        frogs in proptest::collection::vec(0u8..3, 1..4),
        places: bool,
    ) {
        let design = designed("grown", &grown(&kinds, &links, places, &frogs));
        let pages = sheets(&design, PageFormat::A4);
        assert_sound("grown", &design, &pages);
        assert_no_crossing_rails("grown", &design, PageFormat::A4);
    }

    #[test]
    fn any_layout_of_all_formations_is_drawn_without_a_fault(
        kinds in proptest::collection::vec(0u8..9, 1..9),
        links in proptest::collection::vec((0usize..40, 0usize..40), 0..14),
        frogs in proptest::collection::vec(0u8..3, 1..4),
        places: bool,
    ) {
        let design = designed("grown", &grown_of_all(&kinds, &links, places, &frogs));
        let pages = sheets(&design, PageFormat::A4);
        assert_sound("grown", &design, &pages);
        assert_no_crossing_rails("grown", &design, PageFormat::A4);
    }
}

/// Turnouts from toe to straight road, a siding at each.
fn ladder() -> String {
    let mut text = grown(&[0; 60], &[], false, &[0]);
    let cut = text.find("[track]\n").unwrap();
    let rest = text.split_off(cut);
    let controls = &rest[rest.find("[drive.coil]").unwrap()..];
    text += "[track]\nhead = { from = \"buffer\", to = \"T1.toe\" }\n";
    for i in 1..=60 {
        let to = if i < 60 { format!("T{}.toe", i + 1) } else { "buffer".into() };
        text += &format!("link-{i} = {{ from = \"T{i}.straight\", to = \"{to}\" }}\n");
        text += &format!("siding-{i} = {{ from = \"T{i}.diverging\", to = \"buffer\" }}\n");
    }
    text += controls;
    text
}

#[test]
fn a_ladder_of_sixty_turnouts_goes_onto_several_sheets() {
    let design = designed("ladder", &ladder());
    let pages = sheets(&design, PageFormat::A4);
    assert!(pages.len() >= 8, "{}", pages.len());
    assert_sound("ladder", &design, &pages);
}

/// A stable summary of a scene: how many strokes of each rail, and every word.
#[test]
fn the_plan_of_a_single_turnout_says_this() {
    let design = designed(EXAMPLES[0].0, EXAMPLES[0].1);
    let page = &sheets(&design, PageFormat::A4)[0];
    let mut words: Vec<&str> = page.scene.texts().map(|t| t.content.as_str()).collect();
    words.sort();
    let field = ["D1 A", "D2 B", "D3 A", "D4 B", "J1", "J2", "T1", "frog T1", "lead", "road", "siding"];
    for word in field {
        assert_eq!(words.iter().filter(|w| **w == word).count(), 1, "{word}");
    }
    let rails = |name: &str| {
        let is = |i: &&crate::draw::scene::Item| {
            matches!(i, crate::draw::scene::Item::Path(p)
                if p.role == crate::draw::scene::Role::Rail { rail: name.into() })
        };
        page.scene.items.iter().filter(is).count()
    };
    // Live frog: closure rails and vee rails are one metal.
    assert_eq!((rails("T1 frog"), rails("T1 left stock rail"), rails("lead left rail")), (4, 1, 1));
}
