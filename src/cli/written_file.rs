//! A result into a file: whole or not at all, and nothing lost that is there.

use super::failure::Failure;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read as _, Write as _};
use std::path::{Path, PathBuf};

/// Names that are tried for the file beside its place, should one be taken.
const MOST_NAMES: u32 = 100;

/// Refuses a place where something would be lost: a folder, a device, a file
/// that may not be changed, or one that is there, holds something and is not
/// `is_ours`. `kind` says in the message what it is not: 'no picture'. `flag` is
/// where another name is given: 'file for --chart'.
///
/// # Errors
/// When something would be lost.
pub(super) fn check_nothing_lost(
    path: &Path,
    is_ours: impl FnOnce(&mut File) -> bool,
    kind: &str,
    flag: &str,
) -> Result<(), Failure> {
    let another = format!("Name another {flag}, so that nothing is lost.");
    let refused = |what: &str| {
        let message = format!("{}: {what}", path.display());
        Err(Failure::refused(message, another.clone()))
    };
    let Ok(about) = fs::metadata(path) else {
        return Ok(()); // Not there; what else is wrong with it shows on writing.
    };
    if about.is_dir() {
        return refused("is a folder");
    }
    if !about.is_file() {
        return refused("is a device or a pipe, not a file");
    }
    if about.permissions().readonly() {
        return refused("is there already and write-protected");
    }
    let ours = about.len() == 0 || File::open(path).is_ok_and(|mut file| is_ours(&mut file));
    if ours {
        Ok(())
    } else {
        refused(&format!("is there already and is {kind}"))
    }
}

/// Whether a file begins with one of these.
pub(super) fn begins_with(file: &mut File, beginnings: &[&[u8]]) -> bool {
    let longest = beginnings.iter().map(|bytes| bytes.len()).max();
    let mut start = Vec::new();
    let read = file
        .take(longest.unwrap_or(0) as u64)
        .read_to_end(&mut start);
    read.is_ok() && beginnings.iter().any(|bytes| start.starts_with(bytes))
}

/// Writes the bytes beside their place, then puts them there whole. What stands
/// there is replaced; [`check_nothing_lost`] says whether it may be.
///
/// # Errors
/// When it cannot be written; what was there stays.
pub(super) fn write(path: &Path, bytes: &[u8], flag: &str) -> Result<(), Failure> {
    let written = new_beside(path).and_then(|(part, mut file)| {
        let filled = file.write_all(bytes).and_then(|()| file.sync_all());
        drop(file);
        let placed = filled.and_then(|()| fs::rename(&part, path));
        placed.inspect_err(|_| drop(fs::remove_file(&part)))
    });
    written.map_err(|error| not_written(path, flag, &error))
}

/// Checks that nothing is lost, then writes.
///
/// # Errors
/// Those of [`check_nothing_lost`] and [`write()`].
pub(super) fn replace_file(
    path: &Path,
    bytes: &[u8],
    is_ours: impl FnOnce(&mut File) -> bool,
    kind: &str,
    flag: &str,
) -> Result<(), Failure> {
    check_nothing_lost(path, is_ours, kind, flag)?;
    write(path, bytes, flag)
}

/// The file cannot be made or written.
pub(super) fn cannot(path: &Path, flag: &str, error: &dyn std::fmt::Display) -> Failure {
    Failure::refused(
        format!("{}: cannot be written: {error}", path.display()),
        format!("Name another {flag}."),
    )
}

/// The same with the way out that fits the error: on a full disk another name helps nobody.
fn not_written(path: &Path, flag: &str, error: &io::Error) -> Failure {
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Failure::refused(
            format!("{}: no room is left on the disk for it", path.display()),
            format!("Make room on the disk and run the command again, or name another {flag}."),
        ),
        _ => cannot(path, flag, error),
    }
}

/// A new file in the same folder: `NAME.part`, or the next free name, so that
/// nobody's file is taken for a left-over one.
pub(super) fn new_beside(path: &Path) -> io::Result<(PathBuf, File)> {
    let mut taken = io::Error::from(ErrorKind::AlreadyExists);
    for number in 1..=MOST_NAMES {
        let mut part = path.as_os_str().to_owned();
        part.push(match number {
            1 => ".part".to_string(),
            n => format!(".part{n}"),
        });
        let part = PathBuf::from(part);
        match OpenOptions::new().write(true).create_new(true).open(&part) {
            Ok(file) => return Ok((part, file)),
            Err(error) if error.kind() == ErrorKind::AlreadyExists => taken = error,
            Err(error) => return Err(error),
        }
    }
    Err(taken)
}
