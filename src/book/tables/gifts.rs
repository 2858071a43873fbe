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

const ON: usize = GIFTS.place("on");
const BENEFICIARY: usize = GIFTS.place("beneficiary");
const AMOUNT: usize = GIFTS.place("amount");
const REFERENCE: usize = GIFTS.place("reference");

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

/// Columns: those of [`GIFTS`], in their order.
pub(in crate::book) fn gift(row: &Row<'_>) -> rusqlite::Result<Gift> {
    Ok(Gift {
        on: stored::read_day(row, ON)?.ok_or_else(|| stored::nonsense(ON))?,
        beneficiary: stored::read_text(row, BENEFICIARY)?,
        amount: stored::read_money(row, AMOUNT)?.ok_or_else(|| stored::nonsense(AMOUNT))?,
        reference: row.get(REFERENCE)?,
    })
}

impl Book {
    /// All gifts, by day, then as recorded.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn gifts(&self) -> Result<Vec<Gift>, BookProblem> {
        self.all(
            &format!("SELECT {} FROM gifts ORDER BY \"on\", row", GIFTS.list()),
            [],
            gift,
        )
    }
}
