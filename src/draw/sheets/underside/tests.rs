use super::*;
use crate::draw::overlap;
use crate::draw::sheets::track_plan::tests::{EXAMPLES, designed, framed, grown};

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
            let hand = crate::draw::sheets::hand(*t.kind);
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

#[test]
fn a_board_of_thirty_six_turnouts_is_drawn_without_a_fault() {
    // Twelve of them have places, one every 225 mm.
    let kinds: Vec<u8> = (0..36).map(|i| i % 3).collect();
    let design = designed("grown", &grown(&kinds, &[], true, &[0, 1, 2]));
    let pages = sheets(&design, PageFormat::A4);
    assert!(!pages.is_empty());
    for page in &pages {
        let faults = overlap::check(&page.scene).faults;
        assert!(faults.is_empty(), "{}: {faults:#?}", page.scene.slug);
    }
}

/// Hand-computed: the drive pin of a left-hand turnout whose toe is 310 mm from the left end, of
/// 9 mm gauge, heading right, is 319 mm from it; on a board of 1200 mm at 1:5 that is 63.8 mm of
/// paper left of the drawing's right side.
#[test]
fn the_hole_of_a_drive_is_mirrored_on_paper() {
    let text = EXAMPLES[1].1.replace("[\"150 mm\", \"180 mm\"]", "[\"310 mm\", \"180 mm\"]");
    let design = designed("quarry", &text);
    let page = &sheets(&design, PageFormat::A4)[0];
    let outline = |i: &crate::draw::scene::Item| match i {
        crate::draw::scene::Item::Path(p) if p.points.len() == 2 => Some((p.points[0], p.points[1])),
        _ => None,
    };
    let lines: Vec<(Point, Point)> = page.scene.items.iter().filter_map(outline).collect();
    // The board's front edge is the one stroke of 240 mm at the bottom.
    let front = lines.iter().filter(|(a, b)| a.y == b.y && ((a.x - b.x).abs() - 240.0).abs() < 1e-6);
    let (a, b) = front.max_by(|m, n| m.0.y.total_cmp(&n.0.y)).unwrap();
    let want = point(a.x.max(b.x) - 63.8, a.y - 36.0);
    let holes: Vec<Point> = page
        .scene
        .items
        .iter()
        .filter_map(|i| match i {
            crate::draw::scene::Item::Circle { centre, .. } => Some(*centre),
            _ => None,
        })
        .collect();
    assert!(holes.iter().any(|h| h.distance(want) < 1e-6), "{want:?} {holes:?}");
}
