//! Another id for a bike. Everything that the book keeps of it bears the new one from
//! then on, as if it had always been called so; what was handed out stays as it is.

use crate::book::connection::Book;
use crate::book::import::old_state::old_state;
use crate::book::problem::BookProblem;
use crate::book::tables::sales::SALES;
use crate::book::tables::stored::{from_day, nonsense};
use crate::trade::Day;
use rusqlite::{OptionalExtension as _, Transaction, params};
use serde_json::Value;

/// A bike that was given another id.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Renamed {
    /// The import under which it stands in the history.
    pub import: i64,
    /// The day.
    pub on: Day,
    /// Its id before.
    pub old: String,
    /// Its id from then on.
    pub new: String,
}

impl Book {
    /// Gives a bike another id; returns the number under which that stands in the history
    /// and can be taken back.
    ///
    /// # Errors
    /// The book has no bike `old`, or `new` is the id of another bike or of an offer, or
    /// the book cannot be written.
    pub fn rename_bike(&mut self, old: &str, new: &str, on: Day) -> Result<i64, BookProblem> {
        let book = &*self;
        let failed = |error| book.problem(&error);
        let transaction = book.write()?;
        let row = row_of(&transaction, old).map_err(failed)?;
        let row = row.ok_or_else(|| BookProblem::NoSuchBike {
            path: book.path.clone(),
            bike: old.to_string(),
        })?;
        if let Some(by) = taken(&transaction, new).map_err(failed)? {
            return Err(book.taken(new, by));
        }
        let rename = || -> rusqlite::Result<i64> {
            let number = enter(&transaction, (old, new), row, on)?;
            call(&transaction, row, (old, new))?;
            Ok(number)
        };
        let number = rename().map_err(failed)?;
        transaction.commit().map_err(failed)?;
        Ok(number)
    }

    /// Renames that stand, as they were made.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn renames(&self) -> Result<Vec<Renamed>, BookProblem> {
        let sql = "SELECT import, made_on, old, new FROM renames JOIN imports ON number = import \
                   WHERE undone_on IS NULL ORDER BY import";
        self.all(sql, [], |row| {
            use crate::book::tables::stored;
            Ok(Renamed {
                import: row.get(0)?,
                on: stored::read_day(row, 1)?.ok_or_else(|| nonsense(1))?,
                old: stored::read_text(row, 2)?,
                new: stored::read_text(row, 3)?,
            })
        })
    }

    pub(in crate::book) fn taken(&self, id: &str, by: &'static str) -> BookProblem {
        BookProblem::IdTaken {
            path: self.path.clone(),
            id: id.to_string(),
            by,
        }
    }
}

/// The ids of a rename, if an import was one: the bike's row, its id before and after.
pub(in crate::book) fn of_import(
    transaction: &Transaction<'_>,
    number: i64,
) -> rusqlite::Result<Option<(i64, String, String)>> {
    let sql = "SELECT row, old, new FROM renames WHERE import = ?1";
    let renamed = transaction.query_row(sql, [number], |row| {
        Ok((row.get(0)?, row.get(1)?, row.get(2)?))
    });
    renamed.optional()
}

/// What else bears an id, in words.
pub(in crate::book) fn taken(
    transaction: &Transaction<'_>,
    id: &str,
) -> rusqlite::Result<Option<&'static str>> {
    let offers = "SELECT 1 FROM offers WHERE bike = ?1 LIMIT 1";
    let offered = transaction.query_row(offers, [id], |_| Ok(())).optional()?;
    if row_of(transaction, id)?.is_some() {
        return Ok(Some("another bike"));
    }
    if offered.is_some() {
        return Ok(Some("an offer that was kept"));
    }
    // Two bikes under one id in what was counted or written before could not be told
    // apart again.
    let before = "SELECT 1 FROM taken_back WHERE json_extract(state, '$.bike') = ?1 LIMIT 1";
    let was = transaction.query_row(before, [id], |_| Ok(())).optional()?;
    let figures: Vec<(String, String)> =
        rows(transaction, "SELECT quarter, figures FROM closings", [])?;
    let counted = figures
        .iter()
        .any(|(_, figures)| in_figures(figures, id, id).is_some());
    Ok((was.is_some() || counted).then_some("a bike of before, which the history still names"))
}

fn row_of(transaction: &Transaction<'_>, id: &str) -> rusqlite::Result<Option<i64>> {
    let sql = "SELECT row FROM sales WHERE bike = ?1";
    transaction
        .query_row(sql, [id], |row| row.get(0))
        .optional()
}

/// Enters a rename in the history, as an import that changed the bike: what it was before
/// (the same, but for its id) is kept as any import keeps it, so that imports of before
/// can only be taken back after it.
fn enter(
    transaction: &Transaction<'_>,
    (old, new): (&str, &str),
    row: i64,
    on: Day,
) -> rusqlite::Result<i64> {
    let next = "SELECT coalesce(max(number), 0) + 1 FROM imports";
    let number: i64 = transaction.query_row(next, [], |row| row.get(0))?;
    transaction.execute(
        "INSERT INTO imports (number, made_on, kind, file, updated) VALUES (?1, ?2, 'rename', ?3, 1)",
        params![number, from_day(on), format!("{old} -> {new}")],
    )?;
    let state = format!(
        "SELECT row, import, {} FROM sales WHERE row = ?1",
        SALES.list()
    );
    let (was_of, was): (i64, String) = transaction.query_row(&state, [row], |there| {
        Ok((there.get(1)?, old_state(&SALES, there)?))
    })?;
    transaction.execute(
        "INSERT INTO superseded (import, kind, row, old_import, old) VALUES (?1, 'sales', ?2, ?3, ?4)",
        params![number, row, was_of, was],
    )?;
    transaction.execute(
        "UPDATE sales SET import = ?2 WHERE row = ?1",
        params![row, number],
    )?;
    transaction.execute(
        "INSERT INTO renames VALUES (?1, ?2, ?3, ?4)",
        params![number, row, old, new],
    )?;
    Ok(number)
}

