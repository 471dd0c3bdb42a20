//! One scene of every kind of sheet, as text: what moves shows in review.
//!
//! `INSTA_UPDATE=always cargo test --test scenes` writes them anew; read the difference.

use std::fmt::Write;
use underboard::draw::scene::{Item, Role, Scene};
use underboard::source::SourceFile;

fn scenes(example: &str) -> Vec<Scene> {
    let path = format!("examples/{example}/layout.toml");
    let source = SourceFile::new(&path, std::fs::read_to_string(&path).unwrap());
    let (design, _) = underboard::design(&source);
    underboard::draw::sheets::draw(&design.unwrap(), false)
}

/// A line for each text and conductor, sorted, so that only what is seen counts and not the order
/// of painting; decoration and symbol strokes are counted.
fn summary(scene: &Scene) -> String {
    let (mut strokes, mut lines) = (0, Vec::new());
    for item in &scene.items {
        match item {
            Item::Text(t) => lines.push(format!(
                "text {:7.2} {:7.2} h{} {:?}{} {}",
                t.at.x,
                t.at.y,
                t.height,
                t.anchor,
                if t.upright { " upright" } else { "" },
                t.content
            )),
            Item::Path(p) => match &p.role {
                Role::Wire { net, wire } => {
                    let mut line = format!("wire {} [{net}]", wire.as_deref().unwrap_or("-"));
                    for q in &p.points {
                        let _ = write!(line, " {:.2},{:.2}", q.x, q.y);
                    }
                    lines.push(line);
                }
                Role::Rail { rail } => {
                    let mut line = format!("rail {rail}");
                    for q in &p.points {
                        let _ = write!(line, " {:.2},{:.2}", q.x, q.y);
                    }
                    lines.push(line);
                }
                _ => strokes += 1,
            },
            Item::Circle { centre, role, .. } => match role {
                Role::Pin { name, net } => {
                    lines.push(format!("pin {:.2},{:.2} {name} [{net}]", centre.x, centre.y));
                }
                Role::Junction { net } => lines.push(format!("dot {:.2},{:.2} [{net}]", centre.x, centre.y)),
                _ => strokes += 1,
            },
        }
    }
    lines.sort();
    format!("{} {}×{}, {strokes} strokes\n{}\n", scene.title, scene.width, scene.height, lines.join("\n"))
}

#[test]
fn every_sheet_of_the_quarry() {
    for scene in scenes("quarry-tramway") {
        insta::assert_snapshot!(format!("quarry-{}", scene.slug), summary(&scene));
    }
}

#[test]
fn a_servo_sheet_and_its_supply() {
    for scene in scenes("dockside-yard") {
        if scene.slug.starts_with("turnouts") || scene.slug.starts_with("supply") {
            insta::assert_snapshot!(format!("dockside-{}", scene.slug), summary(&scene));
        }
    }
}

#[test]
fn a_slow_motion_sheet_and_its_supply() {
    for scene in scenes("branch-terminus") {
        if scene.slug == "turnouts-t1" || scene.slug.starts_with("supply") {
            insta::assert_snapshot!(format!("branch-{}", scene.slug), summary(&scene));
        }
    }
}
