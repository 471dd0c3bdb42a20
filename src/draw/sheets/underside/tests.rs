use super::*;
use crate::draw::overlap;
use crate::draw::sheets::track_plan::tests::{EXAMPLES, designed, framed};

const FORMATS: [PageFormat; 3] = [PageFormat::A4, PageFormat::A3, PageFormat::Letter];

fn sheets(design: &Design, format: PageFormat) -> Vec<Page> {
    underside(design, format, &mut framed(format))
}

#[test]
fn every_board_with_places_is_drawn_without_a_fault() {
    for (name, text) in EXAMPLES {
        let design = designed(name, text);
        for format in FORMATS {
            let pages = sheets(&design, format);
            let boards = design.document.boards.iter().filter(|b| b.size.is_some()).count();
            assert!(pages.len() >= boards && pages.len() <= 2 * boards, "{name} {format:?}: {}", pages.len());
            for page in &pages {
                let faults = overlap::check(&page.scene).faults;
                assert!(faults.is_empty(), "{name} {}: {faults:#?}", page.scene.slug);
            }
        }
    }
}

#[test]
fn every_hole_and_drive_is_named_once() {
    for (name, text) in EXAMPLES {
        let design = designed(name, text);
        let pages = sheets(&design, PageFormat::A4);
        if pages.is_empty() {
            continue;
        }
        let count =
            |want: &str| pages.iter().flat_map(|p| p.scene.texts()).filter(|t| t.content == want).count();
        for t in &design.document.turnouts {
            let hand = crate::draw::sheets::track_plan::hand(*t.kind);
            assert_eq!(count(&format!("{} {hand}", *t.name)), 1, "{name} {}", *t.name);
        }
        for (i, d) in design.rails.droppers.iter().enumerate() {
            let feed = design.rails.rails[d.rail.0].feed.unwrap().letter();
            let label = format!("D{} {feed}", i + 1);
            assert_eq!(count(&label), 1, "{name} {label}");
        }
    }
}

#[test]
#[ignore = "writes pictures for people to look at"]
fn draw_the_undersides() {
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
