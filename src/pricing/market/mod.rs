//! What the comps and the own sales say of the market, as known on one day.
//!
//! The value model is fitted to all records. Then the comps are streamed once
//! more, into rows of a few numbers each: none is kept whole.
//!
//! * the question and the answer: [`Question`], [`Market`]
//! * the tables by style, condition, tier and class of age: [`tables`], [`places`]
//! * one row a bike, however often it was listed: `counted`
//! * days on market: [`spells`] (from when until when), [`days`] (the curves)
//! * from ask to sale price: [`haggling`]
//! * how prices moved, and the season: [`movement`]
//! * prices far from their value: [`far_asks`]; what to doubt: [`cautions`]
//! * what a seller should take from each part: [`takeaways`]

pub mod cautions;
mod counted;
pub mod days;
pub mod far_asks;
pub(in crate::pricing) mod groups;
pub mod haggling;
pub mod movement;
pub mod places;
mod reading;
pub mod spells;
pub mod tables;
pub mod takeaways;

use super::design::coding::Coding;
use super::prior::priors::Priors;
use super::records::gathered::Gathered;
use super::records::observation::{Observation, Records, RecordsError, of_sale};
use super::value::fitted::{FittedValue, NoFit, ValueModel, ValueSettings};
use super::value::reduce::Watch;
use crate::statistics::DurationProblem;
use crate::trade::calendar::quarter_number;
use crate::trade::{Comparable, Currency, Day, Style};
use cautions::MarketCaution;
use days::{Days, OfGroup, by_group, on_market};
use far_asks::FarAsks;
use haggling::Gap;
use movement::{Period, Season, Seen};
use places::By;
use polars::prelude::PolarsError;
use std::collections::HashMap;
use tables::{OwnPrice, Row};

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct Question {
    /// The day of the answer; nothing later is used.
    pub as_of: Day,
    /// The book's currency.
    pub currency: Currency,
    /// Only bikes of this style. The value model is fitted to all all the same.
    pub style: Option<Style>,
    /// Prices far from their value that are named, at most.
    pub top: usize,
    /// Probability of the ranges and confidence of the limits.
    pub level: f64,
}

/// The comps that are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CompCounts {
    /// Bikes: one that is listed several times counts once.
    pub comps: usize,
    /// Listings.
    pub listings: usize,
    /// First and last day on which any was known of.
    pub dates: Option<(Day, Day)>,
    /// By outcome, in the order of [`crate::trade::Outcome::ALL`].
    pub outcomes: [usize; 4],
    /// Without any date: counted, but of no use for days and movement.
    pub undated: usize,
    /// In the book, but not known yet on the day of the answer.
    pub not_yet: usize,
}

/// The own bikes that are known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SaleCounts {
    /// All.
    pub bikes: usize,
    /// Sold.
    pub sold: usize,
    /// Listed and not sold.
    pub listed: usize,
    /// On hand and not listed.
    pub not_listed: usize,
    /// First and last day of a sale.
    pub dates: Option<(Day, Day)>,
    /// In the book, but not known yet on the day of the answer.
    pub not_yet: usize,
}

/// A row of a table with its days on market.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupRow {
    /// Counts and prices.
    pub row: Row,
    /// Days on market.
    pub days: OfGroup,
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Market {
    /// What was asked.
    pub question: Question,
    /// The comps.
    pub comps: CompCounts,
    /// The own bikes.
    pub sales: SaleCounts,
    /// Tables, in the order of [`By::EACH`].
    pub by: Vec<(By, Vec<GroupRow>)>,
    /// Sale prices of own bikes.
    pub own_prices: Vec<OwnPrice>,
    /// Days on market.
    pub days: Days,
    /// From ask to sale price, in the order of [`haggling::Against::ALL`].
    pub gaps: [Gap; 4],
    /// The market's level, newest first; empty without prices.
    pub movement: Vec<Period>,
    /// The season; `None` without prices.
    pub season: Option<Season>,
    /// Prices far from their value.
    pub far: FarAsks,
    /// What the model used and what it set aside; `None` without prices.
    pub gathered: Option<Gathered>,
    /// What to doubt about it all.
    pub cautions: Vec<MarketCaution>,
}

