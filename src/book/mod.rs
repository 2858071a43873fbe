//! The record book: one `SQLite` file that keeps checked records and judges
//! nothing. The only room that knows `SQLite`.
//!
//! The file is safe to copy whenever no command runs: there are no side files
//! then. Every import is one transaction.
//!
//! * [`open`](Book::open), [`start`](Book::start): `opening`; what can go wrong: [`problem`]
//! * the tables and their versions: `schema`, `migration`
//! * records in and out: `sales`, `asks`, `comps` (read ahead: `ahead`), `costs`,
//!   `gifts`, `inspections`, `offers`, how they are coded: `stored`
//! * records as they stood on a day: `recorded`; closed quarters: `closings`
//! * one bike listed twice: `likeness`; records without an id: `alike`
//! * what was learnt from the records, while they are the same: `learnt`
//! * imports, their history and undo: [`imports`], `writer`, `writing`, [`history`],
//!   `changes`, `column_maps`

mod file;
pub mod history;
pub mod import;
mod model_cache;
pub mod problem;
pub mod tables;
#[cfg(test)]
mod tests;

pub use file::writing::Together;
pub use history::changes::RecordChange;
pub use history::recorded::Recorded;
pub use history::{EarlierState, HistoryEntry, RowKey, Undone};
pub use import::alike::Repeat;
pub use import::column_maps::RememberedColumns;
pub use import::imports::{FieldChange, Import, ImportSummary, Put};
pub use import::likeness::LikeListings;
pub use model_cache::{Kept, State};
pub use problem::BookProblem;
pub use tables::closings::Closing;
pub use tables::settings::Settings;

use rusqlite::{Connection, Transaction, TransactionBehavior, ffi};
use std::cell::OnceCell;
use std::fs::File;
use std::path::{Path, PathBuf};

/// An open book.
#[derive(Debug)]
pub struct Book {
    connection: Connection,
    path: PathBuf,
    settings: Settings,
    /// For the file's header, see `learnt`; closed after the connection.
    header: OnceCell<File>,
}

/// How many records a book holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Bikes of the user's own, sold or on hand.
    pub sales: u64,
    /// Price changes of the user's own listings.
    pub asks: u64,
    /// Comparables.
    pub comps: u64,
    /// Money spent.
    pub costs: u64,
    /// Money handed over.
    pub gifts: u64,
    /// Inspections of own bikes.
    pub inspections: u64,
    /// Offers that were kept.
    pub offers: u64,
    /// Imports that stand (not undone).
    pub imports: u64,
}

impl Book {
    /// The book's file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How many records it holds.
    pub fn counts(&self) -> Result<Counts, BookProblem> {
        self.connection
            .query_row(
                "SELECT (SELECT count(*) FROM sales), (SELECT count(*) FROM asks), \
                 (SELECT count(*) FROM comps), \
                 (SELECT count(*) FROM costs), (SELECT count(*) FROM gifts), \
                 (SELECT count(*) FROM inspections), (SELECT count(*) FROM offers), \
                 (SELECT count(*) FROM imports WHERE undone_on IS NULL)",
                [],
                |row| {
                    let count = |column| tables::stored::read_count(row, column);
                    Ok(Counts {
                        sales: count(0)?,
                        asks: count(1)?,
                        comps: count(2)?,
                        costs: count(3)?,
                        gifts: count(4)?,
                        inspections: count(5)?,
                        offers: count(6)?,
                        imports: count(7)?,
                    })
                },
            )
            .map_err(|error| self.problem(error))
    }

    /// Looks the whole file over: `SQLite`'s integrity and foreign-key checks and
    /// the book's own marks. One line for each fault; empty when it is sound.
    pub fn check(&self) -> Vec<String> {
        let mut faults = Vec::new();
        match self.texts("PRAGMA integrity_check") {
            Ok(lines) => faults.extend(lines.into_iter().filter(|line| line != "ok")),
            Err(error) => faults.push(error.to_string()),
        }
        let dangling = "SELECT \"table\" || ' row ' || coalesce(rowid, '?') || ' names a row of ' \
                        || parent || ' that is not there' FROM pragma_foreign_key_check";
        match self.texts(dangling) {
            Ok(lines) => faults.extend(lines),
            Err(error) => faults.push(error.to_string()),
        }
        match file::opening::marks(&self.connection) {
            Ok((id, version)) => {
                if id != file::schema::APPLICATION_ID {
                    faults.push(format!("the application id is {id:#x}"));
                }
                if version != file::schema::MIGRATIONS.len() as i64 {
                    faults.push(format!("the version is {version}"));
                }
            }
            Err(error) => faults.push(error.to_string()),
        }
        faults
    }

    /// What to do about a book that is not sound, as a sentence without its stop.
    pub fn put_back(&self) -> String {
        format!(
            "{}; keep {} until then",
            problem::put_back(&self.path),
            self.path.display()
        )
    }

    fn texts(&self, sql: &str) -> rusqlite::Result<Vec<String>> {
        let mut statement = self.connection.prepare(sql)?;
        statement.query_map([], |row| row.get(0))?.collect()
    }

    /// Begins a transaction that writes: no other program can write until it
    /// ends. Unchecked (by the compiler): callers hold the book by `&mut`.
    fn write(&self) -> Result<Transaction<'_>, BookProblem> {
        self.check_writable()?;
        let transaction =
            Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
                .map_err(|error| self.problem(error))?;
        self.forget_learnt();
        Ok(transaction)
    }

    /// What was learnt is for the book as it was before the transaction that has just
    /// begun. Where this fails, the file's change counter tells the same.
    fn forget_learnt(&self) {
        let _ = self.connection.execute("DELETE FROM learnt_from", []);
    }

    /// `SQLite` would begin a transaction that only reads, and fail at the first
    /// change.
    fn check_writable(&self) -> Result<(), BookProblem> {
        if self
            .connection
            .is_readonly("main")
            .map_err(|error| self.problem(error))?
        {
            let detail = "it is write-protected".into();
            return Err(BookProblem::ReadOnly {
                path: self.path.clone(),
                detail,
            });
        }
        Ok(())
    }

    /// The user's case behind an `SQLite` error on this book.
    fn problem(&self, error: rusqlite::Error) -> BookProblem {
        problem::from_sqlite(&self.path, error)
    }
}

/// The folder that holds `path`.
fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// `path` in a spelling that `SQLite` reads as a plain file name, also when the
/// file is called ":memory:" or "file:…".
fn plain(path: &Path) -> PathBuf {
    folder_of(path).join(path.file_name().unwrap_or_default())
}

/// True for `SQLite`'s own result code `code` in an error of rusqlite.
fn is_code(error: &rusqlite::Error, code: ffi::ErrorCode) -> bool {
    error.sqlite_error_code() == Some(code)
}
