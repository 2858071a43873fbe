//! Records for tests, said in a line: `sale("B-1").listed("2026-03-01", 150)`.
//! Amounts are in whole units of a currency of two decimals.

use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{AskChange, Bike, Comparable, Condition, Day, Money, Outcome, Sale, Style};

/// `2026-04-11`.
pub fn day(text: &str) -> Day {
    text.parse().unwrap()
}

/// Whole units.
pub fn units(units: i64) -> Money {
    Money::from_minor(100 * units)
}

/// A city bike of the user's own of which nothing else is known.
pub fn sale(id: impl Into<String>) -> Sale {
    Sale::of(id, Bike::of(Style::City))
}

/// Somebody else's bike on sale at an ask, of which nothing else is known.
pub fn comp(listing: impl Into<String>, style: Style, ask: Money) -> Comparable {
    Comparable {
        listing: listing.into(),
        source: "board".into(),
        bike: Bike::of(style),
        listed_on: None,
        first_seen: None,
        last_seen: None,
        ask,
        last_ask: None,
        outcome: Outcome::Listed,
        ended_on: None,
        sold_price: None,
    }
}

/// Records in memory; no comp is a double listing of another.
pub fn in_memory(sales: &[Sale], comps: &[Comparable], asks: &[AskChange]) -> InMemory {
    InMemory {
        sales: sales.to_vec(),
        comps: comps.iter().map(|comp| (comp.clone(), 1.0)).collect(),
        asks: asks.to_vec(),
    }
}

/// What a record says more.
pub trait Says: Sized {
    /// Its condition, 1 to 5.
    fn condition(self, grade: u8) -> Self;
    /// Bought on a day, at a price that nobody wrote down.
    fn bought(self, on: impl Into<Said>) -> Self;
    /// What was paid for it.
    fn purchase(self, price: i64) -> Self;
    /// First offered on a day at an ask.
    fn listed(self, on: impl Into<Said>, ask: i64) -> Self;
    /// Sold on a day at a price.
    fn sold(self, on: impl Into<Said>, price: i64) -> Self;
}

/// A day, or its text.
pub struct Said(Day);

impl From<Day> for Said {
    fn from(day: Day) -> Self {
        Self(day)
    }
}

impl From<&str> for Said {
    fn from(text: &str) -> Self {
        Self(day(text))
    }
}

impl Says for Sale {
    fn condition(mut self, grade: u8) -> Self {
        self.bike.condition = Condition::from_grade(grade);
        self
    }

    fn bought(mut self, on: impl Into<Said>) -> Self {
        self.bought_on = Some(on.into().0);
        self
    }

    fn purchase(mut self, price: i64) -> Self {
        self.purchase = Some(units(price));
        self
    }

    fn listed(mut self, on: impl Into<Said>, ask: i64) -> Self {
        self.listed_on = Some(on.into().0);
        self.ask = Some(units(ask));
        self
    }

    fn sold(mut self, on: impl Into<Said>, price: i64) -> Self {
        self.sold = Some(Sold {
            on: on.into().0,
            price: units(price),
        });
        self
    }
}
