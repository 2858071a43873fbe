//! The tables of inspections. A record is what was found; a second inspection is a
//! second record.

use super::stored::{self, Kind, Table, from_day, nonsense, place};
use crate::book::connection::Book;
use crate::book::import::put::Put;
use crate::book::problem::BookProblem;
use crate::trade::Day;
use crate::trade::inspection::{CheckResult, Finding, Inspection, Measure, Sheet, item};
use rusqlite::{Connection, Row, params};

pub(in crate::book) const INSPECTIONS: Table = Table {
    name: "inspections",
    keys: 2,
    columns: &[("bike", Kind::BikeRow), ("on", Kind::Day)],
};

/// What a sheet says of one item.
#[derive(PartialEq)]
struct Said {
    item: String,
    result: String,
    measure: Option<String>,
    note: Option<String>,
}

/// By the bytes of the items' names.
fn said(sheet: &Sheet) -> Vec<Said> {
    let rows = sheet.said().map(|(item, finding)| Said {
        item: item.to_string(),
        result: finding.result.word().to_string(),
        measure: finding.measure.as_ref().map(Measure::to_string),
        note: finding.note.clone(),
    });
    rows.collect()
}

/// Puts an inspection of the bike in row `bike`, unless the same is there.
pub(in crate::book) fn put(
    connection: &Connection,
    inspection: &Inspection,
    bike: i64,
    import: i64,
) -> rusqlite::Result<Put> {
    let (on, rows) = (from_day(inspection.on), said(&inspection.sheet));
    let mut same_day =
        connection.prepare_cached("SELECT row FROM inspections WHERE bike = ?1 AND \"on\" = ?2")?;
    let there: rusqlite::Result<Vec<i64>> =
        same_day.query_map([bike, on], |row| row.get(0))?.collect();
    for row in there? {
        if rows_of(connection, row)? == rows {
            return Ok(Put::Unchanged);
        }
    }
    connection.execute(
        "INSERT INTO inspections (bike, \"on\", import) VALUES (?1, ?2, ?3)",
        [bike, on, import],
    )?;
    let number = connection.last_insert_rowid();
    let mut insert =
        connection.prepare_cached("INSERT INTO inspection_rows VALUES (?1, ?2, ?3, ?4, ?5)")?;
    for row in rows {
        insert.execute(params![number, row.item, row.result, row.measure, row.note])?;
    }
    Ok(Put::Added)
}

fn rows_of(connection: &Connection, inspection: i64) -> rusqlite::Result<Vec<Said>> {
    let mut statement = connection.prepare_cached(
        "SELECT item, result, measure, note FROM inspection_rows WHERE inspection = ?1 \
         ORDER BY item",
    )?;
    let rows = statement.query_map([inspection], |row| {
        Ok(Said {
            item: row.get(0)?,
            result: row.get(1)?,
            measure: row.get(2)?,
            note: row.get(3)?,
        })
    });
    rows?.collect()
}

/// What is read of an inspection, a row for each item.
const READ: [&str; 7] = [
    "kept.row",
    "sales.bike",
    "kept.\"on\"",
    "item",
    "result",
    "measure",
    "inspection_rows.note",
];
const NUMBER: usize = place(&READ, "kept.row");
const BIKE: usize = place(&READ, "sales.bike");
const ON: usize = place(&READ, "kept.\"on\"");
const ITEM: usize = place(&READ, "item");
const RESULT: usize = place(&READ, "result");
const MEASURE: usize = place(&READ, "measure");
const NOTE: usize = place(&READ, "inspection_rows.note");

/// Columns: those of [`READ`].
fn put_finding(sheet: &mut Sheet, row: &Row<'_>) -> rusqlite::Result<()> {
    let Some(name) = row.get_ref(ITEM)?.as_str_or_null()? else {
        return Ok(()); // a sheet that says nothing
    };
    let item = item(name).ok_or_else(|| nonsense(ITEM))?;
    let result =
        CheckResult::from_word(row.get_ref(RESULT)?.as_str()?).ok_or_else(|| nonsense(RESULT))?;
    let measure = match row.get_ref(MEASURE)?.as_str_or_null()? {
        Some(text) => Some(Measure::read(item, text).ok_or_else(|| nonsense(MEASURE))?),
        None => None,
    };
    let note = row.get(NOTE)?;
    sheet.put(
        item,
        Finding {
            result,
            measure,
            note,
        },
    );
    Ok(())
}

impl Book {
    /// Inspections up to the day `as_of`, by day, those of one day as recorded.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn inspections(&self, as_of: Day) -> Result<Vec<Inspection>, BookProblem> {
        let all = || -> rusqlite::Result<Vec<Inspection>> {
            let mut statement = self.connection.prepare(&format!(
                "SELECT {} FROM inspections AS kept JOIN sales ON sales.row = kept.bike \
                 LEFT JOIN inspection_rows ON inspection = kept.row \
                 WHERE kept.\"on\" <= ?1 ORDER BY kept.\"on\", kept.row",
                READ.join(", ")
            ))?;
            let mut rows = statement.query([from_day(as_of)])?;
            let mut found: Vec<Inspection> = Vec::new();
            let mut last = None;
            while let Some(row) = rows.next()? {
                let number: i64 = row.get(NUMBER)?;
                if last != Some(number) {
                    last = Some(number);
                    found.push(Inspection {
                        bike: stored::read_text(row, BIKE)?,
                        on: stored::read_day(row, ON)?.ok_or_else(|| nonsense(ON))?,
                        sheet: Sheet::new(),
                    });
                }
                if let Some(inspection) = found.last_mut() {
                    put_finding(&mut inspection.sheet, row)?;
                }
            }
            Ok(found)
        };
        all().map_err(|error| self.problem(&error))
    }
}
