//! An import: one transaction that adds and updates records, all or nothing.

use super::column_maps::ToRemember;
use super::comps::{self, COMPS};
use super::sales::{self, SALES};
use super::stored::{Cell, Table, from_day};
use super::{Book, BookProblem, likeness};
use crate::trade::{Comparable, Day, Sale};
use rusqlite::{
    Connection, OptionalExtension, Row, Statement, Transaction, TransactionBehavior, params,
};
use std::collections::HashMap;
use std::fmt::Write;

/// What became of a record that was put into the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Put {
    /// It was not there.
    Added,
    /// It was there, the same in every field.
    Unchanged,
    /// It was there and differed; now it is as put.
    Updated {
        /// The fields that differed.
        changed: Vec<FieldChange>,
    },
    /// The same import put a record with this id before; this one was left out.
    TwiceInFile,
}

/// One field of an updated record; unknown is empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldChange {
    /// The field's name in files.
    pub field: &'static str,
    /// As it was.
    pub before: String,
    /// As it is now.
    pub after: String,
}

/// What an import did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ImportSummary {
    /// Its number in the history; `None` when it changed nothing.
    pub number: Option<i64>,
    /// Records that were not there before.
    pub added: u64,
    /// Records that differed.
    pub updated: u64,
    /// Records that were there already, the same.
    pub unchanged: u64,
}

/// An import under way. Dropping it leaves the book as it was.
pub struct Import<'b> {
    book: &'b Book,
    sales: Option<Writer<'b>>,
    comps: Option<Writer<'b>>,
    sources: HashMap<String, i64>,
    transaction: Transaction<'b>,
    kind: String,
    file: String,
    on: Day,
    number: i64,
    begun: bool,
    done: ImportSummary,
    to_remember: Vec<ToRemember>,
    index_later: Option<String>,
}

impl Book {
    /// Begins an import of `file`: `kind` and `file` are for the history.
    /// Until it is committed or dropped, no other program can write.
    ///
    /// # Errors
    /// The book is in use for longer than five seconds, or may not be written.
    pub fn begin_import(
        &mut self,
        kind: &str,
        file: &str,
        on: Day,
    ) -> Result<Import<'_>, BookProblem> {
        let book = &*self;
        let transaction = book.write()?;
        let next = "SELECT coalesce(max(number), 0) + 1 FROM imports";
        let number = transaction
            .query_row(next, [], |row| row.get(0))
            .map_err(|error| book.problem(error))?;
        Ok(Import {
            book,
            sales: None,
            comps: None,
            sources: HashMap::new(),
            transaction,
            kind: kind.to_string(),
            file: file.to_string(),
            on,
            number,
            begun: false,
            done: ImportSummary { number: None, added: 0, updated: 0, unchanged: 0 },
            to_remember: Vec::new(),
            index_later: None,
        })
    }
}

impl<'b> Import<'b> {
    /// Puts a bike of the user's own, told by its id.
    pub fn put_sale(&mut self, sale: &Sale) -> Result<Put, BookProblem> {
        let put = self.begin().and_then(|()| {
            let writer = writer(&mut self.sales, self.book, &SALES)?;
            writer.put(&sales::cells(sale), self.number, self.book)
        });
        self.count(put)
    }

    /// Puts a comparable, told by its source and listing.
    pub fn put_comp(&mut self, comp: &Comparable) -> Result<Put, BookProblem> {
        let put = self.begin().and_then(|()| {
            let source = self.source(&comp.source)?;
            if self.comps.is_none() {
                self.index_later = likeness::put_off_index(&self.transaction)?;
            }
            let writer = writer(&mut self.comps, self.book, &COMPS)?;
            writer.put(&comps::cells(comp, source), self.number, self.book)
        });
        self.count(put)
    }

    /// Remembers the columns given for a header, for the next file like it.
    /// They are kept even when the import changes no record.
    pub fn remember_columns(
        &mut self,
        header: &[String],
        map: &[(String, String)],
        dates: Option<&str>,
    ) {
        self.to_remember.push(ToRemember::new(&self.kind, header, map, dates));
    }

    /// Makes the import lasting. One that changed nothing leaves no entry in
    /// the history.
    pub fn commit(self) -> Result<ImportSummary, BookProblem> {
        let Import { book, transaction, number, to_remember, index_later, mut done, .. } = self;
        let changed = done.added + done.updated > 0;
        let finish = || -> rusqlite::Result<()> {
            let transaction = if changed {
                index_later.iter().try_for_each(|sql| likeness::make_index(&transaction, sql))?;
                transaction
            } else {
                transaction.rollback()?;
                if to_remember.is_empty() {
                    return Ok(());
                }
                Transaction::new_unchecked(&book.connection, TransactionBehavior::Immediate)?
            };
            to_remember.iter().try_for_each(|columns| columns.write(&transaction))?;
            transaction.execute(
                "UPDATE imports SET added = ?2, updated = ?3, unchanged = ?4 WHERE number = ?1",
                params![number, done.added as i64, done.updated as i64, done.unchanged as i64],
            )?;
            transaction.commit()
        };
        finish().map_err(|error| book.problem(error))?;
        done.number = changed.then_some(number);
        Ok(done)
    }

    /// Enters the import in the history before the first record names it.
    fn begin(&mut self) -> rusqlite::Result<()> {
        if !self.begun {
            self.transaction.execute(
                "INSERT INTO imports (number, made_on, kind, file) VALUES (?1, ?2, ?3, ?4)",
                params![self.number, from_day(self.on), self.kind, self.file],
            )?;
            self.begun = true;
        }
        Ok(())
    }

