//! Making and opening the file: what is refused, and the settings of `SQLite`.

use super::connect::{WAIT, connect, marks};
use super::failure::{damaged, from_io, from_sqlite};
use super::migration::migrate;
use super::names::{folder_of, give_name};
use super::schema::{APPLICATION_ID, MIGRATIONS};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::book::settings::Settings;
use crate::book::tables::settings;
use rusqlite::Connection;
use std::cell::OnceCell;
use std::fs::{self, File, OpenOptions};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

impl Book {
    /// Makes a book at `path`. Never overwrites; a book that could not be made
    /// whole is not there at all: it is written under another name in the same
    /// folder and given its own at the end.
    ///
    /// # Errors
    /// A file is there already, there is no such folder or none to write in, no room is left,
    /// or `settings` are none that a book can keep.
    pub fn start(path: &Path, settings: &Settings) -> Result<Book, BookProblem> {
        Self::start_with(path, settings, MIGRATIONS)
    }

    /// Opens the book at `path`, and brings one of an older version up to date
    /// (a copy of it is kept aside first, see `migration`).
    ///
    /// # Errors
    /// No file or not a file, not a book, a book of a newer version, damaged,
    /// unreadable, or in use for longer than five seconds.
    pub fn open(path: &Path) -> Result<Book, BookProblem> {
        Self::open_with(path, MIGRATIONS, WAIT)
    }

    pub(in crate::book) fn start_with(
        path: &Path,
        settings: &Settings,
        migrations: &[&str],
    ) -> Result<Book, BookProblem> {
        if let Ok(there) = fs::symlink_metadata(path) {
            return Err(if there.is_dir() {
                BookProblem::NotAFile {
                    path: path.to_path_buf(),
                    what: "a directory",
                }
            } else {
                BookProblem::Exists {
                    path: path.to_path_buf(),
                }
            });
        }
        let folder = folder_of(path);
        let unfinished = new_file_in(folder, path)?;
        let made = write_new(&unfinished, path, settings, migrations)
            .and_then(|()| give_name(&unfinished, path).map_err(|error| from_io(path, &error)));
        // After the last step the old name may be gone already.
        let _ = fs::remove_file(&unfinished);
        made?;
        // So that the new name itself survives a power cut; some file systems
        // cannot, and the book is whole there too.
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
        Self::open_with(path, migrations, WAIT)
    }

    pub(in crate::book) fn open_with(
        path: &Path,
        migrations: &[&str],
        wait: Duration,
    ) -> Result<Book, BookProblem> {
        let path = path.to_path_buf();
        check_file(&path)?;
        let mut connection = connect(&path, wait)?;
        let (id, version) = marks(&connection).map_err(|error| from_sqlite(&path, &error))?;
        if id != APPLICATION_ID {
            let why = "it is an SQLite file of another program".into();
            return Err(BookProblem::NotABook { path, why });
        }
        if cut_within_a_page(&connection, &path).map_err(|error| from_sqlite(&path, &error))? {
            return Err(damaged(&path, "its last page is not whole"));
        }
        let known = migrations.len() as i64;
        if version > known {
            return Err(BookProblem::Newer {
                path,
                version,
                known,
            });
        }
        if version < known {
            migrate(&mut connection, &path, migrations, wait)?;
        }
        let settings = settings::read(&connection, &path)?;
        Ok(Book {
            connection,
            path,
            settings,
            header: OnceCell::new(),
        })
    }
}

/// Refuses what is no file, or an empty one.
fn check_file(path: &Path) -> Result<(), BookProblem> {
    let file = fs::metadata(path).map_err(|error| match error.kind() {
        io::ErrorKind::PermissionDenied => BookProblem::Unreadable {
            path: path.to_path_buf(),
            detail: error.to_string(),
        },
        _ => from_io(path, &error),
    })?;
    let path = path.to_path_buf();
    if !file.is_file() {
        let what = if file.is_dir() {
            "a directory"
        } else {
            "a device or a pipe"
        };
        return Err(BookProblem::NotAFile { path, what });
    }
    if file.len() == 0 {
        let why = "it is empty".into();
        return Err(BookProblem::NotABook { path, why });
    }
    Ok(())
}

/// True when the file does not end at a page's end. `SQLite` itself sees missing
/// pages when it opens a file, but takes a part of the last one for a page.
fn cut_within_a_page(connection: &Connection, path: &Path) -> rusqlite::Result<bool> {
    let page: i64 = connection.pragma_query_value(None, "page_size", |row| row.get(0))?;
    let page = u64::try_from(page).unwrap_or(0);
    Ok(fs::metadata(path).is_ok_and(|file| page > 0 && file.len() % page != 0))
}

/// An empty file of a name that nobody uses, beside the book to be.
fn new_file_in(folder: &Path, path: &Path) -> Result<PathBuf, BookProblem> {
    let Some(name) = path.file_name() else {
        return Err(BookProblem::NotAFile {
            path: path.to_path_buf(),
            what: "a directory",
        });
    };
    let mut number = 0;
    loop {
        number += 1;
        let unfinished = folder.join(format!(".{}.unfinished-{number}", name.to_string_lossy()));
        match OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&unfinished)
        {
            Ok(_) => return Ok(unfinished),
            // Another start runs, or one was killed.
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists && number < 1000 => {}
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                let (path, folder) = (path.to_path_buf(), folder.to_path_buf());
                return Err(BookProblem::NoFolder { path, folder });
            }
            Err(error) => return Err(from_io(path, &error)),
        }
    }
}

/// Writes a whole new book into `unfinished`. Nobody else knows that file and
/// nobody misses it if this fails, so one sync at the end is enough.
fn write_new(
    unfinished: &Path,
    path: &Path,
    settings: &Settings,
    migrations: &[&str],
) -> Result<(), BookProblem> {
    let connection = connect(unfinished, WAIT)?;
    let tables = || -> rusqlite::Result<()> {
        connection
            .execute_batch("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY; BEGIN")?;
        connection.pragma_update(None, "application_id", APPLICATION_ID)?;
        migrations
            .iter()
            .try_for_each(|step| connection.execute_batch(step))?;
        connection.pragma_update(None, "user_version", migrations.len() as i64)
    };
    tables().map_err(|error| from_sqlite(path, &error))?;
    settings::write(&connection, path, settings)?;
    connection
        .execute_batch("COMMIT")
        .map_err(|error| from_sqlite(path, &error))?;
    connection
        .close()
        .map_err(|(_, error)| from_sqlite(path, &error))?;
    let file = OpenOptions::new().write(true).open(unfinished);
    file.and_then(|file| file.sync_all())
        .map_err(|error| from_io(path, &error))
}
