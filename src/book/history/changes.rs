//! What each import changed: a field of a record before and after it.

use crate::book::connection::Book;
use crate::book::import::old_state::parsed;
use crate::book::import::put::FieldChange;
use crate::book::problem::BookProblem;
use crate::book::tables::asks::ASKS;
use crate::book::tables::comps::COMPS;
use crate::book::tables::gifts::GIFTS;
use crate::book::tables::returns::RETURNS;
use crate::book::tables::sales::SALES;
use crate::book::tables::stored::{self, Cell, Kind, Table};
use crate::trade::Day;
use rusqlite::Row;

/// Which record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowKey<'a> {
    /// A bike of the user's own.
    Sale { id: &'a str },
    /// A price change of an own listing.
    Ask { bike: &'a str, on: Day },
    /// Money handed back to a buyer.
    Return { bike: &'a str, on: Day },
    /// A comparable.
    Comp { source: &'a str, listing: &'a str },
    /// A gift that has a reference.
    Gift { reference: &'a str },
}

/// A field of a record that an import changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecordChange<'a> {
    /// The number of the import.
    pub import: i64,
    /// Which record.
    pub record: RowKey<'a>,
    /// The field, as it was before the import and after it.
    pub field: FieldChange,
    /// Whether its values, where known, are written as numbers: money, hours,
    /// a year (though a range of years is none).
    pub is_number: bool,
}

/// Makes a record's name of a row, from a column on.
type NameOf = for<'r> fn(&'r Row<'_>, usize) -> rusqlite::Result<RowKey<'r>>;

/// The tables whose records change (a cost is another cost when any field of it
/// differs), with what their records are named by, in SQL.
const NAMED: [(&Table, &str, &str, NameOf); 5] = [
    (&SALES, "sales.bike", "", |row, at| {
        let id = row.get_ref(at)?.as_str()?;
        Ok(RowKey::Sale { id })
    }),
    (
        &ASKS,
        "sales.bike, asks.\"on\"",
        "JOIN sales ON sales.row = asks.bike",
        |row, at| {
            let bike = row.get_ref(at)?.as_str()?;
            let on = stored::read_day(row, at + 1)?.ok_or_else(|| stored::nonsense(at + 1))?;
            Ok(RowKey::Ask { bike, on })
        },
    ),
    (
        &RETURNS,
        "sales.bike, returns.\"on\"",
        "JOIN sales ON sales.row = returns.bike",
        |row, at| {
            let bike = row.get_ref(at)?.as_str()?;
            let on = stored::read_day(row, at + 1)?.ok_or_else(|| stored::nonsense(at + 1))?;
            Ok(RowKey::Return { bike, on })
        },
    ),
    (
        &COMPS,
        "sources.name, comps.listing",
        "JOIN sources ON sources.number = comps.source",
        |row, at| {
            let source = row.get_ref(at)?.as_str()?;
            let listing = row.get_ref(at + 1)?.as_str()?;
            Ok(RowKey::Comp { source, listing })
        },
    ),
    (&GIFTS, "gifts.reference", "", |row, at| {
        let reference = row.get_ref(at)?.as_str()?;
        Ok(RowKey::Gift { reference })
    }),
];

impl Book {
    /// Streams every field that imports changed: by kind of record, then by
    /// record as it first came in, then by import. An import that was undone
    /// changed nothing.
    ///
    /// # Errors
    /// The book cannot be read or is damaged; what was streamed before stands.
    pub fn each_change(&self, take: &mut dyn FnMut(&RecordChange<'_>)) -> Result<(), BookProblem> {
        for (table, names, join, name_of) in NAMED {
            self.changes_in(table, &sql(table, names, join), name_of, take)
                .map_err(|error| self.problem(&error))?;
        }
        Ok(())
    }

    fn changes_in(
        &self,
        table: &Table,
        sql: &str,
        name_of: NameOf,
        take: &mut dyn FnMut(&RecordChange<'_>),
    ) -> rusqlite::Result<()> {
        let shown = table.columns.iter().skip(table.keys);
        let shown: Vec<&(&str, Kind)> = shown.collect();
        let mut statement = self.connection.prepare(sql)?;
        let mut rows = statement.query([table.name])?;
        while let Some(row) = rows.next()? {
            let before = parsed(row.get_ref(1)?.as_str()?)?;
            let after = match row.get_ref(2)?.as_str_or_null()? {
                Some(next) => Some(parsed(next)?),
                None => None,
            };
            for (place, (name, kind)) in (RECORD_FROM..).zip(&shown) {
                let kept = |state| Cell::from_json(state).ok_or_else(|| stored::nonsense(1));
                let before = kept(before.get(*name))?;
                let after = match &after {
                    Some(after) => kept(after.get(*name))?,
                    None => Cell::from_row(row, place)?,
                };
                if before == after || *kind == Kind::Derived {
                    continue;
                }
                let currency = &self.settings.currency;
                take(&RecordChange {
                    import: row.get(0)?,
                    record: name_of(row, RECORD_FROM + shown.len())?,
                    field: FieldChange {
                        field: name,
                        before: before.show(*kind, currency),
                        after: after.show(*kind, currency),
                    },
                    is_number: matches!(
                        kind,
                        Kind::Money | Kind::Hours | Kind::Years | Kind::Plain
                    ),
                });
            }
        }
        Ok(())
    }
}

/// Where the columns of the record begin in [`sql`].
const RECORD_FROM: usize = 3;

/// Columns: the import, the state before it, the state that the next import
/// replaced (NULL when none did, so that the record still has it), the record's
/// columns as they are now, what names it.
fn sql(table: &Table, names: &str, join: &str) -> String {
    let name = table.name;
    let columns = table.columns.iter().skip(table.keys);
    let columns: Vec<String> = columns
        .map(|(column, _)| format!("{name}.\"{column}\""))
        .collect();
    format!(
        "SELECT done.import, done.old, \
             (SELECT old FROM superseded AS next WHERE next.kind = done.kind \
              AND next.row = done.row AND next.import > done.import \
              ORDER BY next.import LIMIT 1), {columns}, {names} \
         FROM superseded AS done JOIN {name} ON {name}.row = done.row {join} \
         WHERE done.kind = ?1 ORDER BY done.row, done.import",
        columns = columns.join(", ")
    )
}
