use super::*;
use crate::draw::overlap;
use crate::draw::sheets::track_plan::tests::{EXAMPLES, designed, framed, grown};

const FORMATS: [PageFormat; 3] = [PageFormat::A4, PageFormat::A3, PageFormat::Letter];

/// The examples, and what no example has.
fn layouts() -> impl Iterator<Item = (&'static str, &'static str)> {
    let formations = include_str!("../../../tables/formations.toml");
    let throat = include_str!("../../../../examples/station-throat/layout.toml");
    EXAMPLES.into_iter().chain([("station-throat", throat), ("formations", formations)])
}

fn sheets(design: &Design, format: PageFormat) -> Vec<Page> {
    underside(design, format, &mut framed(format))
}

#[test]
fn every_board_with_places_is_drawn_without_a_fault() {
    for (name, text) in layouts() {
        let design = designed(name, text);
        for format in FORMATS {
            let pages = sheets(&design, format);
            let boards = design.document.boards.iter().filter(|b| b.size.is_some()).count();
            assert!(
                pages.len() >= boards && pages.len() <= 14 * boards,
                "{name} {format:?}: {}",
                pages.len()
            );
            for page in &pages {
                let faults = overlap::check(&page.scene).faults;
                assert!(faults.is_empty(), "{name} {}: {faults:#?}", page.scene.slug);
            }
        }
    }
}

#[test]
fn every_hole_and_drive_is_named_once() {
    for (name, text) in layouts() {
        let design = designed(name, text);
        let pages = sheets(&design, PageFormat::A4);
        if pages.is_empty() {
            continue;
        }
        // A crowded board may leave a label out, but then the sheet says which.
        let scenes: Vec<&crate::draw::scene::Scene> = pages.iter().map(|p| &p.scene).collect();
        let left_out =
            crate::draw::sheets::track_plan::tests::left_out(&scenes, "Not labelled for lack of room: ");
        let count = |want: &str| {
            let named = pages.iter().flat_map(|p| p.scene.texts()).filter(|t| t.content == want).count();
            named + left_out.iter().filter(|l| *l == want).count()
        };
        let texts = |named: &str| {
            let all = pages.iter().flat_map(|p| p.scene.texts());
            let labels = all.filter(|t| t.content.ends_with(named)).count();
            labels + left_out.iter().filter(|l| l.ends_with(named)).count()
        };
        for bar in (0..design.document.bars.len()).map(crate::parse::BarId) {
            let hand = crate::draw::sheets::hand(*design.document.turnout_of(bar).kind);
            let named = format!(" {} {hand}", design.document[bar].name);
            assert_eq!(texts(&named), 1, "{name}{named}");
        }
        for t in design.document.turnouts.iter().filter(|t| t.kind.bars().is_empty()) {
            assert_eq!(texts(&format!("{} diamond crossing", *t.name)), 1, "{name} {}", *t.name);
        }
        for frog in (0..design.rails.frogs.len()).map(crate::track::FrogId) {
            let label = holes::frog_name(&design, frog);
            // A table has the rail's own name as well.
            let times = 2 + usize::from(label == design.rails[design.rails[frog].rail].name);
            assert_eq!(count(&label), times, "{name} {label}");
        }
        for (i, d) in design.rails.droppers.iter().enumerate() {
            let feed = design.rails.rails[d.rail.0].feed().unwrap().letter();
            let label = format!("D{} {feed}", i + 1);
            // Once on the board, once in the table of holes.
            assert_eq!(count(&label), 2, "{name} {label}");
        }
    }
}

