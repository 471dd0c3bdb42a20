//! The output folder: nothing of the builder's is ever lost, nothing is written in vain.

use std::fs;
use std::time::{Duration, SystemTime};

use crate::{GOOD, Shop, page};

const BUILD: [&str; 4] = ["build", "layout.toml", "--out", "book"];
const MANIFEST: &str = "book/underboard-files.txt";

/// How many files a book has, without the manifest.
fn size(shop: &Shop) -> usize {
    let names = shop.names("book");
    assert!(names.len() > 10, "{names:?}");
    names.len() - 1
}

#[test]
fn the_same_layout_gives_the_same_bytes() {
    let examples = ["single-turnout", "quarry-tramway", "branch-terminus", "dockside-yard", "fiddle-yard"];
    for example in examples {
        let path = format!("{}/examples/{example}/layout.toml", env!("CARGO_MANIFEST_DIR"));
        let layout = fs::read_to_string(path).expect("the example is there");
        let (first, second) = (Shop::with(&layout), Shop::with(&layout));
        let ended = [first.run(&BUILD), second.run(&BUILD)];
        assert_eq!(page(&ended[0]), page(&ended[1]), "{example}");
        let files = first.files("book");
        assert!(files.len() > 10, "{example}: {:?}", first.names("book"));
        assert_eq!(files, second.files("book"), "{example}");
    }
}

#[test]
fn the_manifest_lists_every_file() {
    let shop = Shop::with(GOOD);
    assert_eq!(shop.run(&BUILD).code, 0);
    let manifest = shop.read(MANIFEST);
    let listed: Vec<&str> =
        manifest.lines().skip(1).filter_map(|l| l.split_once("  ")).map(|(_, n)| n).collect();
    let mut present = shop.names("book");
    present.retain(|n| n != "underboard-files.txt");
    assert_eq!(listed, present);
}

#[test]
fn what_has_not_changed_is_not_written_again() {
    let shop = Shop::with(GOOD);
    shop.run(&BUILD);
    let long_ago = SystemTime::now() - Duration::from_secs(86_400);
    let names = shop.names("book");
    for name in &names {
        let file =
            fs::File::options().write(true).open(shop.path(&format!("book/{name}"))).expect("it opens");
        file.set_modified(long_ago).expect("its time can be set");
    }
    let again = shop.run(&BUILD);
    let expected = format!("0 files written, {} unchanged, 0 removed", names.len() - 1);
    assert!(again.out.contains(&expected), "{}", again.out);
    for name in &names {
        let time = fs::metadata(shop.path(&format!("book/{name}"))).and_then(|m| m.modified());
        assert_eq!(time.expect("it has a time"), long_ago, "{name} was touched");
    }
    // A change of one colour leaves alone what does not show it.
    shop.put("layout.toml", format!("{GOOD}\n[colours]\nother = \"PK\"\n"));
    let changed = shop.run(&BUILD);
    assert_eq!(changed.code, 0, "{}", page(&changed));
    let touched = |name: &str| {
        let time = fs::metadata(shop.path(&format!("book/{name}"))).and_then(|m| m.modified());
        time.expect("it has a time") != long_ago
    };
    assert!(touched("tables/wires.csv") && touched("circuit.json") && touched("underboard-files.txt"));
    assert!(!touched("sizing.json") && !touched("tables/joints.md"));
}

/// Runs a build that must be refused, and checks that not a byte moved.
fn refused(shop: &Shop, named: &str) {
    let before = shop.files("book");
    let ended = shop.run(&BUILD);
    assert_eq!(ended.code, 2, "{}", page(&ended));
    assert!(ended.err.contains(named), "{}", ended.err);
    assert!(ended.err.contains("help: move what you want to keep"), "{}", ended.err);
    assert_eq!(shop.files("book"), before);
}

#[test]
fn a_file_that_was_there_before_is_not_overwritten() {
    let shop = Shop::with(GOOD);
    shop.put("book/circuit.json", "my own notes");
    shop.put("book/tables/wires.csv", "mine too");
    refused(&shop, "  book/circuit.json\n  book/tables/wires.csv");
}

#[test]
fn an_edited_file_is_not_overwritten() {
    let shop = Shop::with(GOOD);
    shop.run(&BUILD);
    shop.put("book/tables/parts.md", "ordered on Monday");
    refused(&shop, "  book/tables/parts.md");
    let rest = size(&shop) - 1;
    // Put back or out of the way, the build goes on.
    fs::remove_file(shop.path("book/tables/parts.md")).expect("it can be removed");
    let ended = shop.run(&BUILD);
    assert!(ended.out.contains(&format!("1 file written, {rest} unchanged")), "{}", ended.out);
}

#[test]
fn without_the_manifest_nothing_that_differs_is_ours() {
    let shop = Shop::with(GOOD);
    shop.run(&BUILD);
    fs::remove_file(shop.path(MANIFEST)).expect("it can be removed");
    // The same content again needs no overwriting, and is taken up again.
    let again = shop.run(&BUILD);
    let expected = format!("0 files written, {} unchanged", size(&shop));
    assert!(again.out.contains(&expected), "{}", again.out);
    fs::remove_file(shop.path(MANIFEST)).expect("it can be removed");
    shop.put("layout.toml", GOOD.replace("\"Test\"", "\"Other\""));
    refused(&shop, "  book/circuit.json");
}

