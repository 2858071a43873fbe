//! The table of offers that were made.

use super::stored::{self, Cell, Kind, Table, nonsense};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::trade::{Day, KeptOffer, Money};
use rusqlite::Row;

pub(in crate::book) const OFFERS: Table = Table {
    name: "offers",
    keys: 2,
    columns: &[
        ("bike", Kind::Plain),
        ("on", Kind::Day),
        ("asking", Kind::Money),
        ("margin", Kind::Money),
        ("most_mean", Kind::Money),
        ("most_cautious", Kind::Money),
        ("jobs", Kind::Text),
        ("cost", Kind::Money),
        ("hours", Kind::Hours),
        ("fees", Kind::Money),
        ("price", Kind::Money),
        ("days", Kind::Days),
        ("condition", Kind::Condition),
        ("tier", Kind::Tier),
    ],
};

/// The jobs, one a line. No name of a job holds a line's end.
pub(in crate::book) fn jobs_text(offer: &KeptOffer) -> Option<String> {
    (!offer.jobs.is_empty()).then(|| offer.jobs.join("\n"))
}

pub(in crate::book) fn cells<'a>(offer: &'a KeptOffer, jobs: Option<&'a str>) -> [Cell<'a>; 14] {
    let money = |amount: Money| stored::money(Some(amount));
    [
        Cell::Text(&offer.bike),
        stored::day(Some(offer.on)),
        stored::money(offer.asking),
        money(offer.margin),
        money(offer.most_mean),
        money(offer.most_cautious),
        jobs.map_or(Cell::Null, Cell::Text),
        money(offer.cost),
        Cell::Int(offer.hours),
        money(offer.fees),
        money(offer.price),
        Cell::Int(offer.days),
        stored::condition(offer.condition),
        stored::tier(offer.tier),
    ]
}

fn offer(row: &Row<'_>) -> rusqlite::Result<KeptOffer> {
    let money = |column| stored::read_money(row, column)?.ok_or_else(|| nonsense(column));
    let jobs: Option<String> = row.get(6)?;
    Ok(KeptOffer {
        bike: stored::read_text(row, 0)?,
        on: stored::read_day(row, 1)?.ok_or_else(|| nonsense(1))?,
        asking: stored::read_money(row, 2)?,
        margin: money(3)?,
        most_mean: money(4)?,
        most_cautious: money(5)?,
        jobs: jobs
            .iter()
            .flat_map(|jobs| jobs.split('\n'))
            .map(str::to_string)
            .collect(),
        cost: money(7)?,
        hours: row.get(8)?,
        fees: money(9)?,
        price: money(10)?,
        days: row.get(11)?,
        condition: stored::read_condition(row, 12)?,
        tier: stored::read_tier(row, 13)?,
    })
}

impl Book {
    /// Offers made up to the day `as_of`, by day, those of one day as kept.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn offers(&self, as_of: Day) -> Result<Vec<KeptOffer>, BookProblem> {
        let all = || -> rusqlite::Result<Vec<KeptOffer>> {
            let mut statement = self.connection.prepare(
                "SELECT bike, \"on\", asking, margin, most_mean, most_cautious, jobs, cost, \
                     hours, fees, price, days, condition, tier \
                 FROM offers WHERE \"on\" <= ?1 ORDER BY \"on\", row",
            )?;
            statement
                .query_map([stored::from_day(as_of)], offer)?
                .collect()
        };
        all().map_err(|error| self.problem(&error))
    }
}