impl Market {
    /// The rows of a table.
    pub fn table(&self, by: By) -> &[GroupRow] {
        let found = self.by.iter().find(|(other, _)| *other == by);
        found.map_or(&[], |(_, rows)| rows)
    }

    /// Whether nothing at all is known.
    pub fn is_empty(&self) -> bool {
        self.comps.comps == 0 && self.sales.bikes == 0
    }

    /// The period of the day a year before that of the answer.
    pub fn a_year_ago(&self) -> Option<&Period> {
        let then = quarter_number(self.question.as_of) - 4;
        let mut periods = self.movement.iter();
        periods.find(|period| (period.from..=period.to).contains(&then))
    }
}

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum MarketProblem {
    /// The value model could not be fitted.
    #[error(transparent)]
    Fit(#[from] NoFit),
    /// The records could not be read.
    #[error(transparent)]
    Records(#[from] RecordsError),
    /// The tables could not be made.
    #[error("the tables could not be made: {0}")]
    Tables(#[from] PolarsError),
    /// The days on market could not be counted.
    #[error("the days on market could not be counted: {0}")]
    Days(#[from] DurationProblem),
}

/// What the records say of the market. Without records it is all empty.
///
/// # Errors
/// [`MarketProblem`]; never an answer with a number that is not finite.
pub fn market(
    records: &dyn Records,
    priors: &Priors,
    question: &Question,
) -> Result<Market, MarketProblem> {
    let settings = ValueSettings {
        as_of: question.as_of,
        currency: question.currency,
        without: None,
    };
    let mut seen = Seen::default();
    let fitted = match (ValueModel { priors, settings }).fit(records, &mut seen) {
        Ok(fitted) => Some(fitted),
        Err(NoFit::NoRecords) => None,
        Err(other) => return Err(other.into()),
    };
    if let Some(model) = &fitted {
        own_days(records, model, &mut seen);
    }
    let read = reading::read(records, priors, question, fitted.as_ref())?;
    let level = question.level;
    let tables = tables::tables(&read.rows, &read.own_prices, &question.currency)?;
    let mut by = Vec::with_capacity(tables.len());
    for (kind, rows) in tables {
        let mut days = by_group(kind, &read.own_spells, &read.spells, level)?;
        let with_days = rows.into_iter().map(|row| GroupRow {
            days: days.remove(&row.code).unwrap_or_default(),
            row,
        });
        by.push((kind, with_days.collect()));
    }
    let days = Days {
        own: on_market(&read.own_spells, level)?,
        comps: on_market(&read.spells, level)?,
        unused: read.unused,
        level,
    };
    let mut market = Market {
        question: *question,
        comps: read.comps,
        sales: read.sales,
        by,
        own_prices: read.own_prices,
        days,
        gaps: read.pairs.gaps()?,
        movement: fitted
            .as_ref()
            .map_or(Vec::new(), |model| movement::movement(model, &seen, level)),
        season: fitted
            .as_ref()
            .map(|model| movement::season(model, &seen, level)),
        far: read.far,
        gathered: fitted.map(|model| model.gathered),
        cautions: Vec::new(),
    };
    market.cautions = cautions::about(&market);
    Ok(market)
}

/// The days for which the own sales speak, besides those set aside.
fn own_days(records: &dyn Records, model: &FittedValue, seen: &mut Seen) {
    let used: HashMap<&str, f64> = model
        .own
        .iter()
        .map(|sale| (sale.id.as_str(), sale.weight))
        .collect();
    for sale in records.sales() {
        let weight = used.get(sale.id.as_str()).copied().unwrap_or(0.0);
        if let Ok(price) = of_sale(sale, model.coding.as_of, &model.currency)
            && weight > 0.0
        {
            seen.push(price.day, 1.0);
        }
    }
}

impl Watch for Seen {
    fn comp(&mut self, _: &Comparable, seen: &Observation, _: &Coding, _: &[f64]) {
        self.push(seen.day, seen.weight);
    }
}
