//! Brings a book of an older version up to date, a copy of it kept aside.

use super::opening::{connect, marks};
use super::plain;
use super::problem::{BookProblem, from_io, from_sqlite};
use super::schema::APPLICATION_ID;
use rusqlite::{Connection, TransactionBehavior};
use std::fs::OpenOptions;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Runs the steps that the book has not had, in one transaction. Before it, the
/// book is copied to `NAME.before-vN` beside it (N: the version it goes to).
pub(super) fn migrate(
    connection: &mut Connection,
    path: &Path,
    migrations: &[&str],
    wait: Duration,
) -> Result<(), BookProblem> {
    let failed = |error| from_sqlite(path, error);
    // Writers are shut out from here on, so that the copy is what is migrated.
    let transaction = connection
        .transaction_with_behavior(TransactionBehavior::Immediate)
        .map_err(failed)?;
    let (_, version) = marks(&transaction).map_err(failed)?;
    let Some(steps) = usize::try_from(version)
        .ok()
        .and_then(|done| migrations.get(done..))
    else {
        let known = migrations.len() as i64;
        return Err(BookProblem::Newer {
            path: path.to_path_buf(),
            version,
            known,
        });
    };
    if steps.is_empty() {
        return Ok(()); // another program was faster
    }
    keep_copy(path, migrations.len(), wait)?;
    for step in steps {
        transaction.execute_batch(step).map_err(failed)?;
    }
    transaction
        .pragma_update(None, "user_version", migrations.len() as i64)
        .map_err(failed)?;
    transaction.commit().map_err(failed)
}

/// Copies the book beside itself under a name that is free, and makes sure that
/// the copy has reached the disk.
fn keep_copy(path: &Path, to_version: usize, wait: Duration) -> Result<PathBuf, BookProblem> {
    let copy = free_name(path, to_version)?;
    let written = || -> Result<(), BookProblem> {
        let reader = connect(path, wait)?;
        let name = plain(&copy);
        let Some(name) = name.to_str() else {
            let detail = "a copy of it cannot be named: its name is not UTF-8".to_string();
            return Err(BookProblem::Failed {
                path: path.to_path_buf(),
                detail,
            });
        };
        // Fails unless the file is new or empty
        // (https://www.sqlite.org/lang_vacuum.html#vacuuminto).
        reader
            .execute("VACUUM INTO ?1", [name])
            .map_err(|error| from_sqlite(path, error))?;
        let checked = connect(&copy, wait)?;
        let (id, _) = marks(&checked).map_err(|error| from_sqlite(&copy, error))?;
        if id != APPLICATION_ID {
            let detail = format!("its copy {} came out wrong", copy.display());
            return Err(BookProblem::Failed {
                path: path.to_path_buf(),
                detail,
            });
        }
        drop(checked);
        let file = OpenOptions::new().write(true).open(&copy);
        file.and_then(|file| file.sync_all())
            .map_err(|error| from_io(&copy, &error))
    };
    match written() {
        Ok(()) => Ok(copy),
        Err(problem) => {
            let _ = std::fs::remove_file(&copy); // ours, and not whole
            Err(problem)
        }
    }
}

/// The first of `NAME.before-vN`, `NAME.before-vN-2`, … that is not taken,
/// taken by an empty file.
fn free_name(path: &Path, to_version: usize) -> Result<PathBuf, BookProblem> {
    for number in 1..1000 {
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".before-v{to_version}"));
        if number > 1 {
            name.push(format!("-{number}"));
        }
        match OpenOptions::new().write(true).create_new(true).open(&name) {
            Ok(_) => return Ok(PathBuf::from(name)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(from_io(path, &error)),
        }
    }
    let detail = "there are too many copies beside it".to_string();
    Err(BookProblem::Failed {
        path: path.to_path_buf(),
        detail,
    })
}

/// The latest whole copy that a migration kept beside the book, if one is still there.
pub(super) fn latest_copy(path: &Path) -> Option<PathBuf> {
    let mut start = path.file_name()?.to_owned();
    start.push(".before-v");
    let start = start.into_encoded_bytes();
    let folder = super::folder_of(path);
    let entries = std::fs::read_dir(folder).ok()?;
    let copies = entries.flatten().filter(|entry| {
        let name = entry.file_name().into_encoded_bytes();
        // Only names that `free_name` gives: a journal of a copy is none.
        let numbers = name.strip_prefix(&start[..]);
        let named = numbers.is_some_and(|n| n.iter().all(|c| c.is_ascii_digit() || *c == b'-'));
        // One that holds nothing was begun and never written; one with a journal
        // beside it was cut off while it was written.
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
