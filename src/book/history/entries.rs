//! The imports that were made.

use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::book::tables::stored;
use crate::trade::Day;
use rusqlite::Row;

/// One import in the history.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HistoryEntry {
    /// Counted from 1.
    pub number: i64,
    /// The day it was made.
    pub on: Day,
    /// As given to [`Book::begin_import`].
    pub kind: String,
    /// As given to [`Book::begin_import`].
    pub file: String,
    /// Records added, changed, and found the same.
    pub added: u64,
    pub updated: u64,
    pub unchanged: u64,
    /// The day it was undone, if it was.
    pub undone_on: Option<Day>,
}

pub(in crate::book) fn entry(row: &Row<'_>) -> rusqlite::Result<HistoryEntry> {
    Ok(HistoryEntry {
        number: row.get(0)?,
        on: stored::read_day(row, 1)?.ok_or_else(|| stored::nonsense(1))?,
        kind: row.get(2)?,
        file: row.get(3)?,
        added: stored::read_count(row, 4)?,
        updated: stored::read_count(row, 5)?,
        unchanged: stored::read_count(row, 6)?,
        undone_on: stored::read_day(row, 7)?,
    })
}

pub(in crate::book) const READ: &str =
    "SELECT number, made_on, kind, file, added, updated, unchanged, undone_on FROM imports";

impl Book {
    /// Every import that changed something, the oldest first; undone ones too.
    pub fn history(&self) -> Result<Vec<HistoryEntry>, BookProblem> {
        let all = || -> rusqlite::Result<Vec<HistoryEntry>> {
            let mut statement = self
                .connection
                .prepare(&format!("{READ} ORDER BY number"))?;
            statement.query_map([], entry)?.collect()
        };
        all().map_err(|error| self.problem(&error))
    }
}
