//! The list of files that the program wrote into a folder, with what was in them.
//!
//! It tells the program's own files from those that the builder added or edited, which are never
//! touched.

use std::collections::BTreeSet;
use std::path::{Component, Path};

/// The name of the list in the output folder.
pub const MANIFEST: &str = "underboard-files.txt";

const HEADING: &str = "# Files written by underboard, each with a hash of what it wrote. Files that you edit or add are left alone.\n";

/// Names with the hashes of what was written under them. A name may have two hashes while an
/// update is under way.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Manifest {
    entries: BTreeSet<(String, u64)>,
}

impl Manifest {
    /// Reads a list; lines that this program would not have written are skipped, so that a damaged
    /// list makes the program more careful, not less.
    pub fn parse(text: &str) -> Manifest {
        let entries = text.lines().filter_map(|line| {
            let (hash, name) = line.split_once("  ")?;
            let right = hash.len() == 16 && hash.bytes().all(|b| b.is_ascii_hexdigit()) && is_inside(name);
            right.then_some((name.to_owned(), u64::from_str_radix(hash, 16).ok()?))
        });
        Manifest { entries: entries.collect() }
    }

    /// Sorted by name.
    pub fn text(&self) -> String {
        let lines = self.entries.iter().map(|(name, hash)| format!("{hash:016x}  {name}\n"));
        HEADING.to_owned() + &lines.collect::<String>()
    }

    pub fn insert(&mut self, name: &str, bytes: &[u8]) {
        self.entries.insert((name.to_owned(), fnv_1a(bytes)));
    }

    /// Whether the program wrote these bytes under this name.
    pub fn wrote(&self, name: &str, bytes: &[u8]) -> bool {
        self.entries.contains(&(name.to_owned(), fnv_1a(bytes)))
    }

    pub fn names(&self) -> BTreeSet<&str> {
        self.entries.iter().map(|(name, _)| name.as_str()).collect()
    }

    /// Both lists together.
    pub fn union(&self, other: &Manifest) -> Manifest {
        Manifest { entries: self.entries.union(&other.entries).cloned().collect() }
    }
}

/// Whether a name stays within the output folder.
fn is_inside(name: &str) -> bool {
    !name.is_empty()
        && !name.contains('\\')
        && Path::new(name).components().all(|c| matches!(c, Component::Normal(_)))
}

/// FNV-1a with 64 bits: tells an edited file from an untouched one; it is no protection against
/// somebody who wants to deceive.
fn fnv_1a(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Test vectors published with the algorithm, from memory.
    #[test]
    fn hash_is_fnv_1a() {
        assert_eq!(fnv_1a(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv_1a(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv_1a(b"foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn reads_what_it_writes() {
        let mut manifest = Manifest::default();
        manifest.insert("tables/wires.csv", b"one");
        manifest.insert("circuit.json", b"two");
        let back = Manifest::parse(&manifest.text());
        assert_eq!(back, manifest);
        assert!(back.wrote("circuit.json", b"two"));
        assert!(!back.wrote("circuit.json", b"one"));
    }

    #[test]
    fn names_outside_the_folder_are_not_believed() {
        for name in ["../x", "/etc/passwd", "a/../../x", "", "..\\x", "./x/.."] {
            let text = format!("{:016x}  {name}\n", fnv_1a(b""));
            assert_eq!(Manifest::parse(&text), Manifest::default(), "{name:?}");
        }
        assert_eq!(Manifest::parse("scrawl\nzz  a\n12  b\n+000000000000001  c"), Manifest::parse(""));
    }
}
