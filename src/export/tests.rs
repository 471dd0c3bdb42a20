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
    insta::assert_snapshot!(svg(&tiny()), @r##"
    <svg height="20mm" viewBox="0 0 30 20" width="30mm" xmlns="http://www.w3.org/2000/svg">
    <title>Tiny &amp; small</title>
    <rect fill="#fff" height="20" width="30"/>
    <g fill="none" font-family="DejaVu Sans, sans-serif" font-stretch="semi-condensed" stroke-linejoin="round" style="font-kerning:none">
    <polyline class="edge" points="5,10 25,10" stroke="#000000" stroke-width="0.65"/>
    <polyline class="wire" data-net="frog T1" data-wire="12" points="5,10 25,10" stroke="#ffffff" stroke-width="0.35"/>
    <circle class="junction" cx="15" cy="10" data-net="frog T1" fill="#000000" r="0.7"/>
    <circle class="pin" cx="5" cy="10" data-net="frog T1" data-pin="S1:2" r="0.1"/>
    <polyline class="rail" data-rail="A" points="5,15 25,0.33" stroke="#c8102e" stroke-width="0.7"/>
    <text fill="#000000" font-size="3.43" font-weight="bold" text-anchor="middle" x="15" y="5">
    &lt;12&gt; WH 0.5
    </text>
    </g>
    </svg>
    "##);
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
