//! An offer that was made for a bike, kept to be held against what came of it.

use super::bike::{Bike, Condition, Tier};
use super::calendar::Day;
use super::money::Money;

/// What was forecast for a bike on the day it was looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptOffer {
    /// The id that the bike has in the book, or will have once it is bought.
    pub bike: String,
    /// Day of the offer.
    pub on: Day,
    /// What the seller wanted.
    pub asking: Option<Money>,
    /// Margin that was to be left.
    pub margin: Money,
    /// The most to pay that was told, on average.
    pub most_mean: Money,
    /// The most to pay that was told, to be cautious.
    pub most_cautious: Money,
    /// Jobs of the best set, in the order of doing them.
    pub jobs: Vec<String>,
    /// Money forecast for them.
    pub cost: Money,
    /// Hours forecast for them, in hundredths.
    pub hours: i64,
    /// Forecast of what selling costs.
    pub fees: Money,
    /// Forecast of the sale price, its mean.
    pub price: Money,
    /// Forecast of the days on market, in tenths of a day.
    pub days: i64,
    /// Condition after the jobs.
    pub condition: Option<Condition>,
    /// Component tier after the jobs.
    pub tier: Option<Tier>,
    /// The bike as it was found, by what the user told of it; `None` for offers of
    /// books of before, which did not keep it.
    pub found: Option<Bike>,
}

impl KeptOffer {
    /// What was forecast to be left before the bike is paid for. Waiting and hours
    /// are no money spent, so they are not in it.
    pub fn left(&self) -> Money {
        Money::from_minor(self.price.minor() - self.cost.minor() - self.fees.minor())
    }
}
