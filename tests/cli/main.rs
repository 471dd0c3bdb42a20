//! The program from end to end, as a builder meets it.

mod bad_input;
mod commands;
mod output_folder;
mod robust;
mod size;
mod throw;

use std::fs;
use std::path::{Path, PathBuf};

use assert_cmd::Command;
use tempfile::TempDir;

/// A turnout without faults; tests put theirs in.
pub const GOOD: &str = r#"format = 1

[layout]
name    = "Test"
control = "dcc"
gauge   = "16.5 mm"

[turnout.T1]
kind  = "left"
frog  = "isolated-with-wire"
drive = "coil"

[track]
main   = { from = "off the layout", to = "T1.toe" }
loop   = { from = "T1.straight",  to = "buffer" }
siding = { from = "T1.diverging", to = "buffer" }

[drive.coil]
kind     = "solenoid"
coil     = "4.5 ohm"
contacts = 1
contact-rating = "5 A"

[control.S1]
throws = "T1"
with   = "momentary toggle"

[supply.points]
voltage = "16 V AC"
current = "1 A"
"#;

/// A workshop: an empty folder in which commands are run.
pub struct Shop {
    folder: TempDir,
}

/// How a command ended.
pub struct Ended {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Shop {
    pub fn empty() -> Shop {
        Shop { folder: TempDir::new().expect("a temporary folder") }
    }

    /// With a layout file in it.
    pub fn with(layout: &str) -> Shop {
        let shop = Shop::empty();
        shop.put("layout.toml", layout);
        shop
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn put(&self, name: &str, content: impl AsRef<[u8]>) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().expect("within the shop")).expect("folders are made");
        fs::write(path, content).expect("the file is written");
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub fn run(&self, arguments: &[&str]) -> Ended {
        let mut command = Command::new(env!("CARGO_BIN_EXE_underboard"));
        let output = command.current_dir(self.folder.path()).args(arguments).output().expect("it starts");
        let text = |bytes| String::from_utf8(bytes).expect("the program writes UTF-8");
        Ended {
            code: output.status.code().expect("it ends by itself"),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }

    /// All files under a folder with their bytes, sorted by name.
    pub fn files(&self, folder: &str) -> Vec<(String, Vec<u8>)> {
        let mut found = Vec::new();
        collect(&self.path(folder), &self.path(folder), &mut found);
        found.sort();
        found
    }

    pub fn names(&self, folder: &str) -> Vec<String> {
        self.files(folder).into_iter().map(|(name, _)| name).collect()
    }
}

fn collect(top: &Path, folder: &Path, found: &mut Vec<(String, Vec<u8>)>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries {
        let path = entry.expect("the folder is readable").path();
        if path.is_dir() {
            collect(top, &path, found);
        } else {
            let name = path.strip_prefix(top).expect("it is below").to_string_lossy().replace('\\', "/");
            found.push((name, fs::read(&path).expect("the file is readable")));
        }
    }
}

/// Both streams and the exit code on one page, for snapshots.
pub fn page(ended: &Ended) -> String {
    format!("exit code {}\n--- out\n{}--- err\n{}", ended.code, ended.out, ended.err)
}
