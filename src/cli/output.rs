//! Writing the book's files into a folder without harming anything that is there.
//!
//! - A file that this program did not write, or that was changed since, is not overwritten; if
//!   there is one in the way, nothing is written at all.
//! - Each file is written beside its place and then renamed: a reader sees the old file or the new
//!   one, never half of one.
//! - Files of an earlier book that are no longer made are removed if nobody changed them.
//! - What has not changed is not written again.

use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use super::manifest::{MANIFEST, Manifest};
use super::report::Failure;
use crate::book::OutputFile;

/// What was done.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Written {
    pub written: usize,
    pub unchanged: usize,
    pub removed: usize,
}

/// Makes `folder` hold exactly `files` of this program's.
pub fn write(folder: &Path, files: &[OutputFile]) -> Result<Written, Failure> {
    let before = manifest(folder)?;
    let mut after = Manifest::default();
    for file in files {
        after.insert(&file.name, &file.bytes);
    }
    let changed = changed(folder, files, &before)?;
    let stale = stale(folder, &before, &after)?;

    fs::create_dir_all(folder).map_err(|error| cannot_write(folder, &error))?;
    let list = folder.join(MANIFEST);
    if !changed.is_empty() || !stale.is_empty() {
        // Until all is done the list knows old and new contents, so that a build that was broken
        // off can simply be run again.
        replace(&list, before.union(&after).text().as_bytes())?;
    }
    for file in &changed {
        replace(&path_of(folder, &file.name), &file.bytes)?;
    }
    for path in &stale {
        fs::remove_file(path).map_err(|error| cannot_write(path, &error))?;
        remove_if_empty(folder, path.parent());
    }
    let text = after.text();
    if read(&list)?.as_deref() != Some(text.as_bytes()) {
        replace(&list, text.as_bytes())?;
    }
    Ok(Written { written: changed.len(), unchanged: files.len() - changed.len(), removed: stale.len() })
}

fn manifest(folder: &Path) -> Result<Manifest, Failure> {
    if folder.exists() && !folder.is_dir() {
        return Err(Failure::new(format!("{} is a file, not a folder", folder.display()))
            .help("name another folder with --out"));
    }
    let bytes = read(&folder.join(MANIFEST))?.unwrap_or_default();
    Ok(Manifest::parse(&String::from_utf8_lossy(&bytes)))
}

/// The files that must be written. Fails if one of them would destroy somebody's work.
fn changed<'a>(
    folder: &Path,
    files: &'a [OutputFile],
    before: &Manifest,
) -> Result<Vec<&'a OutputFile>, Failure> {
    let (mut changed, mut foreign) = (Vec::new(), Vec::new());
    for file in files {
        let path = path_of(folder, &file.name);
        if let Some(blocker) = in_the_way(folder, &file.name) {
            foreign.push(blocker);
            continue;
        }
        match read(&path)? {
            Some(bytes) if bytes == file.bytes => {}
            Some(bytes) if !before.wrote(&file.name, &bytes) => foreign.push(path),
            _ => changed.push(file),
        }
    }
    foreign.dedup();
    if foreign.is_empty() {
        return Ok(changed);
    }
    let names: Vec<String> = foreign.iter().map(|p| format!("  {}", p.display())).collect();
    let what = if foreign.len() == 1 { "this file is" } else { "these files are" };
    Err(Failure::new(format!(
        "{what} not as this program left them, and would be overwritten; nothing was written:\n{}",
        names.join("\n")
    ))
    .help("move what you want to keep, delete the rest, or name another folder with --out"))
}

/// Files of an earlier book that are not made any more, and that nobody changed.
fn stale(folder: &Path, before: &Manifest, after: &Manifest) -> Result<Vec<PathBuf>, Failure> {
    let kept = after.names();
    let mut stale = Vec::new();
    for name in before.names().into_iter().filter(|n| !kept.contains(n)) {
        let path = path_of(folder, name);
        if path.is_file() && read(&path)?.is_some_and(|bytes| before.wrote(name, &bytes)) {
            stale.push(path);
        }
    }
    Ok(stale)
}

/// A folder where the file should be, or a file where one of its folders should be.
fn in_the_way(folder: &Path, name: &str) -> Option<PathBuf> {
    let path = path_of(folder, name);
    let folders = path.ancestors().skip(1).take_while(|p| *p != folder);
    let blocked = folders.filter(|p| p.exists() && !p.is_dir()).last().map(Path::to_owned);
    blocked.or_else(|| path.is_dir().then_some(path))
}

fn path_of(folder: &Path, name: &str) -> PathBuf {
    name.split('/').fold(folder.to_owned(), |path, part| path.join(part))
}

/// `None`: there is no such file.
fn read(path: &Path) -> Result<Option<Vec<u8>>, Failure> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(bytes)),
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => Ok(None),
        Err(error) => Err(Failure::new(format!("{} cannot be read: {error}", path.display()))
            .help("move it away, or name another folder with --out")),
    }
}

/// Puts bytes in the place of a file in one step.
fn replace(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder).map_err(|error| cannot_write(folder, &error))?;
    let mut builder = tempfile::Builder::new();
    #[cfg(unix)]
    let readable = std::os::unix::fs::PermissionsExt::from_mode(0o644);
    #[cfg(unix)]
    builder.permissions(readable);
    let mut file =
        builder.prefix(".underboard-").tempfile_in(folder).map_err(|error| cannot_write(folder, &error))?;
    file.write_all(bytes).map_err(|error| cannot_write(path, &error))?;
    file.persist(path).map_err(|error| cannot_write(path, &error.error))?;
    Ok(())
}

/// Removes folders that a removed file leaves empty, up to the output folder.
fn remove_if_empty(top: &Path, folder: Option<&Path>) {
    if let Some(folder) = folder.filter(|f| *f != top) {
        // Fails if something is left in it, which is just as well.
        let _ = fs::remove_dir(folder);
    }
}

fn cannot_write(path: &Path, error: &std::io::Error) -> Failure {
    Failure::new(format!("{} cannot be written: {error}", path.display()))
        .help("name a folder where you may write with --out")
}
