//! A connection to the file, with the settings that every one of them has.

use super::failure::from_sqlite;
use super::names::plain;
use crate::book::problem::BookProblem;
use rusqlite::{Connection, ErrorCode, OpenFlags};
use std::path::Path;
use std::time::Duration;

/// How long a locked book is waited for.
pub(in crate::book) const WAIT: Duration = Duration::from_secs(5);

/// Opens the file with the settings that every connection has: a plain
/// rollback journal, which leaves no side files behind, and full syncing.
/// A file that may only be read is opened for reading.
pub(in crate::book) fn connect(path: &Path, wait: Duration) -> Result<Connection, BookProblem> {
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(plain(path), flags);
    let connection = connection.map_err(|error| {
        if error.sqlite_error_code() == Some(ErrorCode::CannotOpen) {
            BookProblem::Unreadable {
                path: path.to_path_buf(),
                detail: error.to_string(),
            }
        } else {
            from_sqlite(path, &error)
        }
    })?;
    let prepare = || -> rusqlite::Result<()> {
        connection.busy_timeout(wait)?;
        // cache_size: at most 32 MB (negative: in KiB).
        connection.execute_batch(
            "PRAGMA journal_mode = DELETE; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; \
             PRAGMA locking_mode = NORMAL; PRAGMA trusted_schema = OFF; PRAGMA cache_size = -32000;",
        )
    };
    prepare().map_err(|error| from_sqlite(path, &error))?;
    Ok(connection)
}

/// Application id and version in the file's header.
pub(in crate::book) fn marks(connection: &Connection) -> rusqlite::Result<(i32, i64)> {
    let number = |pragma| connection.pragma_query_value(None, pragma, |row| row.get(0));
    let id: i64 = number("application_id")?;
    Ok((id as i32, number("user_version")?))
}
