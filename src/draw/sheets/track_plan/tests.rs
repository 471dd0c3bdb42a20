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
        let feed = design.rails.rails[d.rail.0].feed.unwrap().letter();
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
    for (name, text) in EXAMPLES {
        let design = designed(name, text);
        for page in sheets(&design, PageFormat::A4) {
            let svg = crate::export::svg::svg(&page.scene);
            let png = crate::export::png::png(&svg, 150.0).unwrap();
            std::fs::write(format!("{dir}/{name}-{}.png", page.scene.slug), png).unwrap();
        }
    }
}
