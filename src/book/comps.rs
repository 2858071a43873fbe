//! The table of comparables, and the sources they were seen at.

use super::stored::{self, BIKE, Cell, Kind, Table};
use super::{Book, BookProblem, likeness};
use crate::trade::{Bike, Comparable, Money, Outcome, Style};
use rusqlite::{OptionalExtension, Row};
use std::collections::HashMap;

pub(super) const COMPS: Table = Table {
    name: "comps",
    keys: 2,
    columns: &[
        ("source", Kind::Plain),
        ("listing", Kind::Text),
        BIKE[0],
        BIKE[1],
        BIKE[2],
        BIKE[3],
        BIKE[4],
        BIKE[5],
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

/// The listing comes last, so that a reader that doesn't need it pays nothing.
const READ: &str = "SELECT row, source, style, made, condition, tier, seat_tube, new_price, \
    listed_on, first_seen, last_seen, ask, last_ask, outcome, ended_on, sold_price, listing \
    FROM comps";
const LISTING: usize = 16;

pub(super) fn cells(comp: &Comparable, source: i64) -> [Cell<'_>; 17] {
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
fn blank() -> Comparable {
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
fn fill(comp: &mut Comparable, row: &Row<'_>) -> rusqlite::Result<u32> {
    comp.bike = stored::read_bike(row, 2)?;
    comp.listed_on = stored::read_day(row, 8)?;
    comp.first_seen = stored::read_day(row, 9)?;
    comp.last_seen = stored::read_day(row, 10)?;
    comp.ask = stored::read_money(row, 11)?.ok_or_else(|| stored::nonsense(11))?;
    comp.last_ask = stored::read_money(row, 12)?;
    comp.outcome = stored::read_outcome(row, 13)?;
    comp.ended_on = stored::read_day(row, 14)?;
    comp.sold_price = stored::read_money(row, 15)?;
    comp.listing.clear();
    comp.listing.push_str(row.get_ref(LISTING)?.as_str()?);
    row.get(1)
}

impl Book {
    /// Number and name of every source that has comps, by the bytes of the name.
    /// The numbers follow the order of import; sort by name where order matters.
    pub fn sources(&self) -> Result<Vec<(u32, String)>, BookProblem> {
        let all = || -> rusqlite::Result<Vec<(u32, String)>> {
            let mut statement = self
                .connection
                .prepare("SELECT number, name FROM sources ORDER BY name")?;
            statement
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
                .collect()
        };
        all().map_err(|error| self.problem(error))
    }

    /// Streams every comp with its row number, in the order in which they first
    /// came in. The record is one buffer, filled again for each row.
    ///
    /// # Errors
    /// The book cannot be read or is damaged; what was streamed before stands.
    pub fn each_comp(&self, take: &mut dyn FnMut(i64, &Comparable)) -> Result<(), BookProblem> {
        let sources: HashMap<u32, String> = self.sources()?.into_iter().collect();
        let (mut comp, mut named) = (blank(), None);
        self.each_row(&mut |row| {
            let source = fill(&mut comp, row)?;
            if named != Some(source) {
                let name = sources.get(&source).ok_or_else(|| stored::nonsense(1))?;
                comp.source.clone_from(name);
                named = Some(source);
            }
            take(row.get(0)?, &comp);
            Ok(())
        })
    }

    /// The comp in a row that [`Book::each_comp`] or [`Book::double_listings`]
    /// told of.
    pub fn comp_by_row(&self, row: i64) -> Result<Option<Comparable>, BookProblem> {
        let whole = |row: &Row<'_>| -> rusqlite::Result<Comparable> {
            let mut comp = blank();
            fill(&mut comp, row)?;
            comp.source = stored::read_text(row, LISTING + 1)?;
            Ok(comp)
        };
        let sql = READ.replace(
            " FROM comps",
            ", (SELECT name FROM sources WHERE number = source) FROM comps WHERE row = ?1",
        );
        let statement = self.connection.prepare_cached(&sql);
        statement
            .and_then(|mut statement| statement.query_row([row], whole).optional())
            .map_err(|error| self.problem(error))
    }

    fn each_row(
        &self,
        take: &mut dyn FnMut(&Row<'_>) -> rusqlite::Result<()>,
    ) -> Result<(), BookProblem> {
        let mut all = || -> rusqlite::Result<()> {
            let mut statement = self.connection.prepare(&format!("{READ} ORDER BY row"))?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                take(row)?;
            }
            Ok(())
        };
        all().map_err(|error| self.problem(error))
    }
}
