//! What a failure of `SQLite` or of the file system means to the user, with what is
//! found around the file: who holds it, which copy there is.

use super::copies::latest_copy;
use super::holder;
use crate::book::problem::BookProblem;
use rusqlite::{Error, ErrorCode, ffi};
use std::io;
use std::path::Path;

/// Tells the user's case from an `SQLite` error (result codes:
/// <https://www.sqlite.org/rescode.html>).
pub(in crate::book) fn from_sqlite(path: &Path, error: &Error) -> BookProblem {
    let (path, detail) = (path.to_path_buf(), error.to_string());
    let failure = match error {
        Error::SqliteFailure(failure, _) => failure,
        Error::FromSqlConversionFailure(..)
        | Error::IntegralValueOutOfRange(..)
        | Error::Utf8Error(..)
        | Error::InvalidColumnType(..) => return damaged(&path, detail),
        _ => return BookProblem::Failed { path, detail },
    };
    match failure.code {
        ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked => {
            let holder = holder::of(&path);
            BookProblem::InUse { path, holder }
        }
        ErrorCode::NotADatabase => BookProblem::NotABook {
            path,
            why: "its content is not SQLite".into(),
        },
        ErrorCode::DatabaseCorrupt => damaged(&path, detail),
        ErrorCode::ReadOnly | ErrorCode::PermissionDenied => BookProblem::ReadOnly { path, detail },
        // The book itself is open by now, so it is the journal beside it.
        ErrorCode::CannotOpen => BookProblem::ReadOnly {
            path,
            detail: "its folder may not be written, and a change needs a file beside the book"
                .into(),
        },
        ErrorCode::DiskFull => BookProblem::Full { path },
        // Reads past the end of the file.
        ErrorCode::SystemIoFailure if failure.extended_code == ffi::SQLITE_IOERR_SHORT_READ => {
            damaged(&path, detail)
        }
        _ if detail.starts_with("no such table") || detail.starts_with("no such column") => {
            damaged(&path, detail)
        }
        _ => BookProblem::Failed { path, detail },
    }
}

/// The user's case behind a failure of the file system.
pub(in crate::book) fn from_io(path: &Path, error: &io::Error) -> BookProblem {
    let (path, detail) = (path.to_path_buf(), error.to_string());
    match error.kind() {
        io::ErrorKind::NotFound => BookProblem::Missing { path },
        io::ErrorKind::AlreadyExists => BookProblem::Exists { path },
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
            BookProblem::ReadOnly { path, detail }
        }
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => BookProblem::Full { path },
        _ => BookProblem::Failed { path, detail },
    }
}

/// A damaged book, with the copy of it to go back to.
pub(in crate::book) fn damaged(path: &Path, detail: impl Into<String>) -> BookProblem {
    BookProblem::Damaged {
        path: path.to_path_buf(),
        detail: detail.into(),
        copy: latest_copy(path),
    }
}
