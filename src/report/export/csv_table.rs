//! A table of the book as CSV (RFC 4180, lines end in LF), which can be imported
//! again as it is.

use super::columns::{Holds, Table};
use super::record_cells;
use crate::intake::{
    Asks, Comps, Costs, FileProblem, Gifts, Inspections, Kind, Offers, Reader, Returns, Sales,
    Settings, with_guard,
};
use crate::trade::{Currency, Day};
use std::collections::HashSet;
use std::io::Cursor;
use std::path::Path;
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
    let again = Again {
        from: From::Bytes(&there),
        table,
        currency,
    };
    again.written().is_some_and(|again| again == *there)
        && ids(&there, table).is_subset(&ids(now, table))
}

/// The same of a Parquet file of the table, `now` being the CSV of what takes its
/// place. Its cells can be written in one way only.
pub fn may_replace_parquet(there: &Path, now: &[u8], table: Table, currency: &Currency) -> bool {
    let again = Again {
        from: From::File(there),
        table,
        currency,
    };
    let again = again.written();
    again.is_some_and(|there| ids(&there, table).is_subset(&ids(now, table)))
}

enum From<'a> {
    Bytes(&'a Arc<[u8]>),
    File(&'a Path),
}

/// A file that is read and written out again as CSV.
struct Again<'a> {
    from: From<'a>,
    table: Table,
    currency: &'a Currency,
}

impl Again<'_> {
    /// The CSV; `None` if the file cannot be read.
    fn written(&self) -> Option<Vec<u8>> {
        match self.table {
            Table::Sales => self.of::<Sales>(record_cells::sale),
            Table::Comps => self.of::<Comps>(record_cells::comp),
            Table::Asks => self.of::<Asks>(record_cells::ask),
            Table::Costs => self.of::<Costs>(record_cells::cost),
            Table::Gifts => self.of::<Gifts>(record_cells::gift),
            Table::Returns => self.of::<Returns>(record_cells::back),
            Table::Offers => self.of::<Offers>(record_cells::offer),
            Table::Inspections => self.of::<Inspections>(record_cells::inspection_row),
        }
    }

    fn of<K: Kind>(&self, cells: fn(&K::Record, &Currency) -> Vec<String>) -> Option<Vec<u8>> {
        let settings = Settings {
            untidy: false,                             // an export has no title
            ..Settings::new(*self.currency, Day::MAX)  // no day is in the future
        };
        let mut reader = match self.from {
            From::Bytes(bytes) => {
                let input = Box::new(Cursor::new(Arc::clone(bytes)));
                Reader::<K>::from_reader(input, self.table.word(), &settings).ok()?
            }
            From::File(path) => Reader::<K>::open(path, &settings).ok()?,
        };
        if reader.is_sheet() {
            return None; // somebody's own, whatever its name is
        }
        let mut again = CsvTable::new(self.table);
        loop {
            match reader.next_row() {
                Ok(Some(row)) => again.push(&cells(&row.ok()?.record, self.currency)),
                // A table without rows is an export too.
                Ok(None) | Err(FileProblem::NoRows { .. }) => return again.finish().ok(),
                Err(_) => return None,
            }
        }
    }
}

/// The cells that tell the records of a file apart.
fn ids(bytes: &[u8], table: Table) -> HashSet<Vec<String>> {
    let rows = csv::Reader::from_reader(bytes).into_records().flatten();
    let cells = |row: csv::StringRecord| row.iter().take(table.ids()).map(String::from).collect();
    rows.map(cells).collect()
}
