//! Quarters that were closed: their figures, and their reports as written.

use super::stored::{self, from_day};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::{Day, Quarter};
use rusqlite::{OptionalExtension, Transaction, params};

/// A closed quarter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closing {
    /// Which.
    pub quarter: Quarter,
    /// The day on which it was closed.
    pub closed_on: Day,
    /// What was counted, as whoever closed it wrote it down.
    pub figures: String,
    /// Its report in every form: a name for the form, and the text.
    pub pages: Vec<(String, String)>,
}

impl Book {
    /// Closed quarters up to the day `as_of`, in order, without their pages.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn closings(&self, as_of: Day) -> Result<Vec<Closing>, BookProblem> {
        self.all(
            "SELECT quarter, closed_on, figures FROM closings WHERE closed_on <= ?1 \
                 ORDER BY quarter",
            [from_day(as_of)],
            |row| {
                let quarter = Quarter::read(row.get_ref(0)?.as_str()?);
                Ok(Closing {
                    quarter: quarter.ok_or_else(|| stored::nonsense(0))?,
                    closed_on: stored::read_day(row, 1)?.ok_or_else(|| stored::nonsense(1))?,
                    figures: stored::read_text(row, 2)?,
                    pages: vec![],
                })
            },
        )
    }

    /// A page of a closed quarter, byte for byte as it was written.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn closed_page(&self, quarter: Quarter, name: &str) -> Result<Option<String>, BookProblem> {
        self.connection
            .query_row(
                "SELECT page FROM closed_pages WHERE quarter = ?1 AND name = ?2",
                [quarter.to_string().as_str(), name],
                |row| row.get(0),
            )
            .optional()
            .map_err(|error| self.problem(&error))
    }

    /// Closes quarters, all or none.
    ///
    /// # Errors
    /// One of them is closed already (or stands twice among them), or the book
    /// cannot be written.
    pub fn close(&mut self, closings: &[Closing]) -> Result<(), BookProblem> {
        let book = &*self;
        let failed = |error| book.problem(&error);
        let transaction = book.write()?;
        for closing in closings {
            if let Some(on) = closed_on(&transaction, closing.quarter).map_err(failed)? {
                return Err(BookProblem::ClosedAlready {
                    path: book.path.clone(),
                    quarter: closing.quarter.to_string(),
                    on: on.to_string(),
                });
            }
            write(&transaction, closing).map_err(failed)?;
        }
        transaction.commit().map_err(failed)
    }
}

/// The day on which a quarter was closed, if it is.
fn closed_on(transaction: &Transaction<'_>, quarter: Quarter) -> rusqlite::Result<Option<Day>> {
    let find = "SELECT closed_on FROM closings WHERE quarter = ?1";
    let day = transaction.query_row(find, [quarter.to_string()], |row| stored::read_day(row, 0));
    day.optional().map(Option::flatten)
}

fn write(transaction: &Transaction<'_>, closing: &Closing) -> rusqlite::Result<()> {
    let quarter = closing.quarter.to_string();
    transaction.execute(
        "INSERT INTO closings VALUES (?1, ?2, ?3)",
        params![quarter, from_day(closing.closed_on), closing.figures],
    )?;
    for (name, page) in &closing.pages {
        transaction.execute(
            "INSERT INTO closed_pages VALUES (?1, ?2, ?3)",
            params![quarter, name, page],
        )?;
    }
    Ok(())
}
