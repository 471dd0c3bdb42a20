//! Reading the layout file, and saying what to do when that fails.

use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::{Path, PathBuf};

use super::Outcome;
use super::report::{Failure, Terminal};
use crate::Design;
use crate::diag::{Diagnostic, Severity};
use crate::source::SourceFile;

/// Larger files are no layouts: somebody named a picture, or a device that never ends.
const LARGEST: u64 = 4 << 20;

/// A layout file worked out, with everything that was found.
pub struct Examined {
    /// `None`: the file cannot be used.
    pub design: Option<Design>,
    pub findings: Vec<Diagnostic>,
}

impl Examined {
    /// How a command that only looks at the layout ends.
    pub fn outcome(&self) -> Outcome {
        match &self.design {
            None => Outcome::Unusable,
            Some(_) if self.has_errors() => Outcome::Findings,
            Some(_) => Outcome::Fine,
        }
    }

    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|d| d.severity == Severity::Error)
    }
}

/// Reads a layout file, works it out and prints the findings.
pub fn examine(path: &Path, terminal: &Terminal) -> Result<Examined, Failure> {
    let source = read(path)?;
    let (design, findings) = crate::design(&source);
    terminal.findings(&findings, &source);
    Ok(Examined { design, findings })
}

/// The text of a layout file.
fn read(path: &Path) -> Result<SourceFile, Failure> {
    let name = path.display().to_string();
    if path.is_dir() {
        return Err(folder(path));
    }
    let file = File::open(path).map_err(|error| match error.kind() {
        ErrorKind::NotFound => missing(path),
        ErrorKind::PermissionDenied => Failure::new(format!("{name} may not be read"))
            .help("give yourself the right to read it, or name a copy of your own"),
        _ => unreadable(&name, &error),
    })?;
    let mut bytes = Vec::new();
    file.take(LARGEST + 1).read_to_end(&mut bytes).map_err(|error| unreadable(&name, &error))?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::new(format!("{name} is too large for a layout file"))
            .help("name the text file that describes the layout"));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let good = error.utf8_error().valid_up_to();
        let line = error.as_bytes()[..good].iter().filter(|b| **b == b'\n').count() + 1;
        Failure::new(format!("{name}:{line}: this is not UTF-8 text"))
            .help("open the file in a text editor and save it with the encoding UTF-8")
    })?;
    Ok(SourceFile::new(name, text))
}

fn unreadable(name: &str, error: &std::io::Error) -> Failure {
    Failure::new(format!("{name} cannot be read: {error}")).help("name a layout file, such as layout.toml")
}

fn folder(path: &Path) -> Failure {
    let failure = Failure::new(format!("{} is a folder, not a layout file", path.display()));
    let inside = path.join("layout.toml");
    if inside.is_file() {
        return failure.help(format!("did you mean {}?", inside.display()));
    }
    match layouts_in(path).as_slice() {
        [] => failure.help(format!(
            "there is no .toml file in it; `underboard new {}` writes one to start from",
            inside.display()
        )),
        found => failure.help(format!("did you mean {}?", or_list(found))),
    }
}

fn missing(path: &Path) -> Failure {
    let failure = Failure::new(format!("there is no file {}", path.display()));
    let folder = match path.parent() {
        Some(parent) if parent != Path::new("") => parent,
        _ => Path::new("."),
    };
    if !folder.is_dir() {
        return failure.help(format!("there is no folder {} either: look at the spelling", folder.display()));
    }
    match layouts_in(folder).as_slice() {
        [] => failure.help(format!("`underboard new {}` writes a layout to start from", path.display())),
        found => failure.help(format!("did you mean {}?", or_list(&nearest(path, found)))),
    }
}

/// The files whose names are most like the one asked for, at most three.
fn nearest(path: &Path, found: &[PathBuf]) -> Vec<PathBuf> {
    let name = |p: &Path| p.file_name().unwrap_or_default().to_string_lossy().to_lowercase();
    let wanted = name(path);
    let mut found = found.to_vec();
    found.sort_by_key(|p| (strsim::damerau_levenshtein(&wanted, &name(p)), p.clone()));
    found.truncate(3);
    found
}

/// The .toml files of a folder, sorted.
fn layouts_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut found: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.file_name()))
        .filter(|name| Path::new(name).extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")))
        .map(|name| if folder == Path::new(".") { PathBuf::from(name) } else { folder.join(name) })
        .filter(|p| p.is_file())
        .collect();
    found.sort();
    found
}

fn or_list(paths: &[PathBuf]) -> String {
    let names: Vec<String> = paths.iter().map(|p| p.display().to_string()).collect();
    match names.as_slice() {
        [most @ .., last] if !most.is_empty() => format!("{} or {last}", most.join(", ")),
        _ => names.concat(),
    }
}
