//! Brings a book of an older version up to date, a copy of it kept aside.

use super::connect::{connect, marks};
use super::failure::{from_io, from_sqlite};
use super::names::{beside, folder_of, give_name, plain};
use super::schema::APPLICATION_ID;
use crate::book::problem::BookProblem;
use rusqlite::{Connection, TransactionBehavior};
use std::fs::{File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Runs the steps that the book has not had, in one transaction. Before it, the
/// book is copied to `NAME.before-vN` beside it (N: the version it goes to).
pub(in crate::book) fn migrate(
    connection: &mut Connection,
    path: &Path,
    migrations: &[&str],
    wait: Duration,
) -> Result<(), BookProblem> {
    let failed = |error| from_sqlite(path, &error);
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
/// the copy has reached the disk. It is written under another name and given its own
/// at the end, so that what bears the name of a copy is whole.
fn keep_copy(path: &Path, to_version: usize, wait: Duration) -> Result<PathBuf, BookProblem> {
    let unfinished = beside(path, &format!(".before-v{to_version}.unfinished"));
    // Of a migration that was cut off. Only one at a time gets here.
    remove_unfinished(&unfinished);
    let kept = write_copy(path, &unfinished, wait)
        .and_then(|()| give_free_name(&unfinished, path, to_version));
    remove_unfinished(&unfinished);
    let copy = kept?;
    // So that its name survives a power cut; some file systems cannot.
    let _ = File::open(folder_of(path)).and_then(|folder| folder.sync_all());
    Ok(copy)
}

fn remove_unfinished(unfinished: &Path) {
    let _ = std::fs::remove_file(unfinished);
    let _ = std::fs::remove_file(beside(unfinished, "-journal"));
}

fn write_copy(path: &Path, copy: &Path, wait: Duration) -> Result<(), BookProblem> {
    let failed = |detail: String| BookProblem::Failed {
        path: path.to_path_buf(),
        detail,
    };
    let reader = connect(path, wait)?;
    let name = plain(copy);
    let name = name
        .to_str()
        .ok_or_else(|| failed("a copy of it cannot be named: its name is not UTF-8".to_string()))?;
    // Fails unless the file is new or empty
    // (https://www.sqlite.org/lang_vacuum.html#vacuuminto).
    reader
        .execute("VACUUM INTO ?1", [name])
        .map_err(|error| from_sqlite(path, &error))?;
    let checked = connect(copy, wait)?;
    let (id, _) = marks(&checked).map_err(|error| from_sqlite(copy, &error))?;
    if id != APPLICATION_ID {
        return Err(failed(format!(
            "its copy {} came out wrong",
            copy.display()
        )));
    }
    drop(checked);
    let file = OpenOptions::new().write(true).open(copy);
    file.and_then(|file| file.sync_all())
        .map_err(|error| from_io(copy, &error))
}

/// Gives the finished copy the first of `NAME.before-vN`, `NAME.before-vN-2`, … that
/// is not taken.
fn give_free_name(
    unfinished: &Path,
    path: &Path,
    to_version: usize,
) -> Result<PathBuf, BookProblem> {
    for number in 1..1000 {
        let again = if number > 1 {
            format!("-{number}")
        } else {
            String::new()
        };
        let name = beside(path, &format!(".before-v{to_version}{again}"));
        match give_name(unfinished, &name) {
            Ok(()) => return Ok(name),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {}
            Err(error) => return Err(from_io(&name, &error)),
        }
    }
    let detail = "there are too many copies beside it".to_string();
    Err(BookProblem::Failed {
        path: path.to_path_buf(),
        detail,
    })
}