/// Calls a bike by another id wherever the book names it. Other tables name its row.
pub(in crate::book) fn call(
    transaction: &Transaction<'_>,
    row: i64,
    (old, new): (&str, &str),
) -> rusqlite::Result<()> {
    transaction.execute(
        "UPDATE sales SET bike = ?2 WHERE row = ?1",
        params![row, new],
    )?;
    transaction.execute(
        "UPDATE offers SET bike = ?2 WHERE bike = ?1",
        params![old, new],
    )?;
    // A cost's mark says which cost it is: the same file again must find it.
    let of_row = "SELECT row, mark FROM costs WHERE bike = ?1";
    let marks: Vec<(i64, String)> = rows(transaction, of_row, params![row])?;
    for (cost, mark) in marks {
        transaction.execute(
            "UPDATE costs SET mark = ?2 WHERE row = ?1",
            params![cost, mark_with(&mark, new)],
        )?;
    }
    in_what_was_taken_back(transaction, old, new)?;
    let figures: Vec<(String, String)> =
        rows(transaction, "SELECT quarter, figures FROM closings", [])?;
    for (quarter, figures) in figures {
        if let Some(renamed) = in_figures(&figures, old, new) {
            transaction.execute(
                "UPDATE closings SET figures = ?2 WHERE quarter = ?1",
                params![quarter, renamed],
            )?;
        }
    }
    Ok(())
}

/// What undone imports had written is told for days on which it stood, so that it bears
/// the new id as well. Where the same import had both ids, the older stays: it was
/// another bike's.
fn in_what_was_taken_back(
    transaction: &Transaction<'_>,
    old: &str,
    new: &str,
) -> rusqlite::Result<()> {
    transaction.execute(
        "UPDATE OR IGNORE taken_back SET key = ?2, state = json_set(state, '$.bike', ?2) \
         WHERE kind = 'sales' AND key = ?1",
        params![old, new],
    )?;
    // A return is known by its bike and its day.
    transaction.execute(
        "UPDATE OR IGNORE taken_back SET key = ?2 || char(31) || json_extract(state, '$.on'), \
         state = json_set(state, '$.bike', ?2) \
         WHERE kind = 'returns' AND json_extract(state, '$.bike') = ?1",
        params![old, new],
    )?;
    let costs: Vec<(i64, String)> = rows(
        transaction,
        "SELECT import, key FROM taken_back WHERE kind = 'costs' \
         AND json_extract(state, '$.bike') = ?1",
        params![old],
    )?;
    for (import, key) in costs {
        transaction.execute(
            "UPDATE OR IGNORE taken_back SET key = ?3, \
             state = json_set(state, '$.bike', ?4, '$.mark', ?3) \
             WHERE kind = 'costs' AND import = ?1 AND key = ?2",
            params![import, key, mark_with(&key, new), new],
        )?;
    }
    Ok(())
}

fn rows<A: rusqlite::types::FromSql, B: rusqlite::types::FromSql>(
    transaction: &Transaction<'_>,
    sql: &str,
    values: impl rusqlite::Params,
) -> rusqlite::Result<Vec<(A, B)>> {
    let mut statement = transaction.prepare(sql)?;
    let rows = statement.query_map(values, |row| Ok((row.get(0)?, row.get(1)?)))?;
    rows.collect()
}

/// The mark of a cost with the bike's new id in it: a JSON array, whose fifth entry is the
/// bike, then `#` and a number.
fn mark_with(mark: &str, new: &str) -> String {
    let renamed = mark.rsplit_once('#').and_then(|(likeness, number)| {
        let mut likeness: Value = serde_json::from_str(likeness).ok()?;
        *likeness.get_mut(BIKE_OF_MARK)? = new.into();
        Some(format!("{likeness}#{number}"))
    });
    renamed.unwrap_or_else(|| mark.to_string())
}

/// Where the bike stands in what identical costs share.
const BIKE_OF_MARK: usize = 4;

/// Figures of a closed quarter with the bike's new id; `None` where it isn't in them. They
/// are JSON in which `bike` is a bike's id wherever it stands.
fn in_figures(figures: &str, old: &str, new: &str) -> Option<String> {
    let mut value: Value = serde_json::from_str(figures).ok()?;
    replace(&mut value, old, new).then(|| value.to_string())
}

fn replace(value: &mut Value, old: &str, new: &str) -> bool {
    let mut replaced = false;
    match value {
        Value::Array(all) => {
            for one in all {
                replaced |= replace(one, old, new);
            }
        }
        Value::Object(fields) => {
            for (name, field) in fields {
                if name == "bike" && field.as_str() == Some(old) {
                    *field = new.into();
                    replaced = true;
                } else {
                    replaced |= replace(field, old, new);
                }
            }
        }
        _ => {}
    }
    replaced
}
