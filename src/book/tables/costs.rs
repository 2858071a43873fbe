//! The table of costs.

use super::stored::{self, Cell, Kind, Table};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::Cost;
use rusqlite::Row;

pub(in crate::book) const COSTS: Table = Table {
    name: "costs",
    keys: 1,
    columns: &[
        ("mark", Kind::Derived),
        ("bike", Kind::BikeRow),
        ("on", Kind::Day),
        ("kind", Kind::SpentOn),
        ("item", Kind::Text),
        ("amount", Kind::Money),
        ("from_box", Kind::Plain),
    ],
};

const BIKE: usize = COSTS.place("bike");
const ON: usize = COSTS.place("on");
const KIND: usize = COSTS.place("kind");
const ITEM: usize = COSTS.place("item");
const AMOUNT: usize = COSTS.place("amount");
const FROM_BOX: usize = COSTS.place("from_box");

/// What two identical costs share.
pub(in crate::book) fn likeness(cost: &Cost) -> String {
    serde_json::json!([
        stored::from_day(cost.on),
        cost.kind.index(),
        cost.amount.minor(),
        cost.from_box,
        cost.bike,
        cost.item
    ])
    .to_string()
}

/// `bike`: the bike's row among the sales.
pub(in crate::book) fn cells<'a>(
    cost: &'a Cost,
    mark: &'a str,
    bike: Option<i64>,
) -> [Cell<'a>; 7] {
    [
        Cell::Text(mark),
        stored::number(bike),
        Cell::Int(stored::from_day(cost.on)),
        Cell::Int(cost.kind.index() as i64),
        cost.item.as_deref().map_or(Cell::Null, Cell::Text),
        Cell::Int(cost.amount.minor()),
        Cell::Int(i64::from(cost.from_box)),
    ]
}

/// Columns: those of [`COSTS`], in their order.
pub(in crate::book) fn cost(row: &Row<'_>) -> rusqlite::Result<Cost> {
    Ok(Cost {
        bike: row.get(BIKE)?,
        on: stored::read_day(row, ON)?.ok_or_else(|| stored::nonsense(ON))?,
        kind: stored::read_cost_kind(row, KIND)?,
        item: row.get(ITEM)?,
        amount: stored::read_money(row, AMOUNT)?.ok_or_else(|| stored::nonsense(AMOUNT))?,
        from_box: row.get(FROM_BOX)?,
    })
}

impl Book {
    /// All costs, by day, then as recorded.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn costs(&self) -> Result<Vec<Cost>, BookProblem> {
        self.all(
            &format!(
                "SELECT {} FROM costs LEFT JOIN sales ON sales.row = costs.bike \
                 ORDER BY costs.\"on\", costs.row",
                COSTS.list()
            ),
            [],
            cost,
        )
    }
}
