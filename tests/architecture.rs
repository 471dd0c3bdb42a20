//! The order of the house, read from the source itself: which module may know which, which crate
//! belongs to whom, and who may touch files, the terminal and the clock. DEVELOPERS.md has the rules
//! in words.

#[path = "support/paths.rs"]
mod paths;

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The stations in the order in which data flows. A module knows itself and what stands before it.
const ORDER: [&str; 18] = [
    "units",
    "geom",
    "source",
    "diag",
    "parse",
    "track",
    "electrics",
    "drives",
    "circuit",
    "hardware",
    "firing",
    "proof",
    "check",
    "draw",
    "tables",
    "export",
    "book",
    "cli",
];

/// Modules that know still less.
const KNOWS_ONLY: [(&str, &[&str]); 4] =
    [("units", &[]), ("geom", &[]), ("source", &[]), ("electrics", &["units"])];

/// Views of the finished design: each can be taken away without the others noticing.
const STRANGERS: [&str; 3] = ["check", "draw", "tables"];

/// Who may take the whole design, instead of the products it needs.
const SEES_DESIGN: [&str; 5] = ["draw", "tables", "export", "book", "cli"];

/// A crate, and the modules that may use it.
const CRATES: [(&str, &[&str]); 15] = [
    ("toml", &["parse"]),
    ("strsim", &["parse", "cli"]),
    ("annotate_snippets", &["diag", "cli"]),
    ("anstream", &["diag", "cli"]),
    ("clap", &["cli"]),
    ("tempfile", &["cli"]),
    ("serde", &["export"]),
    ("serde_json", &["export", "parse"]), // parse: the JSON Schema
    ("nalgebra", &["electrics"]),
    ("petgraph", &["track", "electrics", "proof", "check", "draw"]),
    ("skrifa", &["draw"]),
    ("dejavu", &["draw"]),
    ("resvg", &["export"]),
    ("krilla", &["export"]),
    ("svg", &["export"]),
];

/// Folders whose files do not know one another, and the helpers in them that all may use.
const NO_SIBLINGS: [(&str, &[&str]); 4] = [
    ("check/rules", &[]),
    ("draw/symbols", &["sketch"]), // the pen that all symbols are drawn with
    ("draw/sheets", &["pen", "connections"]), // line widths, labels; straight wires between ends
    ("drives", &["pairing", "plan", "routes", "runs", "sizing"]), // the stations of the module, not patterns
];

const MOST_LINES: usize = 800;

struct File {
    path: PathBuf,
    /// `["draw", "sheets", "pen"]` for src/draw/sheets/pen.rs; empty for lib.rs.
    module: Vec<String>,
    lines: usize,
    /// Every path that its code names outside of tests, absolute if it is one of ours.
    paths: Vec<(usize, Vec<String>)>,
    macros: Vec<(usize, String)>,
}

impl File {
    fn station(&self) -> &str {
        self.module.first().map_or("", String::as_str)
    }

    /// Paths within the crate, without the leading `crate`.
    fn own(&self) -> impl Iterator<Item = (usize, &[String])> {
        self.paths.iter().filter(|(_, p)| p[0] == "crate" && p.len() > 1).map(|(line, p)| (*line, &p[1..]))
    }
}

fn source_files() -> Vec<File> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut found = Vec::new();
    let mut folders = vec![root.clone()];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    let texts: Vec<String> = found.iter().map(|p| std::fs::read_to_string(p).unwrap()).collect();
    let modules: Vec<Vec<String>> =
        found.iter().map(|p| paths::module(p.strip_prefix(&root).unwrap())).collect();
    // Modules that exist in tests only.
    let test_modules: BTreeSet<Vec<String>> = texts
        .iter()
        .zip(&modules)
        .flat_map(|(text, module)| {
            paths::test_modules(text).into_iter().map(|name| [module.as_slice(), &[name]].concat())
        })
        .collect();
    let mut files = Vec::new();
    for ((path, text), module) in found.into_iter().zip(&texts).zip(modules) {
        let in_tests = (1..=module.len()).any(|n| test_modules.contains(&module[..n]));
        let code = if in_tests { String::new() } else { paths::code(text) };
        let found = paths::paths(&code);
        let paths = found.into_iter().map(|(line, p)| (line, paths::absolute(&module, p))).collect();
        let lines = text.lines().count();
        files.push(File {
            path: path.strip_prefix(&root).unwrap().into(),
            module,
            lines,
            paths,
            macros: paths::macros(&code),
        });
    }
    assert!(files.len() > 100, "the sources were not found");
    files
}

/// What is wrong in any file; `find` gives line and fault.
fn faults(find: impl Fn(&File) -> Vec<(usize, String)>) -> Vec<String> {
    let mut faults = Vec::new();
    for file in source_files() {
        for (line, fault) in find(&file) {
            faults.push(format!("src/{}:{line}: {fault}", file.path.display()));
        }
    }
    faults
}

