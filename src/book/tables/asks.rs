//! The table of price changes of the user's own listings.

use super::stored::{self, Cell, Kind, Table};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::AskChange;
use rusqlite::{Connection, OptionalExtension, Row};

pub(in crate::book) const ASKS: Table = Table {
    name: "asks",
    keys: 2,
    columns: &[
        ("bike", Kind::BikeRow),
        ("on", Kind::Day),
        ("ask", Kind::Money),
    ],
};

const BIKE: usize = ASKS.place("bike");
const ON: usize = ASKS.place("on");
const ASK: usize = ASKS.place("ask");

/// `bike`: the bike's row among the sales.
pub(in crate::book) fn cells(change: &AskChange, bike: i64) -> [Cell<'static>; 3] {
    [
        Cell::Int(bike),
        Cell::Int(stored::from_day(change.on)),
        Cell::Int(change.ask.minor()),
    ]
}

/// The row of a bike among the sales.
pub(in crate::book) fn row_of_bike(
    connection: &Connection,
    id: &str,
) -> rusqlite::Result<Option<i64>> {
    connection
        .prepare_cached("SELECT row FROM sales WHERE bike = ?1")?
        .query_row([id], |row| row.get(0))
        .optional()
}

fn change(row: &Row<'_>) -> rusqlite::Result<AskChange> {
    Ok(AskChange {
        bike: stored::read_text(row, BIKE)?,
        on: stored::read_day(row, ON)?.ok_or_else(|| stored::nonsense(ON))?,
        ask: stored::read_money(row, ASK)?.ok_or_else(|| stored::nonsense(ASK))?,
    })
}

impl Book {
    /// All price changes of own listings, by the bytes of the bike's id, then
    /// by day.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn asks(&self) -> Result<Vec<AskChange>, BookProblem> {
        self.all(
            &format!(
                "SELECT {} FROM asks JOIN sales ON sales.row = asks.bike \
                 ORDER BY sales.bike, \"on\"",
                ASKS.list()
            ),
            [],
            change,
        )
    }
}
