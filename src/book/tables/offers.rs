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
        stored::STYLE,
        stored::MADE,
        ("found_condition", Kind::Condition),
        ("found_tier", Kind::Tier),
        stored::SEAT_TUBE,
        stored::NEW_PRICE,
    ],
};

const BIKE: usize = OFFERS.place("bike");
const ON: usize = OFFERS.place("on");
const ASKING: usize = OFFERS.place("asking");
const MARGIN: usize = OFFERS.place("margin");
const MOST_MEAN: usize = OFFERS.place("most_mean");
const MOST_CAUTIOUS: usize = OFFERS.place("most_cautious");
const JOBS: usize = OFFERS.place("jobs");
const COST: usize = OFFERS.place("cost");
const HOURS: usize = OFFERS.place("hours");
const FEES: usize = OFFERS.place("fees");
const PRICE: usize = OFFERS.place("price");
const DAYS: usize = OFFERS.place("days");
const CONDITION: usize = OFFERS.place("condition");
const TIER: usize = OFFERS.place("tier");
/// The bike as it was found begins here.
const FOUND: usize = OFFERS.place("style");

/// The jobs, one a line. No name of a job holds a line's end.
pub(in crate::book) fn jobs_text(offer: &KeptOffer) -> Option<String> {
    (!offer.jobs.is_empty()).then(|| offer.jobs.join("\n"))
}

pub(in crate::book) fn cells<'a>(offer: &'a KeptOffer, jobs: Option<&'a str>) -> [Cell<'a>; 20] {
    let money = |amount: Money| stored::money(Some(amount));
    let found = offer.found.as_ref().map(stored::bike);
    let [style, made, condition, tier, seat_tube, new_price] = found.unwrap_or([Cell::Null; 6]);
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
        style,
        made,
        condition,
        tier,
        seat_tube,
        new_price,
    ]
}

fn offer(row: &Row<'_>) -> rusqlite::Result<KeptOffer> {
    let money = |column| stored::read_money(row, column)?.ok_or_else(|| nonsense(column));
    let jobs: Option<String> = row.get(JOBS)?;
    Ok(KeptOffer {
        bike: stored::read_text(row, BIKE)?,
        on: stored::read_day(row, ON)?.ok_or_else(|| nonsense(ON))?,
        asking: stored::read_money(row, ASKING)?,
        margin: money(MARGIN)?,
        most_mean: money(MOST_MEAN)?,
        most_cautious: money(MOST_CAUTIOUS)?,
        jobs: jobs
            .iter()
            .flat_map(|jobs| jobs.split('\n'))
            .map(str::to_string)
            .collect(),
        cost: money(COST)?,
        hours: row.get(HOURS)?,
        fees: money(FEES)?,
        price: money(PRICE)?,
        days: row.get(DAYS)?,
        condition: stored::read_condition(row, CONDITION)?,
        tier: stored::read_tier(row, TIER)?,
        found: stored::read_bike_if_known(row, FOUND)?,
    })
}

impl Book {
    /// Offers made up to the day `as_of`, by day, those of one day as kept.
    ///
    /// # Errors
    /// The book cannot be read.
    pub fn offers(&self, as_of: Day) -> Result<Vec<KeptOffer>, BookProblem> {
        self.all(
            &format!(
                "SELECT {} FROM offers WHERE \"on\" <= ?1 ORDER BY \"on\", row",
                OFFERS.list()
            ),
            [stored::from_day(as_of)],
            offer,
        )
    }
}
