//! The copies of a book that migrations kept beside it.

use super::names::folder_of;
use std::path::{Path, PathBuf};

/// The latest whole copy that a migration kept beside the book, if one is still there.
pub(in crate::book) fn latest_copy(path: &Path) -> Option<PathBuf> {
    let mut start = path.file_name()?.to_owned();
    start.push(".before-v");
    let start = start.into_encoded_bytes();
    let folder = folder_of(path);
    let entries = std::fs::read_dir(folder).ok()?;
    let copies = entries.flatten().filter(|entry| {
        let name = entry.file_name().into_encoded_bytes();
        // Only names that `give_free_name` gives: a journal of a copy is none.
        let numbers = name.strip_prefix(&start[..]);
        let named = numbers.is_some_and(|n| n.iter().all(|c| c.is_ascii_digit() || *c == b'-'));
        // By earlier versions of the program: one that holds nothing was begun and
        // never written; one with a journal beside it was cut off while written.
        let mut journal = entry.file_name();
        journal.push("-journal");
        let whole = !folder.join(journal).exists();
        named && whole && entry.metadata().is_ok_and(|file| file.len() > 0)
    });
    let copy = copies.max_by_key(|entry| {
        let written = entry.metadata().and_then(|file| file.modified()).ok();
        (written, entry.file_name())
    })?;
    Some(folder.join(copy.file_name()))
}