#[test]
fn a_folder_or_a_file_in_the_way_is_not_removed() {
    let shop = Shop::with(GOOD);
    shop.put("book/circuit.json/inside.txt", "mine");
    refused(&shop, "  book/circuit.json");
    let shop = Shop::with(GOOD);
    shop.put("book/tables", "a file, not a folder");
    refused(&shop, "  book/tables");
    let shop = Shop::with(GOOD);
    shop.put("book", "a file");
    let ended = shop.run(&BUILD);
    assert_eq!(ended.code, 2);
    assert!(ended.err.contains("book is a file, not a folder"), "{}", ended.err);
    assert_eq!(shop.read("book"), "a file");
}

#[test]
fn other_files_in_the_folder_are_left_alone() {
    let shop = Shop::with(GOOD);
    shop.put("book/notes.txt", "mine");
    shop.put("book/tables/prices.csv", "mine");
    assert_eq!(shop.run(&BUILD).code, 0);
    assert_eq!(
        (shop.read("book/notes.txt"), shop.read("book/tables/prices.csv")),
        ("mine".into(), "mine".into())
    );
}

/// FNV-1a with 64 bits, as the manifest uses it.
fn hash(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |h, b| (h ^ u64::from(b)).wrapping_mul(0x100_0000_01b3))
}

#[test]
fn files_that_are_no_longer_made_go_unless_they_were_changed() {
    let shop = Shop::with(GOOD);
    shop.run(&BUILD);
    let size = size(&shop);
    // As if an earlier book had had three more files, of which one was edited and one lies outside.
    let mut manifest = shop.read(MANIFEST);
    for (name, text) in [("png/09-old.png", "old"), ("sheets/09-old.svg", "old"), ("../outside.txt", "old")] {
        shop.put(&format!("book/{name}"), text);
        manifest += &format!("{:016x}  {name}\n", hash("old"));
    }
    shop.put(MANIFEST, &manifest);
    shop.put("book/sheets/09-old.svg", "edited");
    let ended = shop.run(&BUILD);
    assert_eq!(ended.code, 0, "{}", page(&ended));
    let expected = format!("0 files written, {size} unchanged, 1 removed");
    assert!(ended.out.contains(&expected), "{}", ended.out);
    assert!(!shop.path("book/png").exists(), "the folder is empty and goes too");
    assert_eq!(shop.read("book/sheets/09-old.svg"), "edited");
    assert_eq!(shop.read("outside.txt"), "old");
    assert!(!shop.read(MANIFEST).contains("old"));
}

#[test]
fn a_build_that_was_broken_off_can_be_run_again() {
    let shop = Shop::with(GOOD);
    shop.run(&BUILD);
    let old = shop.files("book");
    shop.put("layout.toml", GOOD.replace("\"Test\"", "\"Other\""));
    shop.run(&BUILD);
    // The manifest knew both books while the files were replaced; some still hold the old one.
    let mut manifest = shop.read(MANIFEST);
    let (_, old_manifest) = old.iter().find(|(n, _)| n == "underboard-files.txt").expect("it is listed");
    manifest += &String::from_utf8_lossy(old_manifest);
    shop.put(MANIFEST, manifest);
    let (_, old_sizing) = old.iter().find(|(n, _)| n == "sizing.md").expect("it is listed");
    shop.put("book/sizing.md", old_sizing);
    let ended = shop.run(&BUILD);
    assert_eq!(ended.code, 0, "{}", page(&ended));
    assert!(shop.read("book/sizing.md").contains("Other"));
    assert_eq!(shop.read(MANIFEST).lines().count(), 1 + size(&shop));
}

#[test]
fn no_temporary_file_is_left() {
    let shop = Shop::with(GOOD);
    shop.run(&BUILD);
    assert!(shop.names("book").iter().all(|n| !n.contains(".underboard-")), "{:?}", shop.names("book"));
}

#[cfg(unix)]
#[test]
fn files_can_be_read_by_everybody() {
    use std::os::unix::fs::PermissionsExt;
    let shop = Shop::with(GOOD);
    let program = env!("CARGO_BIN_EXE_underboard");
    let script = format!("umask 022; exec '{program}' build layout.toml --out book");
    let ended = assert_cmd::Command::new("sh").current_dir(shop.path("")).args(["-c", &script]).ok();
    assert!(ended.is_ok(), "{ended:?}");
    for name in shop.names("book") {
        let mode =
            fs::metadata(shop.path(&format!("book/{name}"))).expect("it is there").permissions().mode();
        assert_eq!(mode & 0o777, 0o644, "{name}");
    }
}

#[cfg(unix)]
#[test]
fn a_reader_that_stops_early_is_no_failure() {
    let program = env!("CARGO_BIN_EXE_underboard");
    let script = format!("'{program}' schema | head -c 1; '{program}' schema 1>&-");
    let output = assert_cmd::Command::new("sh").args(["-c", &script]).output().expect("it starts");
    assert!(!String::from_utf8_lossy(&output.stderr).contains("panicked"), "{output:?}");
}
