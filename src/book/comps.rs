//! The table of comparables, and the sources they were seen at.

use super::stored::{self, BIKE, Cell, Kind, Table};
use super::{Book, BookProblem, likeness};
use crate::trade::{Bike, Comparable, Day, Money, Outcome};
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

/// A comparable without its texts, for the models.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeanComp {
    /// Number of its source, see [`Book::sources`].
    pub source: u32,
    /// The fields of [`Comparable`].
    pub bike: Bike,
    pub listed_on: Option<Day>,
    pub first_seen: Option<Day>,
    pub last_seen: Option<Day>,
    pub ask: Money,
    pub last_ask: Option<Money>,
    pub outcome: Outcome,
    pub ended_on: Option<Day>,
    pub sold_price: Option<Money>,
}

impl LeanComp {
    /// With its texts: the whole record.
    pub fn with_texts(self, source: String, listing: String) -> Comparable {
        let Self {
            bike,
            listed_on,
            first_seen,
            last_seen,
            ask,
            last_ask,
            ..
        } = self;
        let Self {
            outcome,
            ended_on,
            sold_price,
            ..
        } = self;
        Comparable {
            listing,
            source,
            bike,
            listed_on,
            first_seen,
            last_seen,
            ask,
            last_ask,
            outcome,
            ended_on,
            sold_price,
        }
    }
}

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

fn lean(row: &Row<'_>) -> rusqlite::Result<LeanComp> {
    Ok(LeanComp {
        source: row.get(1)?,
        bike: stored::read_bike(row, 2)?,
        listed_on: stored::read_day(row, 8)?,
        first_seen: stored::read_day(row, 9)?,
        last_seen: stored::read_day(row, 10)?,
        ask: stored::read_money(row, 11)?.ok_or_else(|| stored::nonsense(11))?,
        last_ask: stored::read_money(row, 12)?,
        outcome: stored::read_outcome(row, 13)?,
        ended_on: stored::read_day(row, 14)?,
        sold_price: stored::read_money(row, 15)?,
    })
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
        let mut buffer: Option<(u32, Comparable)> = None;
        self.each_row(&mut |row| {
            let comp = lean(row)?;
            let (source, mut texts) = match buffer.take() {
                Some((source, old)) => (source, old),
                None => (u32::MAX, comp.with_texts(String::new(), String::new())),
            };
            if source != comp.source {
                let name = sources
                    .get(&comp.source)
                    .ok_or_else(|| stored::nonsense(1))?;
                texts.source.clone_from(name);
            }
            texts.listing.clear();
            texts.listing.push_str(row.get_ref(LISTING)?.as_str()?);
            let filled = comp.with_texts(texts.source, texts.listing);
            take(row.get(0)?, &filled);
            buffer = Some((comp.source, filled));
            Ok(())
        })
    }

    /// Streams every comp without its texts, with its row number (see
    /// [`Book::comp_by_row`]), in the same order as [`Book::each_comp`].
    pub fn each_comp_lean(&self, take: &mut dyn FnMut(i64, &LeanComp)) -> Result<(), BookProblem> {
        self.each_row(&mut |row| {
            take(row.get(0)?, &lean(row)?);
            Ok(())
        })
    }

    /// The comp in a row that [`Book::each_comp_lean`] or
    /// [`Book::double_listings`] told of.
    pub fn comp_by_row(&self, row: i64) -> Result<Option<Comparable>, BookProblem> {
        let whole = |row: &Row<'_>| -> rusqlite::Result<Comparable> {
            let source = stored::read_text(row, LISTING + 1)?;
            Ok(lean(row)?.with_texts(source, stored::read_text(row, LISTING)?))
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
