//! Every symbol, stroke and page element on one sheet, to be looked at:
//! `cargo test gallery -- --ignored`, then see `target/gallery/`.

use super::{pdf::pdf, png::png, svg::svg};
use crate::draw::line::{HEAVY, THIN, WIRE};
use crate::draw::overlap;
use crate::draw::page::{Page, PageFormat, TitleBlock, caution_strip};
use crate::draw::scene::{Anchor, Dash, Ink, Role, Stroke};
use crate::draw::symbols::{CELL, SYMBOLS, bus_dot, resistor, terminal};
use crate::draw::text::lettering::{BODY, HEADING, SMALL};
use crate::geom::{Point, point};

/// The sheet; also the subject of other tests, because it has something of everything.
pub fn sheet(format: PageFormat, draft: bool) -> Page {
    let block = TitleBlock {
        title: "All symbols".into(),
        layout: "Gallery".into(),
        sheet: 1,
        of: 2,
        revision: "A".into(),
        date: "2026-05-02".into(),
        scale: "none".into(),
    };
    let mut page = Page::new(format, "gallery", &block, draft);
    let (inner, notes) = (page.inner, page.note_area);
    let scene = &mut page.scene;
    let columns = 6;
    for (i, entry) in SYMBOLS.iter().enumerate() {
        let (column, row) = (i % columns, i / columns);
        let left = inner.min.x + 5.0 + column as f64 * 42.5;
        let middle = inner.min.y + 12.5 + row as f64 * 27.5;
        (entry.draw)(scene, point(left, middle));
        scene.text(point(left + CELL.x / 2.0, middle + 13.75), SMALL, Anchor::Middle, entry.name);
    }
    strokes(scene, point(inner.min.x + 5.0, inner.min.y + 125.0));
    let caution = "Stored charge: C1 holds up to 1.4 J at 24 V. Switch off, wait 30 s, measure, then work.";
    let note = "Contacts are drawn with every turnout normal. Wire: number, colour (IEC 60757), mm².";
    caution_strip(scene, notes, &[caution], &[note]).expect("two notes fit");
    page
}

fn strokes(scene: &mut crate::draw::scene::Scene, at: Point) {
    let p = |x: f64, y: f64| point(at.x + x, at.y + y);
    let white = Stroke { edge: Some(Ink::BLACK), ..Stroke::solid(WIRE, Ink::WHITE) };
    let kinds = [
        ("1 GN 0.5", Stroke::solid(WIRE, Ink(0, 132, 61))),
        ("2 WH 0.5", white),
        ("3 YE 0.5", Stroke { ink: Ink(255, 205, 0), ..white }),
        ("4 BK 1.5", Stroke::solid(HEAVY, Ink::BLACK)),
    ];
    for (i, (name, stroke)) in kinds.into_iter().enumerate() {
        let y = 5.0 * i as f64;
        scene.text(p(2.5, y - 0.75), BODY, Anchor::Start, name);
        let net = format!("n{i}");
        scene.wire(vec![p(0.0, y), p(60.0, y)], stroke, &net, Some(name));
        scene.wire(
            vec![p(40.0 + 2.5 * i as f64, y), p(40.0 + 2.5 * i as f64, 20.0)],
            stroke,
            &net,
            Some(name),
        );
        for (k, end) in [p(0.0, y), p(60.0, y), p(40.0 + 2.5 * i as f64, 20.0)].into_iter().enumerate() {
            terminal::terminal(scene, end, format!("X:{i}.{k}"), &net);
        }
        bus_dot::bus_dot(
            scene,
            p(40.0 + 2.5 * i as f64, y),
            if i % 3 == 0 { stroke.ink } else { Ink::BLACK },
            net,
        );
    }
    let dash = |dash| Stroke { dash, ..Stroke::solid(THIN, Ink::BLACK) };
    scene.line(p(75.0, 0.0), p(105.0, 0.0), dash(Dash::Dashed), Role::Decoration);
    scene.line(p(75.0, 5.0), p(105.0, 5.0), dash(Dash::ChainDotted), Role::Decoration);
    let rail = Role::Rail { rail: "A".into() };
    scene.line(p(75.0, 10.0), p(105.0, 15.0), Stroke::solid(1.0, Ink(200, 16, 46)), rail);
    resistor::resistor(scene, p(115.0, 0.0), crate::draw::symbols::Axis::Vertical);
    scene.upright(p(112.5, 12.5), BODY, Anchor::Start, "4.7 Ω 5 W");
    scene.bold(p(122.5, 3.5), HEADING, Anchor::Start, "T1 → 4/C3");
    scene.text(p(122.5, 10.0), BODY, Anchor::Start, "Ω µ ° × → ≥ ² − ✓ □ ⚠ …");
    scene.text(p(122.5, 15.0), SMALL, Anchor::Start, "pin numbers 1 2 3, the smallest");
}

#[test]
fn the_gallery_has_no_fault() {
    for format in [PageFormat::A4, PageFormat::A3, PageFormat::Letter] {
        let faults = overlap::check(&sheet(format, true).scene).faults;
        assert!(faults.is_empty(), "{faults:#?}");
    }
}

#[test]
#[ignore = "writes pictures for people to look at"]
fn draw_the_gallery() {
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/target/gallery");
    std::fs::create_dir_all(dir).unwrap();
    let (a4, a3) = (sheet(PageFormat::A4, true), sheet(PageFormat::A3, false));
    let page = svg(&a4.scene);
    std::fs::write(format!("{dir}/a4.svg"), &page).unwrap();
    std::fs::write(format!("{dir}/a4.png"), png(&page, 150.0).unwrap()).unwrap();
    std::fs::write(format!("{dir}/book.pdf"), pdf("Gallery", &[a4.scene, a3.scene]).unwrap()).unwrap();
}
