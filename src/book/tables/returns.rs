//! The table of money handed back to buyers.

use super::stored::{self, Cell, Kind, Table};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::sale::Sold;
use crate::trade::{Return, Sale};
use rusqlite::{Connection, Row};
use std::collections::HashMap;

pub(in crate::book) const RETURNS: Table = Table {
    name: "returns",
    keys: 2,
    columns: &[
        ("bike", Kind::BikeRow),
        ("on", Kind::Day),
        ("refund", Kind::Money),
        ("sold_on", Kind::Day),
        ("sold_price", Kind::Money),
    ],
};

const BIKE: usize = RETURNS.place("bike");
const ON: usize = RETURNS.place("on");
const REFUND: usize = RETURNS.place("refund");
const SOLD_ON: usize = RETURNS.place("sold_on");
const SOLD_PRICE: usize = RETURNS.place("sold_price");

/// `bike`: the bike's row among the sales.
pub(in crate::book) fn cells(one: &Return, bike: i64) -> [Cell<'static>; 5] {
    [
        Cell::Int(bike),
        Cell::Int(stored::from_day(one.on)),
        Cell::Int(one.refund.minor()),
        stored::day(one.back.map(|sold| sold.on)),
        stored::money(one.back.map(|sold| sold.price)),
    ]
}

/// Columns: those of [`RETURNS`], in their order.
pub(in crate::book) fn one(row: &Row<'_>) -> rusqlite::Result<Return> {
    let on = stored::read_day(row, SOLD_ON)?;
    let price = stored::read_money(row, SOLD_PRICE)?;
    Ok(Return {
        bike: stored::read_text(row, BIKE)?,
        on: stored::read_day(row, ON)?.ok_or_else(|| stored::nonsense(ON))?,
        refund: stored::read_money(row, REFUND)?.ok_or_else(|| stored::nonsense(REFUND))?,
        back: on.zip(price).map(|(on, price)| Sold { on, price }),
    })
}

fn select(which: &str) -> String {
    format!(
        "SELECT {} FROM returns JOIN sales ON sales.row = returns.bike {which} \
         ORDER BY sales.bike, returns.\"on\"",
        RETURNS.list()
    )
}

/// Those of one bike, by day.
pub(in crate::book) fn of_bike(connection: &Connection, id: &str) -> rusqlite::Result<Vec<Return>> {
    let mut statement = connection.prepare_cached(&select("WHERE sales.bike = ?1"))?;
    statement.query_map([id], one)?.collect()
}

/// Gives each bike what came back of it, by day.
pub(in crate::book) fn put_to(sales: &mut [Sale], returns: Vec<Return>) {
    let mut by_bike: HashMap<String, Vec<Return>> = HashMap::new();
    for one in returns {
        by_bike.entry(one.bike.clone()).or_default().push(one);
    }
    if by_bike.is_empty() {
        return;
    }
    for sale in sales {
        sale.returns = by_bike.remove(&sale.id).unwrap_or_default();
    }
}

impl Book {
    /// All money handed back, by the bytes of the bike's id, then by day.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn returns(&self) -> Result<Vec<Return>, BookProblem> {
        self.all(&select(""), [], one)
    }
}
