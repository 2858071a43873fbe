//! The column map that was given for a header, for the next file with the same.

use crate::book::connection::Book;
use crate::book::file::failure::damaged;
use crate::book::problem::BookProblem;
use rusqlite::{Connection, OptionalExtension, params};

/// What was given for a header before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RememberedColumns {
    /// Our column, their column.
    pub map: Vec<(String, String)>,
    /// How its dates read (`dmy`, `mdy`), when that was given.
    pub dates: Option<String>,
}

/// A map on its way into the book.
pub(in crate::book) struct ToRemember {
    kind: String,
    header: String,
    map: String,
    dates: Option<String>,
}

impl ToRemember {
    pub(in crate::book) fn new(
        kind: &str,
        header: &[String],
        map: &[(String, String)],
        dates: Option<&str>,
    ) -> Self {
        let pairs = map.iter();
        let pairs = pairs.map(|(ours, theirs)| vec![ours.as_str(), theirs.as_str()]);
        let map: serde_json::Value = pairs.collect();
        Self {
            kind: kind.to_string(),
            header: header_text(header),
            map: map.to_string(),
            dates: dates.map(str::to_string),
        }
    }

    pub(in crate::book) fn write(&self, connection: &Connection) -> rusqlite::Result<()> {
        connection.execute(
            "INSERT OR REPLACE INTO column_maps VALUES (?1, ?2, ?3, ?4)",
            params![self.kind, self.header, self.map, self.dates],
        )?;
        Ok(())
    }
}

fn header_text(header: &[String]) -> String {
    serde_json::Value::from(header.to_vec()).to_string()
}

impl Book {
    /// The columns last given for a file of this kind with exactly this header.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn remembered_columns(
        &self,
        kind: &str,
        header: &[String],
    ) -> Result<Option<RememberedColumns>, BookProblem> {
        let found: Option<(String, Option<String>)> = self
            .connection
            .query_row(
                "SELECT map, dates FROM column_maps WHERE kind = ?1 AND header = ?2",
                params![kind, header_text(header)],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()
            .map_err(|error| self.problem(&error))?;
        let Some((map, dates)) = found else {
            return Ok(None);
        };
        match serde_json::from_str(&map) {
            Ok(map) => Ok(Some(RememberedColumns { map, dates })),
            Err(error) => {
                let detail = format!("a remembered column map cannot be read: {error}");
                Err(damaged(&self.path, detail))
            }
        }
    }
}
