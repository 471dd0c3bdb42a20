//! What the commands do when all is well.

use crate::{GOOD, Shop, page};

#[test]
fn help() {
    let shop = Shop::empty();
    insta::assert_snapshot!("help", page(&shop.run(&["--help"])));
    for command in ["build", "check", "new", "schema", "throw"] {
        insta::assert_snapshot!(format!("help_{command}"), page(&shop.run(&[command, "--help"])));
    }
}

#[test]
fn wrong_usage_ends_with_two() {
    let shop = Shop::empty();
    for arguments in [
        &[][..],
        &["bulid"],
        &["build"],
        &["check", "a", "b"],
        &["build", "a", "--png=9"],
        &["build", "a", "--png=90000"],
        &["build", "a", "--png=fine"],
    ] {
        let ended = shop.run(arguments);
        assert_eq!((ended.code, ended.out.as_str()), (2, ""), "{arguments:?}");
        assert!(ended.err.contains("--help") || ended.err.contains("Usage"), "{}", ended.err);
    }
}

#[test]
fn new_then_build() {
    let shop = Shop::empty();
    assert_eq!(shop.run(&["new"]).code, 0);
    let ended = shop.run(&["build", "layout.toml", "--out", "book"]);
    assert_eq!(ended.code, 0, "{}", page(&ended));
    assert!(!ended.err.contains("error"), "{}", ended.err);
    for name in ["circuit.json", "sizing.json", "sizing.md", "tables/parts.csv", "tables/terminals.md"] {
        assert!(!shop.read(&format!("book/{name}")).is_empty(), "{name}");
    }
}

#[test]
fn new_leaves_what_is_there() {
    let shop = Shop::with("mine");
    let ended = shop.run(&["new", "layout.toml"]);
    assert_eq!((ended.code, shop.read("layout.toml").as_str()), (2, "mine"));
    assert!(ended.err.contains("layout.toml exists and is left as it is"), "{}", ended.err);
    let folder = shop.run(&["new", "."]);
    assert_eq!(folder.code, 2);
    assert!(folder.err.contains("underboard new ./layout.toml"), "{}", folder.err);
    assert_eq!(shop.run(&["new", "deep/down/yard.toml"]).code, 0);
    assert_eq!(shop.read("deep/down/yard.toml"), underboard::parse::STARTER);
}

#[test]
fn schema_is_json() {
    let ended = Shop::empty().run(&["schema"]);
    let schema: serde_json::Value = serde_json::from_str(&ended.out).expect("it is JSON");
    assert!(schema["properties"]["turnout"].is_object(), "{schema}");
    assert_eq!((ended.code, ended.err.as_str()), (0, ""));
}

#[test]
fn the_folder_is_named_after_the_layout() {
    let shop = Shop::empty();
    shop.put("Dock Side/layout.toml", GOOD);
    shop.put("Old Yard.toml", GOOD);
    let first = shop.run(&["build", "Dock Side/layout.toml"]);
    assert!(first.out.contains("in out/dock-side: "), "{}", first.out);
    let second = shop.run(&["build", "Old Yard.toml"]);
    assert!(second.out.contains("in out/old-yard: "), "{}", second.out);
    assert!(shop.path("out/old-yard/circuit.json").is_file());
}

#[test]
fn a_draft_is_written_in_spite_of_errors_and_said_to_be_one() {
    let shop = Shop::with(&GOOD.replace("momentary toggle", "maintained toggle"));
    let refused = shop.run(&["build", "layout.toml", "--out", "book"]);
    assert_eq!((refused.code, refused.out.as_str()), (1, ""));
    assert!(refused.err.contains("Nothing written"), "{}", refused.err);
    assert!(!shop.path("book").exists());
    let draft = shop.run(&["build", "layout.toml", "--out", "book", "--draft"]);
    assert_eq!(draft.code, 1);
    assert!(draft.out.starts_with("Draft of Test in book"), "{}", draft.out);
    assert!(shop.path("book/DRAFT-circuit.json").is_file());
}

#[test]
fn a_draft_cannot_be_made_of_an_unusable_file() {
    let shop = Shop::with("format = 1\n");
    let ended = shop.run(&["build", "layout.toml", "--draft"]);
    assert_eq!(ended.code, 2);
    assert!(!shop.path("out").exists());
}

#[test]
fn colour_only_where_it_is_wanted() {
    let shop = Shop::with("");
    assert!(!shop.run(&["check", "layout.toml"]).err.contains('\x1b'));
    assert!(!shop.run(&["--color", "never", "check", "layout.toml"]).err.contains('\x1b'));
    assert!(shop.run(&["check", "layout.toml", "--color=always"]).err.contains('\x1b'));
    assert!(shop.run(&["check", "absent.toml", "--color=always"]).err.contains('\x1b'));
}

#[test]
fn sheets_are_numbered_drawings_one_pdf_and_pictures_on_request() {
    let shop = Shop::with(GOOD);
    let with = shop.run(&["build", "layout.toml", "--out", "book", "--png=40"]);
    assert_eq!(with.code, 0, "{}", page(&with));
    let (drawings, pictures) = (shop.files("book/sheets"), shop.files("book/png"));
    assert!(drawings[0].0.starts_with("01-") && drawings[0].0.ends_with(".svg"), "{:?}", drawings[0].0);
    assert_eq!(
        pictures.iter().map(|(n, _)| n.replace(".png", ".svg")).collect::<Vec<_>>(),
        drawings.iter().map(|(n, _)| n.clone()).collect::<Vec<_>>()
    );
    assert!(pictures.iter().all(|(_, bytes)| bytes.starts_with(b"\x89PNG")));
    let book = std::fs::read(shop.path("book/wiring-book.pdf")).expect("there is a PDF");
    assert!(book.starts_with(b"%PDF"));
    // Without the wish the pictures of the last build go, and nothing else.
    let without = shop.run(&["build", "layout.toml", "--out", "book"]);
    assert!(without.out.contains(&format!("{} removed", pictures.len())), "{}", without.out);
    assert!(!shop.path("book/png").exists());
    assert_eq!(shop.files("book/sheets"), drawings);
}
