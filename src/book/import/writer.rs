//! The prepared statements that put records into a table.

use super::old_state::old_state;
use super::put::{FieldChange, Put};
use crate::book::connection::Book;
use crate::book::tables::stored::{Cell, Kind, Table};
use rusqlite::{Connection, Statement, params};
use std::collections::HashMap;

/// The prepared statements for one table.
pub(in crate::book) struct Writer<'b> {
    table: &'static Table,
    insert: Statement<'b>,
    find: Statement<'b>,
    update: Statement<'b>,
    supersede: Statement<'b>,
    pub(in crate::book) seen: RowSet,
}

impl<'b> Writer<'b> {
    pub(in crate::book) fn new(
        connection: &'b Connection,
        table: &'static Table,
    ) -> rusqlite::Result<Self> {
        let names: Vec<String> = table.columns.iter().map(|(name, _)| quoted(name)).collect();
        let places: Vec<String> = (1..=names.len() + 1)
            .map(|place| format!("?{place}"))
            .collect();
        let keys: Vec<String> = names
            .iter()
            .take(table.keys)
            .zip(&places)
            .map(|(k, p)| format!("{k} = {p}"))
            .collect();
        let (name, columns) = (table.name, names.join(", "));
        let insert = format!(
            "INSERT INTO {name} ({columns}, import) VALUES ({}) ON CONFLICT DO NOTHING",
            places.join(", ")
        );
        let find = format!(
            "SELECT row, import, {columns} FROM {name} WHERE {}",
            keys.join(" AND ")
        );
        Ok(Self {
            table,
            insert: connection.prepare(&insert)?,
            find: connection.prepare(&find)?,
            update: connection.prepare(&update_sql(table))?,
            supersede: connection.prepare(
                "INSERT INTO superseded (import, kind, row, old_import, old) \
                 VALUES (?1, ?2, ?3, ?4, ?5)",
            )?,
            seen: RowSet::default(),
        })
    }

    /// Inserts first: most rows of a file are new. Only a row whose key is
    /// there is read and compared.
    pub(in crate::book) fn put(
        &mut self,
        cells: &[Cell<'_>],
        number: i64,
        book: &Book,
    ) -> rusqlite::Result<Put> {
        match self.put_if_new(cells, number)? {
            There::Not => Ok(Put::Added),
            There::ByThisImport => Ok(Put::TwiceInFile),
            There::Row => self.put_over(cells, number, book),
        }
    }

    /// Puts a row where its key is not there yet.
    pub(in crate::book) fn put_if_new(
        &mut self,
        cells: &[Cell<'_>],
        number: i64,
    ) -> rusqlite::Result<There> {
        for (place, cell) in (1..).zip(cells) {
            cell.bind(&mut self.insert, place)?;
        }
        self.insert.raw_bind_parameter(cells.len() + 1, number)?;
        if self.insert.raw_execute()? == 1 {
            return Ok(There::Not);
        }
        let mut rows = found(&mut self.find, self.table, cells)?;
        let there = rows.next()?;
        let there = there.ok_or(rusqlite::Error::QueryReturnedNoRows)?;
        let (row, old_import): (i64, i64) = (there.get(0)?, there.get(1)?);
        let twice = old_import == number || !self.seen.insert(row);
        Ok(if twice {
            There::ByThisImport
        } else {
            There::Row
        })
    }

    /// Puts a row over the one with its key, which is there.
    pub(in crate::book) fn put_over(
        &mut self,
        cells: &[Cell<'_>],
        number: i64,
        book: &Book,
    ) -> rusqlite::Result<Put> {
        let mut rows = found(&mut self.find, self.table, cells)?;
        let there = rows.next()?;
        let there = there.ok_or(rusqlite::Error::QueryReturnedNoRows)?;
        let (row, old_import): (i64, i64) = (there.get(0)?, there.get(1)?);
        let mut changed = Vec::new();
        for (place, (cell, (name, kind))) in (2..).zip(cells.iter().zip(self.table.columns)) {
            let before = Cell::from_row(there, place)?;
            if before != *cell && *kind != Kind::Derived {
                let currency = &book.settings.currency;
                changed.push(FieldChange {
                    field: name,
                    before: before.show(*kind, currency),
                    after: cell.show(*kind, currency),
                });
            }
        }
        if changed.is_empty() {
            return Ok(Put::Unchanged);
        }
        let old = old_state(self.table, there)?;
        drop(rows);
        // What this import itself put there is not kept: undone is what was there before.
        if old_import != number {
            self.supersede
                .execute(params![number, self.table.name, row, old_import, old])?;
        }
        write_row(
            &mut self.update,
            cells.iter().copied().skip(self.table.keys),
            number,
            row,
        )?;
        Ok(Put::Updated { changed })
    }
}

/// What is there of a row's key.
pub(in crate::book) enum There {
    /// Nothing was; now the row is.
    Not,
    /// A row that this import has put or met before.
    ByThisImport,
    /// A row of an earlier import.
    Row,
}

/// The row with the key of these cells.
fn found<'s>(
    find: &'s mut Statement<'_>,
    table: &Table,
    cells: &[Cell<'_>],
) -> rusqlite::Result<rusqlite::Rows<'s>> {
    for (place, cell) in (1..).zip(cells).take(table.keys) {
        cell.bind(find, place)?;
    }
    Ok(find.raw_query())
}

/// A column's name in SQL; `on` is a word of SQL.
fn quoted(name: &str) -> String {
    format!("\"{name}\"")
}

/// Sets every column of a row but its key: those in order, then `import`; the
/// row number comes last.
pub(in crate::book) fn update_sql(table: &Table) -> String {
    let names = table.columns.iter().map(|(name, _)| quoted(name));
    let sets: Vec<String> = (1..)
        .zip(names.skip(table.keys).chain(["import".to_string()]))
        .map(|(place, name)| format!("{name} = ?{place}"))
        .collect();
    format!(
        "UPDATE {} SET {} WHERE row = ?{}",
        table.name,
        sets.join(", "),
        sets.len() + 1
    )
}

/// Runs the statement of [`update_sql`].
pub(in crate::book) fn write_row<'c>(
    update: &mut Statement<'_>,
    cells: impl Iterator<Item = Cell<'c>>,
    import: i64,
    row: i64,
) -> rusqlite::Result<()> {
    let mut place = 0;
    for cell in cells.chain([Cell::Int(import), Cell::Int(row)]) {
        place += 1;
        cell.bind(update, place)?;
    }
    update.raw_execute().map(|_| ())
}

/// A set of row numbers, 64 to a word: an eighth of a megabyte for a million.
#[derive(Default)]
pub(in crate::book) struct RowSet(HashMap<i64, u64>);

impl RowSet {
    /// False when it was in already.
    fn insert(&mut self, row: i64) -> bool {
        let word = self.0.entry(row >> 6).or_insert(0);
        let bit = 1_u64 << (row & 63);
        let new = *word & bit == 0;
        *word |= bit;
        new
    }

    pub(in crate::book) fn contains(&self, row: i64) -> bool {
        let word = self.0.get(&(row >> 6)).copied().unwrap_or(0);
        word & (1_u64 << (row & 63)) != 0
    }
}
