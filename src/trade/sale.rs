//! A bike of the user's own, from purchase to sale.

use super::bike::Bike;
use super::calendar::Day;
use super::money::Money;

/// One row of `sales.csv`: a bike sold, or on hand when it has no sale.
#[derive(Clone, Debug, PartialEq)]
pub struct Sale {
    /// The user's own id of the bike, unique.
    pub id: String,
    /// Its features.
    pub bike: Bike,
    /// Day of purchase.
    pub bought_on: Option<Day>,
    /// Day on which it was first offered.
    pub listed_on: Option<Day>,
    /// First ask.
    pub ask: Option<Money>,
    /// Day and price of the sale; `None` while it is on hand.
    pub sold: Option<Sold>,
    /// What was paid for it.
    pub purchase: Option<Money>,
    /// Parts and supplies.
    pub parts: Option<Money>,
    /// Fees of listing and selling.
    pub fees: Option<Money>,
    /// Travel and anything else that it cost.
    pub other_cost: Option<Money>,
    /// Unpaid hours, in hundredths of an hour.
    pub hours: Option<i64>,
    /// The user's own remark; never leaves the workshop.
    pub note: Option<String>,
}

/// The sale of a bike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sold {
    /// Day of the sale.
    pub on: Day,
    /// What the buyer paid.
    pub price: Money,
}

impl Sale {
    /// The record as it was known on `day`: `None` when it lies wholly in the
    /// future, without its sale when that came later.
    pub fn as_known_on(&self, day: Day) -> Option<Sale> {
        let first = [self.bought_on, self.listed_on, self.sold.map(|s| s.on)];
        if first.into_iter().flatten().min().is_some_and(|d| d > day) {
            return None;
        }
        let mut known = self.clone();
        known.sold = self.sold.filter(|sold| sold.on <= day);
        if self.listed_on.is_some_and(|listed| listed > day) {
            known.listed_on = None;
            known.ask = None;
        }
        Some(known)
    }

    /// The day for which the sale price speaks: when it was listed, or else
    /// when it was sold. (The value is defined for the day of listing.)
    pub fn priced_on(&self) -> Option<Day> {
        let sold = self.sold?;
        Some(self.listed_on.unwrap_or(sold.on))
    }
}
