//! Looking a whole book over.

use super::connect::marks;
use super::copies::latest_copy;
use super::schema::{APPLICATION_ID, MIGRATIONS};
use crate::book::connection::Book;
use crate::book::problem::put_back;

impl Book {
    /// Looks the whole file over: `SQLite`'s integrity and foreign-key checks and
    /// the book's own marks. One line for each fault; empty when it is sound.
    pub fn check(&self) -> Vec<String> {
        let mut faults = Vec::new();
        match self.texts("PRAGMA integrity_check") {
            Ok(lines) => faults.extend(lines.into_iter().filter(|line| line != "ok")),
            Err(error) => faults.push(error.to_string()),
        }
        let dangling = "SELECT \"table\" || ' row ' || coalesce(rowid, '?') || ' names a row of ' \
                        || parent || ' that is not there' FROM pragma_foreign_key_check";
        match self.texts(dangling) {
            Ok(lines) => faults.extend(lines),
            Err(error) => faults.push(error.to_string()),
        }
        match marks(&self.connection) {
            Ok((id, version)) => {
                if id != APPLICATION_ID {
                    faults.push(format!("the application id is {id:#x}"));
                }
                if version != MIGRATIONS.len() as i64 {
                    faults.push(format!("the version is {version}"));
                }
            }
            Err(error) => faults.push(error.to_string()),
        }
        faults
    }

    /// What to do about a book that is not sound, as a sentence.
    pub fn put_back(&self) -> String {
        format!(
            "{}; keep {} until then.",
            put_back(latest_copy(&self.path).as_deref()),
            self.path.display()
        )
    }

    pub(in crate::book) fn texts(&self, sql: &str) -> rusqlite::Result<Vec<String>> {
        let mut statement = self.connection.prepare(sql)?;
        statement.query_map([], |row| row.get(0))?.collect()
    }
}
