//! The imports that were made.

use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::book::tables::stored::{self, place};
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

/// What is read of an import.
const READ: [&str; 8] = [
    "number",
    "made_on",
    "kind",
    "file",
    "added",
    "updated",
    "unchanged",
    "undone_on",
];
const NUMBER: usize = place(&READ, "number");
const MADE_ON: usize = place(&READ, "made_on");
const KIND: usize = place(&READ, "kind");
const FILE: usize = place(&READ, "file");
const ADDED: usize = place(&READ, "added");
const UPDATED: usize = place(&READ, "updated");
const UNCHANGED: usize = place(&READ, "unchanged");
const UNDONE_ON: usize = place(&READ, "undone_on");

/// Selects imports that [`entry`] reads.
pub(in crate::book) fn select(rest: &str) -> String {
    format!("SELECT {} FROM imports {rest}", READ.join(", "))
}

pub(in crate::book) fn entry(row: &Row<'_>) -> rusqlite::Result<HistoryEntry> {
    Ok(HistoryEntry {
        number: row.get(NUMBER)?,
        on: stored::read_day(row, MADE_ON)?.ok_or_else(|| stored::nonsense(MADE_ON))?,
        kind: row.get(KIND)?,
        file: row.get(FILE)?,
        added: stored::read_count(row, ADDED)?,
        updated: stored::read_count(row, UPDATED)?,
        unchanged: stored::read_count(row, UNCHANGED)?,
        undone_on: stored::read_day(row, UNDONE_ON)?,
    })
}

impl Book {
    /// Every import that changed something, the oldest first; undone ones too.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn history(&self) -> Result<Vec<HistoryEntry>, BookProblem> {
        self.all(&select("ORDER BY number"), [], entry)
    }
}