/// On paper, between the middle of a hole and the middle of the bus.
#[test]
fn no_hole_lies_on_a_bus_of_the_other_feed() {
    let distance = crate::draw::place::offset::segment_distance;
    let mut examined = 0;
    for (name, text) in layouts() {
        let design = designed(name, text);
        let places = Places::of(&design);
        for format in FORMATS {
            for (i, board) in design.document.boards.iter().enumerate() {
                let id = BoardId(i);
                let drives = drives(&design, id);
                if board.size.is_none() || drives.is_empty() {
                    continue;
                }
                let inner = blank(format).inner;
                let sheets =
                    Sheets { design: &design, places: &places, id, drives: &drives, inner, table: true };
                for drawn in sheets.clearest(format).sheets {
                    for feed in crate::track::Feed::ALL {
                        let kind = crate::draw::sheets::track_function(&design, Some(feed));
                        let pen = crate::draw::ink::conductor(design.wiring.palette.colour(kind), 0.5);
                        let bus = drawn.items.iter().filter_map(|i| match i {
                            crate::draw::scene::Item::Path(p) if p.stroke == Some(pen) => Some(&p.points),
                            _ => None,
                        });
                        let bus: Vec<_> = bus.flat_map(|p| p.windows(2)).collect();
                        assert!(!bus.is_empty(), "{name} {format:?}: no bus");
                        let rail = |d: &crate::track::Dropper| &design.rails.rails[d.rail.0];
                        let droppers = design.rails.droppers.iter().filter(|d| d.board == id);
                        let droppers = droppers
                            .filter(|d| rail(d).feed() != Some(feed))
                            .filter_map(|d| Some(places.dropper(id, rail(d).place)?.at));
                        let frogs = holes::frogs(&design, id).filter_map(|f| places.frog(f));
                        for at in droppers.chain(frogs).map(|p| drawn.view.at(p)) {
                            let near = bus.iter().map(|w| distance(at, w[0], w[1])).fold(99.0, f64::min);
                            assert!(near >= 1.0, "{name} {format:?}: a hole {near:.2} mm from bus {feed:?}");
                            examined += 1;
                        }
                    }
                }
            }
        }
    }
    assert!(examined > 300, "{examined}");
}

/// Two turnouts that face each other: the diverging roads part by twelve degrees and cannot be
/// joined by a straight line; a line of which both headings agree can.
#[test]
fn only_what_runs_straight_on_is_drawn_through() {
    let design = designed(EXAMPLES[3].0, EXAMPLES[3].1);
    let places = Places::of(&design);
    let course = |name: &str| {
        let track = design.document.tracks.iter().position(|t| *t.name == name).unwrap();
        places.course(BoardId(0), crate::parse::TrackId(track)).cloned().unwrap()
    };
    for straight in ["platform", "dock", "goods-link", "engine-road"] {
        assert!(matches!(course(straight), courses::Course::Straight(_)), "{straight}");
    }
    for unknown in ["run-round", "crossover", "cattle-dock", "coal-road", "creamery-1"] {
        assert!(matches!(course(unknown), courses::Course::Stubs(_)), "{unknown}");
    }
}

#[test]
#[ignore = "writes pictures for people to look at"]
fn draw_the_undersides() {
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/target/sheets");
    std::fs::create_dir_all(dir).unwrap();
    for (name, text) in layouts() {
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

/// A diamond that joins turnouts of 12 degrees on both sides is one of 24; elsewhere it is one of 12.
#[test]
fn a_diamond_has_the_angle_that_its_neighbours_ask_for() {
    for (name, turnout, half) in [("station-throat", "X5", 12f64), ("formations", "D1", 6.0)] {
        let (_, text) = layouts().find(|(n, _)| *n == name).unwrap();
        let design = designed(name, text);
        let i = design.document.turnouts.iter().position(|t| *t.name == turnout).unwrap();
        let places = Places::of(&design);
        let diamond = places.footprints[i].as_ref().unwrap();
        let (_, way) = diamond.port(crate::parse::Port::D).unwrap();
        assert!((way.dot(diamond.heading) - half.to_radians().cos()).abs() < 1e-9, "{turnout}: {way:?}");
    }
}

/// Every track of the throat between two turnouts that lie in line is drawn straight through.
#[test]
fn the_throat_joins_without_bends() {
    let (name, text) = layouts().find(|(n, _)| *n == "station-throat").unwrap();
    let design = designed(name, text);
    let places = Places::of(&design);
    for track in
        ["scissors-1", "scissors-4", "diagonal-in", "diagonal-out", "up-inner", "down-link", "slip-up"]
    {
        let i = design.document.tracks.iter().position(|t| *t.name == track).unwrap();
        let t = &design.document.tracks[i];
        let course = places.course(t.board, crate::parse::TrackId(i)).cloned();
        assert!(matches!(course, Some(courses::Course::Straight(_))), "{track}: {course:?}");
    }
}

/// The buses of each section are drawn, under their names.
#[test]
fn every_section_has_its_bus() {
    let (name, text) = layouts().find(|(n, _)| *n == "formations").unwrap();
    let pages = sheets(&designed(name, text), PageFormat::A3);
    for bus in ["W1A", "W1B", "W1A2", "W1B2", "W1A3", "W1B3"] {
        let texts = pages.iter().flat_map(|p| p.scene.texts());
        assert!(texts.filter(|t| t.content == bus).count() > 0, "{bus}");
    }
}
