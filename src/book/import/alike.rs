//! Records without an id of their own: which of several identical ones a row
//! of a file is.

use crate::book::tables::stored::Table;
use rusqlite::{Connection, params};
use std::collections::HashMap;

/// Whether a record that has no id of its own can be one that is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Repeat {
    /// A row of a file that may have been imported before: the first of several
    /// identical rows is the first in the book, the second the second.
    OfAFile,
    /// One more, whatever is there.
    OneMore,
}

/// The records without an id that one import put, by what identical ones share
/// (the likeness). The mark of a record is its likeness and a number.
#[derive(Default)]
pub(in crate::book) struct Alike(HashMap<String, Numbers>);

/// The numbers of identical records.
struct Numbers {
    /// Of those that were there before the import, in order; not every number
    /// up to the last need be there, since an undoing may have taken some out.
    there: Vec<u32>,
    /// The same, the first recorded at the end: those that no row of the file
    /// has stood for so far.
    unclaimed: Vec<u32>,
    /// No number below it is free.
    next: u32,
}

impl Alike {
    /// The mark of one more record of this likeness, or of the one in `table`
    /// that it is.
    pub(in crate::book) fn mark(
        &mut self,
        connection: &Connection,
        table: &Table,
        likeness: String,
        repeat: Repeat,
    ) -> rusqlite::Result<String> {
        if let Some(numbers) = self.0.get_mut(&likeness) {
            let number = numbers.take(repeat);
            return Ok(mark(&likeness, number));
        }
        let mut numbers = Numbers::find(connection, table, &likeness)?;
        let mark = mark(&likeness, numbers.take(repeat));
        self.0.insert(likeness, numbers);
        Ok(mark)
    }
}

impl Numbers {
    fn find(connection: &Connection, table: &Table, likeness: &str) -> rusqlite::Result<Self> {
        // `$` comes after `#`, and no likeness is the beginning of another:
        // each is one JSON array.
        let (from, to) = (format!("{likeness}#"), format!("{likeness}$"));
        let mut statement = connection.prepare_cached(&format!(
            "SELECT mark FROM {} WHERE mark >= ?1 AND mark < ?2 ORDER BY row DESC",
            table.name
        ))?;
        let mut rows = statement.query(params![from, to])?;
        let mut unclaimed = Vec::new();
        while let Some(row) = rows.next()? {
            let number = row.get_ref(0)?.as_str()?.get(from.len()..);
            unclaimed.extend(number.and_then(|number| number.parse::<u32>().ok()));
        }
        let mut there = unclaimed.clone();
        there.sort_unstable();
        Ok(Self {
            there,
            unclaimed,
            next: 1,
        })
    }

    fn take(&mut self, repeat: Repeat) -> u32 {
        if repeat == Repeat::OfAFile
            && let Some(number) = self.unclaimed.pop()
        {
            return number;
        }
        while self.there.binary_search(&self.next).is_ok() {
            self.next += 1;
        }
        self.next += 1;
        self.next - 1
    }
}

fn mark(likeness: &str, number: u32) -> String {
    format!("{likeness}#{number}")
}
