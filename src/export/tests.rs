//! The exporters together: same scene, same picture, same bytes.

use super::{gallery, pdf::pdf, svg::svg};
use crate::draw::page::PageFormat;
use crate::draw::scene::{Anchor, Ink, Role, Scene, Stroke};
use crate::geom::point;

fn tiny() -> Scene {
    let mut s = Scene::new("tiny", "Tiny & small", 30.0, 20.0);
    let white = Stroke { edge: Some(Ink::BLACK), ..Stroke::solid(0.35, Ink::WHITE) };
    s.wire(vec![point(5.0, 10.0), point(25.0, 10.0)], white, "frog T1", Some("12"));
    s.circle(point(15.0, 10.0), 0.7, None, Some(Ink::BLACK), Role::Junction { net: "frog T1".into() });
    s.pin(point(5.0, 10.0), "S1:2", "frog T1");
    s.line(
        point(5.0, 15.0),
        point(25.0, 1.0 / 3.0),
        Stroke::solid(0.7, Ink(200, 16, 46)),
        Role::Rail { rail: "A".into() },
    );
    s.bold(point(15.0, 5.0), 2.5, Anchor::Middle, "<12> W\u{1}H\n0.5");
    s
}

#[test]
fn the_svg_of_a_tiny_scene() {
    insta::assert_snapshot!(svg(&tiny()), @"");
}

#[test]
fn svg_holds_every_text_and_role_and_is_well_formed() {
    let page = gallery::sheet(PageFormat::A4, false);
    let text = svg(&page.scene);
    let xml = roxmltree::Document::parse(&text).unwrap();
    let texts = xml.descendants().filter(|n| n.has_tag_name("text")).count();
    assert_eq!(texts, page.scene.texts().count());
    let with = |key: &str| xml.descendants().filter(|n| n.attribute(key).is_some()).count();
    let roles = |f: fn(&Role) -> bool| {
        let role = |i: &crate::draw::scene::Item| match i {
            crate::draw::scene::Item::Path(p) => f(&p.role),
            crate::draw::scene::Item::Circle { role, .. } => f(role),
            crate::draw::scene::Item::Text(_) => false,
        };
        page.scene.items.iter().filter(|i| role(i)).count()
    };
    assert_eq!(with("data-wire"), roles(|r| matches!(r, Role::Wire { wire: Some(_), .. })));
    assert_eq!(with("data-pin"), roles(|r| matches!(r, Role::Pin { .. })));
    assert_eq!(with("data-rail"), roles(|r| matches!(r, Role::Rail { .. })));
    assert!(with("data-net") > with("data-wire"));
}

#[test]
fn the_same_sheets_give_the_same_pdf() {
    let book = || pdf("Gallery", &[gallery::sheet(PageFormat::A4, true).scene, tiny()]).unwrap();
    let (one, two) = (book(), book());
    assert!(one == two);
    assert!(one.starts_with(b"%PDF-"));
    let holds = |needle: &[u8]| one.windows(needle.len()).any(|w| w == needle);
    assert!(!holds(b"CreationDate") && holds(b"/Outlines"));
}

#[test]
fn a_sheet_without_area_is_refused() {
    assert!(pdf("Book", &[Scene::new("s", "S", 0.0, 20.0)]).is_err());
}
