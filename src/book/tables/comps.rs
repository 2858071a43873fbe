//! The table of comparables, and the sources they were seen at.

use super::stored::{self, BIKE, Cell, Kind, Table, place};
use crate::book::connection::Book;
use crate::book::import::likeness;
use crate::book::problem::BookProblem;
use crate::trade::{Bike, Comparable, Money, Outcome, Style};
use rusqlite::{Connection, OptionalExtension, Params, Row};
use std::ops::RangeInclusive;

pub(in crate::book) const COMPS: Table = Table {
    name: "comps",
    keys: 2,
    columns: &[
        ("source", Kind::Plain),
        ("listing", Kind::Text),
        stored::STYLE,
        stored::MADE,
        stored::CONDITION,
        stored::TIER,
        stored::SEAT_TUBE,
        stored::NEW_PRICE,
        ("listed_on", Kind::Day),
        ("first_seen", Kind::Day),
        ("last_seen", Kind::Day),
        ("ask", Kind::Money),
        ("last_ask", Kind::Money),
        ("outcome", Kind::Outcome),
        ("ended_on", Kind::Day),
        ("sold_price", Kind::Money),
        ("likeness", Kind::Derived),
    ],
};

/// What is read of every comp. The listing comes after all that says what it asks, the
/// bike after that: a reader that doesn't need them pays nothing.
const PRICE: [&str; 11] = [
    "row",
    "source",
    "listed_on",
    "first_seen",
    "last_seen",
    "ask",
    "last_ask",
    "outcome",
    "ended_on",
    "sold_price",
    "listing",
];
const ROW: usize = place(&PRICE, "row");
const SOURCE: usize = place(&PRICE, "source");
const LISTED_ON: usize = place(&PRICE, "listed_on");
const FIRST_SEEN: usize = place(&PRICE, "first_seen");
const LAST_SEEN: usize = place(&PRICE, "last_seen");
const ASK: usize = place(&PRICE, "ask");
const LAST_ASK: usize = place(&PRICE, "last_ask");
const OUTCOME: usize = place(&PRICE, "outcome");
const ENDED_ON: usize = place(&PRICE, "ended_on");
const SOLD_PRICE: usize = place(&PRICE, "sold_price");
const LISTING: usize = place(&PRICE, "listing");

/// Where the bike begins, and what is read after it.
const FEATURES: usize = PRICE.len();
const AFTER: usize = FEATURES + BIKE.len();

/// The columns of a bike, for a SELECT.
pub(in crate::book) fn bike_columns() -> String {
    BIKE.map(|(name, _)| name).join(", ")
}

/// How much of each comp is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::book) enum Part {
    Whole,
    /// All but the bike, of which nothing is known then.
    Price,
}

impl Part {
    /// Its columns, for a SELECT.
    fn columns(self) -> String {
        let price = PRICE.join(", ");
        match self {
            Self::Whole => format!("{price}, {}", bike_columns()),
            Self::Price => price,
        }
    }
}

pub(in crate::book) fn cells(comp: &Comparable, source: i64) -> [Cell<'_>; 17] {
    let [style, made, condition, tier, seat_tube, new_price] = stored::bike(&comp.bike);
    [
        Cell::Int(source),
        Cell::Text(&comp.listing),
        style,
        made,
        condition,
        tier,
        seat_tube,
        new_price,
        stored::day(comp.listed_on),
        stored::day(comp.first_seen),
        stored::day(comp.last_seen),
        Cell::Int(comp.ask.minor()),
        stored::money(comp.last_ask),
        Cell::Int(comp.outcome.index() as i64),
        stored::day(comp.ended_on),
        stored::money(comp.sold_price),
        stored::number(likeness::of(&comp.bike, comp.standing_ask())),
    ]
}

/// A record to be filled from rows.
pub(in crate::book) fn blank() -> Comparable {
    Comparable {
        listing: String::new(),
        source: String::new(),
        bike: Bike::of(Style::Other),
        listed_on: None,
        first_seen: None,
        last_seen: None,
        ask: Money::ZERO,
        last_ask: None,
        outcome: Outcome::Listed,
        ended_on: None,
        sold_price: None,
    }
}

