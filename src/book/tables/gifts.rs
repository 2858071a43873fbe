//! The table of gifts.

use super::stored::{self, Cell, Kind, Table};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::Gift;
use rusqlite::Row;

pub(in crate::book) const GIFTS: Table = Table {
    name: "gifts",
    keys: 1,
    columns: &[
        ("mark", Kind::Derived),
        ("on", Kind::Day),
        ("beneficiary", Kind::Text),
        ("amount", Kind::Money),
        ("reference", Kind::Text),
    ],
};

/// The mark of a gift with a reference.
pub(in crate::book) fn mark_of_reference(reference: &str) -> String {
    serde_json::json!({ "reference": reference }).to_string()
}

/// What two identical gifts without a reference share.
pub(in crate::book) fn likeness(gift: &Gift) -> String {
    serde_json::json!([
        stored::from_day(gift.on),
        gift.amount.minor(),
        gift.beneficiary
    ])
    .to_string()
}

pub(in crate::book) fn cells<'a>(gift: &'a Gift, mark: &'a str) -> [Cell<'a>; 5] {
    [
        Cell::Text(mark),
        Cell::Int(stored::from_day(gift.on)),
        Cell::Text(&gift.beneficiary),
        Cell::Int(gift.amount.minor()),
        gift.reference.as_deref().map_or(Cell::Null, Cell::Text),
    ]
}

/// Columns: on, beneficiary, amount, reference.
pub(in crate::book) fn gift(row: &Row<'_>) -> rusqlite::Result<Gift> {
    Ok(Gift {
        on: stored::read_day(row, 0)?.ok_or_else(|| stored::nonsense(0))?,
        beneficiary: stored::read_text(row, 1)?,
        amount: stored::read_money(row, 2)?.ok_or_else(|| stored::nonsense(2))?,
        reference: row.get(3)?,
    })
}

impl Book {
    /// All gifts, by day, then as recorded.
    pub fn gifts(&self) -> Result<Vec<Gift>, BookProblem> {
        let all = || -> rusqlite::Result<Vec<Gift>> {
            let mut statement = self.connection.prepare(
                "SELECT \"on\", beneficiary, amount, reference FROM gifts ORDER BY \"on\", row",
            )?;
            statement.query_map([], gift)?.collect()
        };
        all().map_err(|error| self.problem(&error))
    }
}
