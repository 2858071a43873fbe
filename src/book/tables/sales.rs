//! The table of the user's own bikes.

use super::returns;
use super::stored::{self, Cell, Kind, Table};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::sale::Sold;
use crate::trade::{Left, Sale};
use rusqlite::{Connection, OptionalExtension, Row};

pub(in crate::book) const SALES: Table = Table {
    name: "sales",
    keys: 1,
    columns: &[
        ("bike", Kind::Text),
        stored::STYLE,
        stored::MADE,
        stored::CONDITION,
        stored::TIER,
        stored::SEAT_TUBE,
        stored::NEW_PRICE,
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
        ("guess", Kind::Money),
        ("left_on", Kind::Day),
        ("left_as", Kind::LeftAs),
        ("box_value", Kind::Money),
        ("box_item", Kind::Text),
    ],
};

const ID: usize = SALES.place("bike");
const FEATURES: usize = SALES.place("style");
const BOUGHT_ON: usize = SALES.place("bought_on");
const LISTED_ON: usize = SALES.place("listed_on");
const ASK: usize = SALES.place("ask");
const SOLD_ON: usize = SALES.place("sold_on");
const SOLD_PRICE: usize = SALES.place("sold_price");
const PURCHASE: usize = SALES.place("purchase");
const PARTS: usize = SALES.place("parts");
const FEES: usize = SALES.place("fees");
const OTHER_COST: usize = SALES.place("other_cost");
const HOURS: usize = SALES.place("hours");
const NOTE: usize = SALES.place("note");
const GUESS: usize = SALES.place("guess");
const LEFT_ON: usize = SALES.place("left_on");
const LEFT_AS: usize = SALES.place("left_as");
const BOX_VALUE: usize = SALES.place("box_value");
const BOX_ITEM: usize = SALES.place("box_item");

pub(in crate::book) fn cells(sale: &Sale) -> [Cell<'_>; 23] {
    let [style, made, condition, tier, seat_tube, new_price] = stored::bike(&sale.bike);
    let left = sale.left.as_ref();
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
        stored::money(sale.guess),
        stored::day(left.map(|left| left.on)),
        stored::number(left.map(|left| left.how.index() as i64)),
        stored::money(left.and_then(|left| left.box_value)),
        left.and_then(|left| left.box_item.as_deref())
            .map_or(Cell::Null, Cell::Text),
    ]
}

/// Columns: those of [`SALES`], in their order. What came back of it stands in a table
/// of its own.
pub(in crate::book) fn sale(row: &Row<'_>) -> rusqlite::Result<Sale> {
    let on = stored::read_day(row, SOLD_ON)?;
    let price = stored::read_money(row, SOLD_PRICE)?;
    Ok(Sale {
        id: stored::read_text(row, ID)?,
        bike: stored::read_bike(row, FEATURES)?,
        bought_on: stored::read_day(row, BOUGHT_ON)?,
        listed_on: stored::read_day(row, LISTED_ON)?,
        ask: stored::read_money(row, ASK)?,
        sold: on.zip(price).map(|(on, price)| Sold { on, price }),
        purchase: stored::read_money(row, PURCHASE)?,
        parts: stored::read_money(row, PARTS)?,
        fees: stored::read_money(row, FEES)?,
        other_cost: stored::read_money(row, OTHER_COST)?,
        hours: stored::read_number(row, HOURS)?,
        note: row.get(NOTE)?,
        guess: stored::read_money(row, GUESS)?,
        left: left(row)?,
        returns: Vec::new(),
    })
}

fn left(row: &Row<'_>) -> rusqlite::Result<Option<Left>> {
    let on = stored::read_day(row, LEFT_ON)?;
    let how = stored::read_left_as(row, LEFT_AS)?;
    Ok(match on.zip(how) {
        Some((on, how)) => Some(Left {
            on,
            how,
            box_value: stored::read_money(row, BOX_VALUE)?,
            box_item: row.get(BOX_ITEM)?,
        }),
        None => None,
    })
}

/// One bike by its id.
pub(in crate::book) fn by_id(connection: &Connection, id: &str) -> rusqlite::Result<Option<Sale>> {
    let mut statement = connection.prepare_cached(&format!(
        "SELECT {} FROM sales WHERE bike = ?1",
        SALES.list()
    ))?;
    let mut sale = statement.query_row([id], sale).optional()?;
    if let Some(sale) = &mut sale {
        sale.returns = returns::of_bike(connection, id)?;
    }
    Ok(sale)
}

impl Book {
    /// All bikes of the user's own, by the bytes of their id.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn sales(&self) -> Result<Vec<Sale>, BookProblem> {
        let mut sales = self.all(
            &format!("SELECT {} FROM sales ORDER BY bike", SALES.list()),
            [],
            sale,
        )?;
        returns::put_to(&mut sales, self.returns()?);
        Ok(sales)
    }

    /// One bike by its id.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn sale(&self, id: &str) -> Result<Option<Sale>, BookProblem> {
        by_id(&self.connection, id).map_err(|error| self.problem(&error))
    }
}