/// Fills everything but the source's name; returns the source's number. The
/// listing keeps its memory, so that reading many rows asks for none.
fn fill(comp: &mut Comparable, part: Part, row: &Row<'_>) -> rusqlite::Result<u32> {
    comp.listed_on = stored::read_day(row, LISTED_ON)?;
    comp.first_seen = stored::read_day(row, FIRST_SEEN)?;
    comp.last_seen = stored::read_day(row, LAST_SEEN)?;
    comp.ask = stored::read_money(row, ASK)?.ok_or_else(|| stored::nonsense(ASK))?;
    comp.last_ask = stored::read_money(row, LAST_ASK)?;
    comp.outcome = stored::read_outcome(row, OUTCOME)?;
    comp.ended_on = stored::read_day(row, ENDED_ON)?;
    comp.sold_price = stored::read_money(row, SOLD_PRICE)?;
    if part == Part::Whole {
        comp.bike = stored::read_bike(row, FEATURES)?;
    }
    comp.listing.clear();
    comp.listing.push_str(row.get_ref(LISTING)?.as_str()?);
    row.get(SOURCE)
}

/// The number of a source, a new one where it has none yet.
pub(in crate::book) fn number_of_source(
    connection: &Connection,
    name: &str,
) -> rusqlite::Result<i64> {
    let find = "SELECT number FROM sources WHERE name = ?1";
    if let Some(number) = connection
        .query_row(find, [name], |row| row.get(0))
        .optional()?
    {
        Ok(number)
    } else {
        connection.execute("INSERT INTO sources (name) VALUES (?1)", [name])?;
        Ok(connection.last_insert_rowid())
    }
}

impl Book {
    /// Number and name of every source that has comps, by the bytes of the name.
    /// The numbers follow the order of import; sort by name where order matters.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn sources(&self) -> Result<Vec<(u32, String)>, BookProblem> {
        self.all(
            "SELECT number, name FROM sources ORDER BY name",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )
    }

    /// The comp in a row that [`Book::each_comp`] or [`Book::double_listings`]
    /// told of.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn comp_by_row(&self, row: i64) -> Result<Option<Comparable>, BookProblem> {
        one(&self.connection, "row = ?1", [row]).map_err(|error| self.problem(&error))
    }
}

/// The comp with this listing at a source.
pub(in crate::book) fn by_key(
    connection: &Connection,
    source: i64,
    listing: &str,
) -> rusqlite::Result<Option<Comparable>> {
    let key = rusqlite::params![source, listing];
    one(connection, "source = ?1 AND listing = ?2", key)
}

/// The one comp for which a condition holds.
fn one(
    connection: &Connection,
    condition: &str,
    values: impl Params,
) -> rusqlite::Result<Option<Comparable>> {
    let whole = |row: &Row<'_>| -> rusqlite::Result<Comparable> {
        let mut comp = blank();
        fill(&mut comp, Part::Whole, row)?;
        comp.source = stored::read_text(row, AFTER)?;
        Ok(comp)
    };
    let sql = format!(
        "SELECT {}, (SELECT name FROM sources WHERE number = source) FROM comps WHERE {condition}",
        Part::Whole.columns()
    );
    let mut statement = connection.prepare_cached(&sql)?;
    statement.query_row(values, whole).optional()
}

/// Shows every comp of `range` to `take` until it wants no more. The record is one buffer,
/// filled again for each row; `take` may swap it for another one.
pub(in crate::book) fn stream(
    connection: &Connection,
    range: RangeInclusive<i64>,
    part: Part,
    comp: &mut Comparable,
    mut take: impl FnMut(i64, &mut Comparable) -> bool,
) -> rusqlite::Result<()> {
    let mut names = connection.prepare("SELECT number, name FROM sources ORDER BY number")?;
    let names: Vec<(u32, String)> = names
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect::<rusqlite::Result<_>>()?;
    let read = format!(
        "SELECT {} FROM comps WHERE row BETWEEN ?1 AND ?2 ORDER BY row",
        part.columns()
    );
    let mut statement = connection.prepare(&read)?;
    let mut rows = statement.query([range.start(), range.end()])?;
    while let Some(row) = rows.next()? {
        let source = fill(comp, part, row)?;
        let place = names.binary_search_by_key(&source, |name| name.0);
        let name = &names[place.map_err(|_| stored::nonsense(SOURCE))?].1;
        if comp.source != *name {
            comp.source.clone_from(name);
        }
        if !take(row.get(ROW)?, comp) {
            break;
        }
    }
    Ok(())
}
