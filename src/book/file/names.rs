//! Names of the book's file and of those beside it.

use std::path::{Path, PathBuf};
use std::{fs, io};

/// The folder that holds `path`.
pub(in crate::book) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// `path` in a spelling that `SQLite` reads as a plain file name, also when the
/// file is called ":memory:" or "file:…".
pub(in crate::book) fn plain(path: &Path) -> PathBuf {
    folder_of(path).join(path.file_name().unwrap_or_default())
}

/// `path` with an ending.
pub(in crate::book) fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

/// Gives the finished file its name, unless something of that name is there.
pub(in crate::book) fn give_name(unfinished: &Path, path: &Path) -> io::Result<()> {
    match fs::hard_link(unfinished, path) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => {
            // A file system without hard links (FAT). Somebody who makes a file of
            // this name between these two lines loses it; there is no safer call.
            if fs::symlink_metadata(path).is_ok() {
                return Err(io::ErrorKind::AlreadyExists.into());
            }
            fs::rename(unfinished, path)
        }
        given => given,
    }
}
