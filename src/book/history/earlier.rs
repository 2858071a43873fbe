//! How one record was before imports changed it.

use crate::book::connection::Book;
use crate::book::import::old_state::parsed;
use crate::book::problem::BookProblem;
use crate::book::tables::asks::{self, ASKS};
use crate::book::tables::comps::COMPS;
use crate::book::tables::gifts::{self, GIFTS};
use crate::book::tables::sales::SALES;
use crate::book::tables::stored::{self, Cell, Table, from_day};
use crate::trade::Day;
use rusqlite::{OptionalExtension, params};

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

impl Book {
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
            .map_err(|error| self.problem(&error))
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
}
