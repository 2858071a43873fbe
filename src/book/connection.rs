//! An open book, and the transactions that write to it.

use super::file::failure::from_sqlite;
use super::problem::BookProblem;
use super::settings::Settings;
use rusqlite::{Connection, Params, Row, Transaction, TransactionBehavior};
use std::cell::OnceCell;
use std::fs::File;
use std::path::{Path, PathBuf};

/// An open book.
#[derive(Debug)]
pub struct Book {
    pub(in crate::book) connection: Connection,
    pub(in crate::book) path: PathBuf,
    pub(in crate::book) settings: Settings,
    /// For the file's header, see `model_cache`; closed after the connection.
    pub(in crate::book) header: OnceCell<File>,
}

impl Book {
    /// The book's file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Begins a transaction that writes: no other program can write until it
    /// ends. Unchecked (by the compiler): callers hold the book by `&mut`.
    pub(in crate::book) fn write(&self) -> Result<Transaction<'_>, BookProblem> {
        self.check_writable()?;
        let transaction =
            Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
                .map_err(|error| self.problem(&error))?;
        self.forget_learnt();
        Ok(transaction)
    }

    /// What was learnt is for the book as it was before the transaction that has just
    /// begun. Where this fails, the file's change counter tells the same.
    pub(in crate::book) fn forget_learnt(&self) {
        let _ = self.connection.execute("DELETE FROM learnt_from", []);
    }

    /// `SQLite` would begin a transaction that only reads, and fail at the first
    /// change.
    pub(in crate::book) fn check_writable(&self) -> Result<(), BookProblem> {
        if self
            .connection
            .is_readonly("main")
            .map_err(|error| self.problem(&error))?
        {
            let detail = "it is write-protected".into();
            return Err(BookProblem::ReadOnly {
                path: self.path.clone(),
                detail,
            });
        }
        Ok(())
    }

    /// Every row of a query, read by `read`.
    pub(in crate::book) fn all<T>(
        &self,
        sql: &str,
        values: impl Params,
        read: impl FnMut(&Row<'_>) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>, BookProblem> {
        let rows = || -> rusqlite::Result<Vec<T>> {
            let mut statement = self.connection.prepare(sql)?;
            statement.query_map(values, read)?.collect()
        };
        rows().map_err(|error| self.problem(&error))
    }

    /// The user's case behind an `SQLite` error on this book.
    pub(in crate::book) fn problem(&self, error: &rusqlite::Error) -> BookProblem {
        from_sqlite(&self.path, error)
    }
}
