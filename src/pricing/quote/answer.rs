//! What is asked about a bike, and the answer.

use super::caution::QuoteCaution;
use crate::pricing::asking::Plan;
use crate::pricing::eye::learnt::EyeMisses;
use crate::pricing::eye::sighting::EyeSource;
use crate::pricing::value::fitted::FittedValue;
use crate::trade::{Bike, Condition, Currency, Day, Money, Tier};

/// What is asked about one bike.
#[derive(Clone, Debug)]
pub struct PriceQuestion {
    /// Its id, when it has one.
    pub id: Option<String>,
    /// Its features.
    pub bike: Bike,
    /// Direct cost so far.
    pub cost: Option<Money>,
    /// What its owner expects it to bring, said before any price was told.
    pub guess: Option<Money>,
    /// Unpaid hours, in hundredths.
    pub hours: Option<i64>,
    /// Probability of the range.
    pub level: f64,
    /// Condition and tier before the repairs that this bike is priced after.
    pub before: Option<(Option<Condition>, Option<Tier>)>,
    /// For a bike that stands listed: days so far, and its asks by age (days, ln).
    pub stood: Option<(f64, Vec<(f64, f64)>)>,
}

/// Value of one sale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ValueRange {
    /// Even chance.
    pub median: Money,
    /// Mean.
    pub expected: Money,
    /// Lower end.
    pub low: Money,
    /// Upper end.
    pub high: Money,
    /// Probability that a sale lands between them.
    pub level: f64,
}

/// What one feature does to the value.
#[derive(Clone, Debug, PartialEq)]
pub struct Contribution {
    /// Name of the feature.
    pub feature: String,
    /// Whether it is known; an unknown one has its expected effect.
    pub known: bool,
    /// What the value is multiplied by.
    pub factor: f64,
    /// The same in money; all amounts and the base add up to the median.
    pub amount: Money,
}

/// What is left over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Direct cost.
    pub cost: Money,
    /// Expected sale less cost.
    pub expected: Money,
    /// Low end of the range less cost.
    pub low: Money,
    /// High end less cost.
    pub high: Money,
    /// The same two when it is sold by the plan: moved as its mean is, and never above
    /// the first ask.
    pub planned: [Money; 2],
    /// Probability that the sale brings less than the cost.
    pub chance_of_loss: f64,
    /// Expected margin an hour, in the currency's units.
    pub per_hour: Option<f64>,
}

/// What a guess did to a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeQuote {
    /// The guess.
    pub guess: Money,
    /// What the weight was learnt from.
    pub from: EyeSource,
    /// What the guess counts, 0 to 1.
    pub weight: f64,
    /// The value without it.
    pub without: Money,
    /// How that eye has done.
    pub misses: Option<EyeMisses>,
}

/// The answer about one bike.
#[derive(Clone, Debug)]
pub struct Quote {
    /// What was asked.
    pub question: PriceQuestion,
    /// Its value; `None` when there is nothing to go on.
    pub value: Option<ValueRange>,
    /// Where the contributions start: in words, and its value.
    pub base: Option<(String, Money)>,
    /// From the base to the bike.
    pub contributions: Vec<Contribution>,
    /// What the owner's guess did to the value; `None` without one.
    pub eye: Option<EyeQuote>,
    /// What to ask; `None` where nobody wants to know or no value is known.
    pub plan: Option<Plan>,
    /// The plan of somebody who has time, at 1 % a week, where that is another.
    pub patient: Option<Plan>,
    /// What is left over, when a cost was given.
    pub margin: Option<Margin>,
    /// Doubts.
    pub cautions: Vec<QuoteCaution>,
}

/// Where a price comes from: the fitted records, or the new price alone.
pub enum Source<'a> {
    /// Records.
    Fitted(&'a FittedValue),
    /// No records.
    Nothing {
        /// Day of the answer.
        as_of: Day,
        /// The book's currency.
        currency: Currency,
    },
}

impl Source<'_> {
    /// The book's currency.
    pub fn currency(&self) -> Currency {
        match self {
            Source::Fitted(model) => model.currency,
            Source::Nothing { currency, .. } => *currency,
        }
    }
}
