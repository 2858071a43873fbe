//! Taking an import back.

use super::entries::{entry, select};
use super::{recorded, renames};
use crate::book::connection::Book;
use crate::book::import::old_state::parsed;
use crate::book::import::writer::{update_sql, write_row};
use crate::book::problem::BookProblem;
use crate::book::tables::asks::ASKS;
use crate::book::tables::comps::COMPS;
use crate::book::tables::costs::COSTS;
use crate::book::tables::gifts::GIFTS;
use crate::book::tables::inspections::INSPECTIONS;
use crate::book::tables::offers::OFFERS;
use crate::book::tables::returns::RETURNS;
use crate::book::tables::sales::SALES;
use crate::book::tables::stored::{self, Cell, Table, from_day};
use crate::trade::Day;
use rusqlite::{OptionalExtension, Transaction, params};

/// Every table whose rows an import writes; one that names rows of another
/// stands before it, so that its rows go first.
const TABLES: [&Table; 8] = [
    &INSPECTIONS,
    &ASKS,
    &COSTS,
    &RETURNS,
    &SALES,
    &COMPS,
    &GIFTS,
    &OFFERS,
];

/// What an undo did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Undone {
    /// Records that the import had added and that are gone now.
    pub removed: u64,
    /// Records that it had changed and that are as before.
    pub restored: u64,
}

impl Book {
    /// Undoes an import: removes what it added and restores what it changed,
    /// all or nothing. It stays in the history as undone on the day `on`.
    ///
    /// # Errors
    /// No such import, undone already, or a later import changed some of its
    /// rows or put asks, costs, returns or inspections of bikes that it added: that one is
    /// named and must be undone first. Or it gave a bike another id, and the old one is
    /// taken.
    pub fn undo(&mut self, number: i64, on: Day) -> Result<Undone, BookProblem> {
        let book = &*self;
        let failed = |error| book.problem(&error);
        let transaction = book.write()?;
        let path = book.path.clone();
        let import = transaction
            .query_row(&select("WHERE number = ?1"), [number], entry)
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
        if let Some((_, old, _)) = renames::of_import(&transaction, number).map_err(failed)?
            && let Some(by) = renames::taken(&transaction, &old).map_err(failed)?
        {
            return Err(book.taken(&old, by));
        }
        let undone = take_back(&transaction, number, on).map_err(failed)?;
        transaction.commit().map_err(failed)?;
        Ok(undone)
    }
}

/// Number and file of the last other import that put asks, costs, returns or inspections of bikes
/// which import `number` added and its undoing would remove, and how many. What was
/// handed back of a sale needs the sale, also where the bike itself would stay.
fn named_later(
    transaction: &Transaction<'_>,
    number: i64,
) -> rusqlite::Result<Option<(i64, String, i64)>> {
    transaction
        .query_row(
            "WITH named AS (SELECT bike, import, 0 AS of_a_sale FROM asks \
             UNION ALL SELECT bike, import, 0 FROM costs \
             UNION ALL SELECT bike, import, 0 FROM inspections \
             UNION ALL SELECT bike, import, 1 FROM returns) \
             SELECT number, file, count(*) FROM sales JOIN named ON named.bike = sales.row \
             JOIN imports ON number = named.import \
             WHERE sales.import = ?1 AND named.import <> ?1 AND (NOT EXISTS \
                 (SELECT 1 FROM superseded WHERE superseded.import = ?1 \
                  AND superseded.kind = 'sales' AND superseded.row = sales.row) \
                 OR (of_a_sale AND named.import > ?1 AND ?1 NOT IN (SELECT import FROM renames))) \
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
    if let Some((row, old, new)) = renames::of_import(transaction, number)? {
        renames::call(transaction, row, (&new, &old))?;
    }
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
