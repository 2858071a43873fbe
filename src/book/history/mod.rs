//! What was imported when, what it replaced, and how to undo it.

pub(super) mod changes;
pub(super) mod recorded;

use super::import::writer::{update_sql, write_row};
use super::tables::asks;
use super::tables::asks::ASKS;
use super::tables::comps::COMPS;
use super::tables::costs::COSTS;
use super::tables::gifts;
use super::tables::gifts::GIFTS;
use super::tables::inspections::INSPECTIONS;
use super::tables::offers::OFFERS;
use super::tables::sales::SALES;
use super::tables::stored;
use super::tables::stored::{Cell, Table, from_day};
use super::{Book, BookProblem};
use crate::trade::Day;
use rusqlite::{OptionalExtension, Row, Transaction, params};

/// Every table whose rows an import writes; one that names rows of another
/// stands before it, so that its rows go first.
const TABLES: [&Table; 7] = [&INSPECTIONS, &ASKS, &COSTS, &SALES, &COMPS, &GIFTS, &OFFERS];

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

/// What an undo did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Undone {
    /// Records that the import had added and that are gone now.
    pub removed: u64,
    /// Records that it had changed and that are as before.
    pub restored: u64,
}

/// Which record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowKey<'a> {
    /// A bike of the user's own.
    Sale { id: &'a str },
    /// A price change of an own listing.
    Ask { bike: &'a str, on: Day },
    /// A comparable.
    Comp { source: &'a str, listing: &'a str },
    /// A gift that has a reference.
    Gift { reference: &'a str },
}

/// How a record was before an import changed it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EarlierState {
    /// The import that had written this state.
    pub written_by: i64,
    /// The import that replaced it, and the day it did.
    pub replaced_by: i64,
    pub replaced_on: Day,
    /// Field and value as a person reads it; unknown is empty.
    pub fields: Vec<(&'static str, String)>,
}

fn entry(row: &Row<'_>) -> rusqlite::Result<HistoryEntry> {
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

const READ: &str =
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
        all().map_err(|error| self.problem(error))
    }

    /// Earlier states of a record, the oldest first. Empty when it never
    /// changed or is not there. What an undone import replaced is current
    /// again, so it is not among them.
    pub fn history_of(&self, key: RowKey<'_>) -> Result<Vec<EarlierState>, BookProblem> {
        let (table, row) = match key {
            RowKey::Sale { id } => (
                &SALES,
                self.connection
                    .query_row("SELECT row FROM sales WHERE bike = ?1", [id], |row| {
                        row.get(0)
                    }),
            ),
            RowKey::Ask { bike, on } => (&ASKS, self.row_of_ask(bike, on)),
            RowKey::Comp { source, listing } => (
                &COMPS,
                self.connection.query_row(
                    "SELECT row FROM comps WHERE listing = ?2 AND \
                     source = (SELECT number FROM sources WHERE name = ?1)",
                    [source, listing],
                    |row| row.get(0),
                ),
            ),
            RowKey::Gift { reference } => (
                &GIFTS,
                self.connection.query_row(
                    "SELECT row FROM gifts WHERE mark = ?1",
                    [gifts::mark_of_reference(reference)],
                    |row| row.get(0),
                ),
            ),
        };
        let states = |row: i64| -> rusqlite::Result<Vec<EarlierState>> {
            let mut statement = self.connection.prepare(
                "SELECT old_import, import, made_on, old FROM superseded \
                 JOIN imports ON number = import WHERE superseded.kind = ?1 AND row = ?2 \
                 ORDER BY import",
            )?;
            let states = statement.query_map(params![table.name, row], |row| {
                Ok(EarlierState {
                    written_by: row.get(0)?,
                    replaced_by: row.get(1)?,
                    replaced_on: stored::read_day(row, 2)?.ok_or_else(|| stored::nonsense(2))?,
                    fields: self.shown(table, row.get_ref(3)?.as_str()?)?,
                })
            })?;
            states.collect()
        };
        row.optional()
            .and_then(|row: Option<i64>| row.map_or(Ok(Vec::new()), states))
            .map_err(|error| self.problem(error))
    }

    fn row_of_ask(&self, bike: &str, on: Day) -> rusqlite::Result<i64> {
        let bike = asks::row_of_bike(&self.connection, bike)?;
        self.connection.query_row(
            "SELECT row FROM asks WHERE bike = ?1 AND \"on\" = ?2",
            params![bike, from_day(on)],
            |row| row.get(0),
        )
    }

    /// The fields of a kept old state.
    fn shown(&self, table: &Table, old: &str) -> rusqlite::Result<Vec<(&'static str, String)>> {
        let old = parsed(old)?;
        let mut fields = Vec::new();
        for (name, kind) in table.columns.iter().skip(table.keys) {
            if *kind != stored::Kind::Derived {
                let cell = Cell::from_json(old.get(*name)).ok_or_else(|| stored::nonsense(3))?;
                fields.push((*name, cell.show(*kind, &self.settings.currency)));
            }
        }
        Ok(fields)
    }

    /// Undoes an import: removes what it added and restores what it changed,
    /// all or nothing. It stays in the history as undone on the day `on`.
    ///
    /// # Errors
    /// No such import, undone already, or a later import changed some of its
    /// rows or put asks, costs or inspections of bikes that it added: that one is named and
    /// must be undone first.
    pub fn undo(&mut self, number: i64, on: Day) -> Result<Undone, BookProblem> {
        let book = &*self;
        let failed = |error| book.problem(error);
        let transaction = book.write()?;
        let path = book.path.clone();
        let import = transaction
            .query_row(&format!("{READ} WHERE number = ?1"), [number], entry)
            .optional()
            .map_err(failed)?;
        match import.map(|import| import.undone_on) {
            None => return Err(BookProblem::NoSuchImport { path, number }),
            Some(Some(day)) => {
                return Err(BookProblem::AlreadyUndone {
                    path,
                    number,
                    on: day.to_string(),
                });
            }
            Some(None) => {}
        }
        let later = transaction
            .query_row(
                "SELECT number, file, count(*) FROM superseded JOIN imports ON number = import \
                 WHERE old_import = ?1 GROUP BY number ORDER BY number DESC LIMIT 1",
                [number],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )
            .optional()
            .map_err(failed)?;
        if let Some((later, file, rows)) = later {
            return Err(BookProblem::ChangedLater {
                path,
                number,
                later,
                file,
                rows,
            });
        }
        if let Some((later, file, rows)) = named_later(&transaction, number).map_err(failed)? {
            return Err(BookProblem::NamedLater {
                path,
                number,
                later,
                file,
                rows,
            });
        }
        let undone = take_back(&transaction, number, on).map_err(failed)?;
        transaction.commit().map_err(failed)?;
        Ok(undone)
    }
}

/// Number and file of the last other import that put asks, costs or inspections of bikes
/// which import `number` added and its undoing would remove, and how many.
fn named_later(
    transaction: &Transaction<'_>,
    number: i64,
) -> rusqlite::Result<Option<(i64, String, i64)>> {
    transaction
        .query_row(
            "WITH named AS (SELECT bike, import FROM asks UNION ALL SELECT bike, import FROM costs \
             UNION ALL SELECT bike, import FROM inspections) \
             SELECT number, file, count(*) FROM sales JOIN named ON named.bike = sales.row \
             JOIN imports ON number = named.import \
             WHERE sales.import = ?1 AND named.import <> ?1 AND NOT EXISTS \
                 (SELECT 1 FROM superseded WHERE superseded.import = ?1 \
                  AND superseded.kind = 'sales' AND superseded.row = sales.row) \
             GROUP BY number ORDER BY number DESC LIMIT 1",
            [number],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()
}

/// Restores first: what then still carries the import's number it had added.
fn take_back(transaction: &Transaction<'_>, number: i64, on: Day) -> rusqlite::Result<Undone> {
    let mut undone = Undone {
        removed: 0,
        restored: 0,
    };
    recorded::keep_taken_back(transaction, number)?;
    for table in TABLES {
        let mut kept = transaction.prepare(
            "SELECT row, old_import, old FROM superseded WHERE import = ?1 AND kind = ?2",
        )?;
        let mut update = transaction.prepare(&update_sql(table))?;
        let mut rows = kept.query(params![number, table.name])?;
        while let Some(row) = rows.next()? {
            let old = parsed(row.get_ref(2)?.as_str()?)?;
            let cells: Option<Vec<Cell<'_>>> = table
                .columns
                .iter()
                .skip(table.keys)
                .map(|(name, _)| Cell::from_json(old.get(*name)))
                .collect();
            let cells = cells.ok_or_else(|| stored::nonsense(2))?;
            write_row(&mut update, cells.into_iter(), row.get(1)?, row.get(0)?)?;
            undone.restored += 1;
        }
        let added = format!("DELETE FROM {} WHERE import = ?1", table.name);
        undone.removed += transaction.execute(&added, [number])? as u64;
    }
    transaction.execute("DELETE FROM superseded WHERE import = ?1", [number])?;
    transaction.execute(
        "DELETE FROM sources WHERE NOT EXISTS (SELECT 1 FROM comps WHERE source = sources.number)",
        [],
    )?;
    transaction.execute(
        "UPDATE imports SET undone_on = ?2 WHERE number = ?1",
        params![number, from_day(on)],
    )?;
    Ok(undone)
}

/// A kept old state.
pub(super) fn parsed(old: &str) -> rusqlite::Result<serde_json::Map<String, serde_json::Value>> {
    serde_json::from_str(old).map_err(|_| stored::nonsense(2))
}
