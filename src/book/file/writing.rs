//! A transaction that writes: one of its own, or a part of one that holds
//! several imports together.

use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use rusqlite::Connection;
use std::ops::Deref;

const BEGIN: &str = "BEGIN IMMEDIATE";
const COMMIT: &str = "COMMIT";
const ROLL_BACK: &str = "ROLLBACK";
const BEGIN_PART: &str = "SAVEPOINT part";
const COMMIT_PART: &str = "RELEASE part";
const ROLL_BACK_PART: &str = "ROLLBACK TO part; RELEASE part";

/// Changes that are not yet kept. Dropping it takes them back.
pub(in crate::book) struct Writing<'b> {
    connection: &'b Connection,
    is_part: bool,
    ended: bool,
}

impl<'b> Writing<'b> {
    /// Begins; a part where a transaction is under way.
    pub(in crate::book) fn begin(connection: &'b Connection) -> rusqlite::Result<Self> {
        let is_part = !connection.is_autocommit();
        connection.execute_batch(if is_part { BEGIN_PART } else { BEGIN })?;
        Ok(Self {
            connection,
            is_part,
            ended: false,
        })
    }

    /// Keeps the changes; those of a part as long as the whole is kept.
    pub(in crate::book) fn commit(mut self) -> rusqlite::Result<()> {
        let sql = if self.is_part { COMMIT_PART } else { COMMIT };
        self.connection.execute_batch(sql)?;
        self.ended = true;
        Ok(())
    }

    /// Takes the changes back.
    pub(in crate::book) fn roll_back(mut self) -> rusqlite::Result<()> {
        self.ended = true;
        self.take_back()
    }

    fn take_back(&self) -> rusqlite::Result<()> {
        // After some failures SQLite has ended the transaction by itself.
        match (self.connection.is_autocommit(), self.is_part) {
            (true, _) => Ok(()),
            (false, true) => self.connection.execute_batch(ROLL_BACK_PART),
            (false, false) => self.connection.execute_batch(ROLL_BACK),
        }
    }
}

impl Drop for Writing<'_> {
    fn drop(&mut self) {
        if !self.ended {
            let _ = self.take_back(); // What is not kept goes with the connection.
        }
    }
}

impl Deref for Writing<'_> {
    type Target = Connection;

    fn deref(&self) -> &Connection {
        self.connection
    }
}

/// Several imports of which all are kept or none. The book shows what they did
/// so far; dropping it leaves the book as it was.
#[derive(Debug)]
pub struct Together<'b> {
    book: &'b mut Book,
    kept: bool,
}

impl Book {
    /// Begins to hold imports together. Until they are kept or dropped, no other
    /// program can write.
    ///
    /// # Errors
    /// The book is in use for longer than five seconds, or may not be written.
    pub fn together(&mut self) -> Result<Together<'_>, BookProblem> {
        self.check_writable()?;
        let begun = self.connection.execute_batch(BEGIN);
        begun.map_err(|error| self.problem(&error))?;
        Ok(Together {
            book: self,
            kept: false,
        })
    }
}

impl Together<'_> {
    /// The book with all that was done so far, for the next import.
    pub fn book(&mut self) -> &mut Book {
        self.book
    }

    /// Makes all of them lasting.
    ///
    /// # Errors
    /// No room on the disk, or the book is being read for longer than five
    /// seconds; then nothing is kept.
    pub fn keep(mut self) -> Result<(), BookProblem> {
        let kept = self.book.connection.execute_batch(COMMIT);
        kept.map_err(|error| self.book.problem(&error))?;
        self.kept = true;
        Ok(())
    }
}

impl Drop for Together<'_> {
    fn drop(&mut self) {
        if !self.kept && !self.book.connection.is_autocommit() {
            let _ = self.book.connection.execute_batch(ROLL_BACK); // as above
        }
    }
}
