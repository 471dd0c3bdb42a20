use super::*;
use crate::draw::overlap;
use crate::draw::scene::Scene;
use crate::source::SourceFile;

pub(crate) const EXAMPLES: [(&str, &str); 4] = [
    ("single-turnout", include_str!("../../../../examples/single-turnout/layout.toml")),
    ("quarry-tramway", include_str!("../../../../examples/quarry-tramway/layout.toml")),
    ("dockside-yard", include_str!("../../../../examples/dockside-yard/layout.toml")),
    ("branch-terminus", include_str!("../../../../examples/branch-terminus/layout.toml")),
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

/// Every joint, dropper, frog and turnout stands on the plan once.
fn assert_named_once(name: &str, design: &Design, scenes: &[&Scene]) {
    let count = |want: &dyn Fn(&str) -> bool| {
        scenes.iter().flat_map(|s| s.texts()).filter(|t| want(&t.content)).count()
    };
    for i in 1..=design.rails.joints.len() {
        assert_eq!(count(&|t| t == format!("J{i}")), 1, "{name}: J{i}");
    }
    for (i, d) in design.rails.droppers.iter().enumerate() {
        let feed = design.rails.rails[d.rail.0].feed().unwrap().letter();
        assert_eq!(count(&|t| t == format!("D{} {feed}", i + 1)), 1, "{name}: D{}", i + 1);
    }
    for t in &design.document.turnouts {
        let (frog, insulated) = (format!("frog {}", *t.name), format!("frog {} insulated", *t.name));
        assert_eq!(count(&|c| c == t.name.value), 1, "{name}: {}", *t.name);
        assert_eq!(count(&|c| c == frog || c == insulated), 1, "{name}: {frog}");
    }
    for t in &design.document.tracks {
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
    let mut text = String::from(
        "format = 1\n[layout]\nname = \"Grown\"\ncontrol = \"dcc\"\ndate = 2026-11-25\n\
         [board.one]\nsize = [\"3000 mm\", \"600 mm\"]\n[turnout]\n",
    );
    let mut ports = Vec::new();
    for (i, kind) in kinds.iter().enumerate() {
        let (kind, heels) = match kind % 3 {
            0 => ("left", ["straight", "diverging"]),
            1 => ("right", ["straight", "diverging"]),
            _ => ("wye", ["left", "right"]),
        };
        let frog = ["live", "insulated", "isolated-with-wire"][usize::from(frogs[i % frogs.len()] % 3)];
        let place = if places && i % 3 == 0 {
            let heading = if i % 2 == 0 { 0 } else { 180 };
            format!(", toe = [\"{} mm\", \"200 mm\"], heading = \"{heading} deg\"", 100 + 75 * i)
        } else {
            String::new()
        };
        let normal = if kind == "wye" { ", normal = \"left\"" } else { "" };
        text += &format!("T{0} = {{ kind = \"{kind}\", frog = \"{frog}\"{normal}{place} }}\n", i + 1);
        ports.extend(["toe", heels[0], heels[1]].map(|p| format!("T{}.{p}", i + 1)));
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
    for i in 1..=kinds.len() {
        text += &format!("[control.S{i}]\nthrows = \"T{i}\"\nwith = \"momentary toggle\"\n");
    }
    text
}

/// Lines of different rails must not cross: what looks joined would be.
fn assert_no_crossing_rails(name: &str, design: &Design, format: PageFormat) {
    let course = Course::of(&design.document);
    let inner = Page::new(format, "", &TitleBlock::default(), false).inner;
    for part in parts(design, &course, inner) {
        let picture = Picture::of(design, &part, inner);
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
