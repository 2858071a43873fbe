//! The table of the user's own bikes.

use super::stored::{self, BIKE, Cell, Kind, Table};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::Sale;
use crate::trade::sale::Sold;
use rusqlite::{Connection, OptionalExtension, Row};

pub(in crate::book) const SALES: Table = Table {
    name: "sales",
    keys: 1,
    columns: &[
        ("bike", Kind::Text),
        BIKE[0],
        BIKE[1],
        BIKE[2],
        BIKE[3],
        BIKE[4],
        BIKE[5],
        ("bought_on", Kind::Day),
        ("listed_on", Kind::Day),
        ("ask", Kind::Money),
        ("sold_on", Kind::Day),
        ("sold_price", Kind::Money),
        ("purchase", Kind::Money),
        ("parts", Kind::Money),
        ("fees", Kind::Money),
        ("other_cost", Kind::Money),
        ("hours", Kind::Hours),
        ("note", Kind::Text),
    ],
};

const READ: &str = "SELECT bike, style, made, condition, tier, seat_tube, new_price, bought_on, \
    listed_on, ask, sold_on, sold_price, purchase, parts, fees, other_cost, hours, note FROM sales";

pub(in crate::book) fn cells(sale: &Sale) -> [Cell<'_>; 18] {
    let [style, made, condition, tier, seat_tube, new_price] = stored::bike(&sale.bike);
    [
        Cell::Text(&sale.id),
        style,
        made,
        condition,
        tier,
        seat_tube,
        new_price,
        stored::day(sale.bought_on),
        stored::day(sale.listed_on),
        stored::money(sale.ask),
        stored::day(sale.sold.map(|sold| sold.on)),
        stored::money(sale.sold.map(|sold| sold.price)),
        stored::money(sale.purchase),
        stored::money(sale.parts),
        stored::money(sale.fees),
        stored::money(sale.other_cost),
        stored::number(sale.hours),
        sale.note.as_deref().map_or(Cell::Null, Cell::Text),
    ]
}

/// Columns: those of [`SALES`], in their order.
pub(in crate::book) fn sale(row: &Row<'_>) -> rusqlite::Result<Sale> {
    let (on, price) = (stored::read_day(row, 10)?, stored::read_money(row, 11)?);
    Ok(Sale {
        id: stored::read_text(row, 0)?,
        bike: stored::read_bike(row, 1)?,
        bought_on: stored::read_day(row, 7)?,
        listed_on: stored::read_day(row, 8)?,
        ask: stored::read_money(row, 9)?,
        sold: on.zip(price).map(|(on, price)| Sold { on, price }),
        purchase: stored::read_money(row, 12)?,
        parts: stored::read_money(row, 13)?,
        fees: stored::read_money(row, 14)?,
        other_cost: stored::read_money(row, 15)?,
        hours: stored::read_number(row, 16)?,
        note: row.get(17)?,
    })
}

/// One bike by its id.
pub(in crate::book) fn by_id(connection: &Connection, id: &str) -> rusqlite::Result<Option<Sale>> {
    let mut statement = connection.prepare_cached(&format!("{READ} WHERE bike = ?1"))?;
    statement.query_row([id], sale).optional()
}

impl Book {
    /// All bikes of the user's own, by the bytes of their id.
    pub fn sales(&self) -> Result<Vec<Sale>, BookProblem> {
        let all = || -> rusqlite::Result<Vec<Sale>> {
            let mut statement = self.connection.prepare(&format!("{READ} ORDER BY bike"))?;
            statement.query_map([], sale)?.collect()
        };
        all().map_err(|error| self.problem(&error))
    }

    /// One bike by its id.
    pub fn sale(&self, id: &str) -> Result<Option<Sale>, BookProblem> {
        by_id(&self.connection, id).map_err(|error| self.problem(&error))
    }
}