    fn source(&mut self, name: &str) -> rusqlite::Result<i64> {
        if let Some(number) = self.sources.get(name) {
            return Ok(*number);
        }
        let number = number_of_source(&self.transaction, name)?;
        self.sources.insert(name.to_string(), number);
        Ok(number)
    }

    fn count(&mut self, put: rusqlite::Result<Put>) -> Result<Put, BookProblem> {
        let put = put.map_err(|error| self.book.problem(error))?;
        match put {
            Put::Added => self.done.added += 1,
            Put::Updated { .. } => self.done.updated += 1,
            Put::Unchanged => self.done.unchanged += 1,
            Put::TwiceInFile => {}
        }
        Ok(put)
    }
}

fn number_of_source(connection: &Connection, name: &str) -> rusqlite::Result<i64> {
    let find = "SELECT number FROM sources WHERE name = ?1";
    match connection.query_row(find, [name], |row| row.get(0)).optional()? {
        Some(number) => Ok(number),
        None => {
            connection.execute("INSERT INTO sources (name) VALUES (?1)", [name])?;
            Ok(connection.last_insert_rowid())
        }
    }
}

fn writer<'a, 'b>(
    place: &'a mut Option<Writer<'b>>,
    book: &'b Book,
    table: &'static Table,
) -> rusqlite::Result<&'a mut Writer<'b>> {
    Ok(match place {
        Some(writer) => writer,
        None => place.insert(Writer::new(&book.connection, table)?),
    })
}

/// The prepared statements for one table.
struct Writer<'b> {
    table: &'static Table,
    insert: Statement<'b>,
    find: Statement<'b>,
    update: Statement<'b>,
    supersede: Statement<'b>,
    seen: RowSet,
}

impl<'b> Writer<'b> {
    fn new(connection: &'b Connection, table: &'static Table) -> rusqlite::Result<Self> {
        let names: Vec<&str> = table.columns.iter().map(|(name, _)| *name).collect();
        let places: Vec<String> = (1..=names.len() + 1).map(|place| format!("?{place}")).collect();
        let keys: Vec<String> =
            names.iter().take(table.keys).zip(&places).map(|(k, p)| format!("{k} = {p}")).collect();
        let (name, columns) = (table.name, names.join(", "));
        let insert = format!(
            "INSERT INTO {name} ({columns}, import) VALUES ({}) ON CONFLICT DO NOTHING",
            places.join(", ")
        );
        let find =
            format!("SELECT row, import, {columns} FROM {name} WHERE {}", keys.join(" AND "));
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
    fn put(&mut self, cells: &[Cell<'_>], number: i64, book: &Book) -> rusqlite::Result<Put> {
        for (place, cell) in (1..).zip(cells) {
            cell.bind(&mut self.insert, place)?;
        }
        self.insert.raw_bind_parameter(cells.len() + 1, number)?;
        if self.insert.raw_execute()? == 1 {
            return Ok(Put::Added);
        }
        for (place, cell) in (1..).zip(cells).take(self.table.keys) {
            cell.bind(&mut self.find, place)?;
        }
        let mut rows = self.find.raw_query();
        let Some(there) = rows.next()? else {
            return Err(rusqlite::Error::QueryReturnedNoRows);
        };
        let (row, old_import): (i64, i64) = (there.get(0)?, there.get(1)?);
        if old_import == number || !self.seen.insert(row) {
            return Ok(Put::TwiceInFile);
        }
        let mut changed = Vec::new();
        for (place, (cell, (name, kind))) in (2..).zip(cells.iter().zip(self.table.columns)) {
            let before = Cell::from_row(there, place)?;
            if before != *cell && *kind != super::stored::Kind::Derived {
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
        self.supersede.execute(params![number, self.table.name, row, old_import, old])?;
        write_row(&mut self.update, cells.iter().copied().skip(self.table.keys), number, row)?;
        Ok(Put::Updated { changed })
    }
}

/// The row of `Writer::find` as a JSON object, without its key and what is
/// unknown. Written by hand: a map of `serde_json` takes twice the time.
fn old_state(table: &Table, there: &Row<'_>) -> rusqlite::Result<String> {
    let mut old = String::with_capacity(256);
    for (place, (name, _)) in (2..).zip(table.columns).skip(table.keys) {
        let value = match Cell::from_row(there, place)? {
            Cell::Null => continue,
            cell => cell.to_json(),
        };
        let comma = if old.is_empty() { "{" } else { "," };
        // Writing to a `String` cannot fail.
        let _ = write!(old, "{comma}\"{name}\":{value}");
    }
    old.push_str(if old.is_empty() { "{}" } else { "}" });
    Ok(old)
}

/// Sets every column of a row but its key: those in order, then `import`; the
/// row number comes last.
pub(super) fn update_sql(table: &Table) -> String {
    let names = table.columns.iter().map(|(name, _)| *name).skip(table.keys);
    let sets: Vec<String> = (1..)
        .zip(names.chain(["import"]))
        .map(|(place, name)| format!("{name} = ?{place}"))
        .collect();
    format!("UPDATE {} SET {} WHERE row = ?{}", table.name, sets.join(", "), sets.len() + 1)
}

/// Runs the statement of [`update_sql`].
pub(super) fn write_row<'c>(
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
struct RowSet(HashMap<i64, u64>);

impl RowSet {
    /// False when it was in already.
    fn insert(&mut self, row: i64) -> bool {
        let word = self.0.entry(row >> 6).or_insert(0);
        let bit = 1_u64 << (row & 63);
        let new = *word & bit == 0;
        *word |= bit;
        new
    }
}
