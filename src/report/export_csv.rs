//! A table of the book as CSV (RFC 4180, lines end in LF), which can be imported
//! again as it is.

use super::export_columns::{Holds, Table};
use super::record_cells;
use crate::intake::{Asks, Comps, Costs, Gifts, Kind, Reader, Sales, Settings, with_guard};
use crate::trade::{Currency, Day};
use std::collections::HashSet;
use std::io::Cursor;
use std::sync::Arc;

/// A CSV file under way.
pub struct CsvTable {
    table: Table,
    writer: csv::Writer<Vec<u8>>,
    failed: Option<csv::Error>,
}

impl CsvTable {
    /// A file with the header alone.
    pub fn new(table: Table) -> Self {
        let mut file = Self {
            table,
            writer: csv::Writer::from_writer(Vec::new()),
            failed: None,
        };
        let header: Vec<&str> = table.columns().iter().map(|(name, _)| *name).collect();
        file.failed = file.writer.write_record(header).err();
        file
    }

    /// Adds a row: its cells in the order of the table's columns. A text that a
    /// spreadsheet would run gets its guard here.
    pub fn push(&mut self, cells: &[String]) {
        let columns = self.table.columns().iter();
        let guarded = columns.zip(cells).map(|((_, holds), cell)| match holds {
            Holds::Text => with_guard(cell),
            _ => cell.as_str().into(),
        });
        for cell in guarded {
            if let Err(error) = self.writer.write_field(cell.as_bytes()) {
                self.failed.get_or_insert(error);
            }
        }
        if let Err(error) = self.writer.write_record(None::<&[u8]>) {
            self.failed.get_or_insert(error);
        }
    }

    /// The bytes of the file.
    ///
    /// # Errors
    /// What went wrong on the way.
    pub fn finish(self) -> Result<Vec<u8>, String> {
        if let Some(error) = self.failed {
            return Err(error.to_string());
        }
        self.writer.into_inner().map_err(|error| error.to_string())
    }
}

/// The first line of the file of a table, with its line end.
pub fn header_line(table: Table) -> Vec<u8> {
    CsvTable::new(table).finish().unwrap_or_default()
}

/// Whether nothing is lost when `now` takes the place of a file of the table:
///
/// * written out again, the file is the same byte for byte. A list that somebody
///   keeps under the same header has cells that an export writes in another way
///   (`180` for `180.00`, `53` for `53cm`);
/// * every record in it is in `now` too: by its id where it has one of its own,
///   which may have changed since, or else just as it is.
pub fn may_replace(there: Vec<u8>, now: &[u8], table: Table, currency: &Currency) -> bool {
    let there: Arc<[u8]> = there.into();
    let again = match table {
        Table::Sales => written_again::<Sales>(&there, table, currency, record_cells::sale),
        Table::Comps => written_again::<Comps>(&there, table, currency, record_cells::comp),
        Table::Asks => written_again::<Asks>(&there, table, currency, record_cells::ask),
        Table::Costs => written_again::<Costs>(&there, table, currency, record_cells::cost),
        Table::Gifts => written_again::<Gifts>(&there, table, currency, record_cells::gift),
    };
    let unchanged = *there == *header_line(table) || again.is_some_and(|again| again == *there);
    unchanged && ids(&there, table).is_subset(&ids(now, table))
}

/// The file read and written out again; `None` if it cannot be read.
fn written_again<K: Kind>(
    bytes: &Arc<[u8]>,
    table: Table,
    currency: &Currency,
    cells: fn(&K::Record, &Currency) -> Vec<String>,
) -> Option<Vec<u8>> {
    let settings = Settings::new(*currency, Day::MAX); // no day is in the future
    let input = Box::new(Cursor::new(Arc::clone(bytes)));
    let mut reader = Reader::<K>::from_reader(input, table.word(), &settings).ok()?;
    let mut again = CsvTable::new(table);
    while let Some(row) = reader.next_row().ok()? {
        again.push(&cells(&row.ok()?.record, currency));
    }
    again.finish().ok()
}

/// The cells that tell the records of a file apart.
fn ids(bytes: &[u8], table: Table) -> HashSet<Vec<String>> {
    let rows = csv::Reader::from_reader(bytes).into_records().flatten();
    let cells = |row: csv::StringRecord| row.iter().take(table.ids()).map(String::from).collect();
    rows.map(cells).collect()
}