#[track_caller]
fn assert_none(faults: Vec<String>) {
    assert!(faults.is_empty(), "{} faults\n{}", faults.len(), faults.join("\n"));
}

fn place(station: &str) -> Option<usize> {
    ORDER.iter().position(|s| *s == station)
}

#[test]
fn every_module_has_its_place_in_the_order() {
    let found: BTreeSet<String> =
        source_files().iter().filter_map(|f| f.module.first().cloned()).filter(|m| m != "main").collect();
    let ordered: BTreeSet<String> = ORDER.iter().map(|s| (*s).to_owned()).collect();
    assert_eq!(found, ordered);
}

#[test]
fn modules_know_only_what_stands_before_them() {
    assert_none(faults(|file| {
        let me = file.station();
        let Some(mine) = place(me) else { return Vec::new() };
        let allowed = KNOWS_ONLY.iter().find(|(name, _)| *name == me).map(|(_, known)| *known);
        file.own()
            .filter_map(|(line, path)| {
                let it = path[0].as_str();
                let fine = match place(it) {
                    Some(_) if it == me => true,
                    Some(there) => there < mine && allowed.is_none_or(|known| known.contains(&it)),
                    None if it == "design" => me == "cli",
                    None => it == "Design" && SEES_DESIGN.contains(&me),
                };
                (!fine).then(|| (line, format!("{me} must not know {it}")))
            })
            .collect()
    }));
}

#[test]
fn checks_drawings_and_tables_do_not_know_one_another() {
    assert_none(faults(|file| {
        let me = file.station();
        file.own()
            .filter(|(_, path)| {
                STRANGERS.contains(&me) && path[0] != me && STRANGERS.contains(&path[0].as_str())
            })
            .map(|(line, path)| (line, format!("{me} must not know {}", path[0])))
            .collect()
    }));
}

#[test]
fn rules_symbols_sheets_and_drives_do_not_know_their_siblings() {
    let files = source_files();
    for (folder, helpers) in NO_SIBLINGS {
        let folder: Vec<String> = folder.split('/').map(str::to_owned).collect();
        let depth = folder.len();
        let children: BTreeSet<&str> = files
            .iter()
            .filter(|f| f.module.len() > depth && f.module[..depth] == folder)
            .map(|f| f.module[depth].as_str())
            .collect();
        for helper in helpers {
            assert!(children.contains(helper), "{} has no {helper}", folder.join("/"));
        }
        assert_none(faults(|file| {
            if file.module.len() <= depth || file.module[..depth] != folder {
                return Vec::new();
            }
            let me = file.module[depth].as_str();
            if helpers.contains(&me) {
                return Vec::new();
            }
            file.own()
                .filter(|(_, path)| path.len() > depth && path[..depth] == folder[..])
                .map(|(line, path)| (line, path[depth].as_str()))
                .filter(|(_, it)| *it != me && children.contains(it) && !helpers.contains(it))
                .map(|(line, it)| (line, format!("{me} must not know its sibling {it}")))
                .collect()
        }));
    }
}

#[test]
fn crates_stay_with_their_owners() {
    assert_none(faults(|file| {
        file.paths
            .iter()
            .filter_map(|(line, path)| {
                let (name, owners) = CRATES.iter().find(|(name, _)| *name == path[0])?;
                let fine = owners.contains(&file.station()) || path.len() == 1;
                (!fine).then(|| (*line, format!("{} must not use the crate {name}", file.station())))
            })
            .collect()
    }));
}

#[test]
fn only_the_command_line_touches_files_terminal_clock_and_environment() {
    let outside = ["fs", "env", "net", "time", "process", "io"];
    let printing = ["println", "print", "eprintln", "eprint", "dbg"];
    assert_none(faults(|file| {
        if ["cli", "main"].contains(&file.station()) {
            return Vec::new();
        }
        let uses = file
            .paths
            .iter()
            .filter(|(_, p)| p[0] == "std" && p.get(1).is_some_and(|m| outside.contains(&m.as_str())))
            .map(|(line, p)| (*line, p.join("::")));
        let prints = file
            .macros
            .iter()
            .filter(|(_, m)| printing.contains(&m.as_str()))
            .map(|(l, m)| (*l, format!("{m}!")));
        uses.chain(prints).map(|(line, what)| (line, format!("{what} belongs to the command line"))).collect()
    }));
}

#[test]
fn no_file_is_too_long_to_read() {
    assert_none(faults(|file| {
        let long = file.lines > MOST_LINES;
        long.then(|| (file.lines, format!("more than {MOST_LINES} lines"))).into_iter().collect()
    }));
}
