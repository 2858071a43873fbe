//! The answer: a fit of all records, then one more pass over them.

use super::answer::{GroupRow, Market, MarketQuestion};
use super::days::{Days, by_group, on_market};
use super::doubts;
use super::movement::{self, SeenPrices};
use super::{reading, tables};
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::{Records, RecordsError, of_sale};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::recipe::{NoFit, ValueModel, ValueSettings};
use crate::statistics::DurationProblem;
use polars::prelude::PolarsError;
use std::collections::HashMap;

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
    question: &MarketQuestion,
) -> Result<Market, MarketProblem> {
    let settings = ValueSettings {
        as_of: question.as_of,
        currency: question.currency,
        without: None,
    };
    let mut seen = SeenPrices::default();
    let fitted = match (ValueModel { priors, settings }).fit(records, &mut seen) {
        Ok(fitted) => Some(fitted).filter(|model| !model.gathered.is_empty()),
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
    market.cautions = doubts::about(&market);
    Ok(market)
}

/// The days for which the own sales speak, besides those set aside.
fn own_days(records: &dyn Records, model: &FittedValue, seen: &mut SeenPrices) {
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
