//! Counts, medians and quartiles by style, condition, tier and class of age.
//!
//! One frame for comps and one for own bikes, a row a bike; money stays in whole
//! minor units until the currency rounds a median once.

use super::counted::CompRow;
use super::groups::{CodeGroup, groups};
use super::places::{By, Place};
use crate::trade::{Currency, Money, Outcome, Style};
use polars::prelude::{Column, DataFrame, PolarsResult};
use std::collections::BTreeMap;

/// Median and quartiles of amounts of money: quantiles by straight lines between
/// the sorted values (definition 7 of Hyndman & Fan 1996, The American
/// Statistician 50:361-365, from memory; the default of R and numpy).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quartiles {
    /// A quarter lie below.
    pub low: Money,
    /// Half lie below.
    pub median: Money,
    /// A quarter lie above.
    pub high: Money,
}

/// A row of a table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Row {
    /// Where it stands; rows are in this order, the unknown last.
    pub code: u32,
    /// Its name.
    pub group: String,
    /// Comps, each bike counted once.
    pub comps: usize,
    /// The asks that stood last.
    pub asks: Option<Quartiles>,
    /// Comps by outcome, in the order of [`Outcome::ALL`].
    pub outcomes: [usize; 4],
    /// Own bikes sold.
    pub sales: usize,
    /// Their sale prices.
    pub sale_prices: Option<Quartiles>,
}

impl Row {
    /// Share of the comps with this outcome; `None` without comps.
    pub fn share(&self, outcome: Outcome) -> Option<f64> {
        let count = self.outcomes.get(outcome.index()).copied().unwrap_or(0);
        (self.comps > 0).then(|| count as f64 / self.comps as f64)
    }
}

/// An own bike that was sold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OwnPrice {
    pub(super) place: Place,
    /// Its style.
    pub style: Style,
    /// What the buyer paid.
    pub price: Money,
}

/// Every table, in the order of [`By::EACH`].
///
/// # Errors
/// What the table library says.
pub(super) fn tables(
    comps: &[CompRow],
    own: &[OwnPrice],
    currency: &Currency,
) -> PolarsResult<Vec<(By, Vec<Row>)>> {
    let mut columns = places(&comps.iter().map(|row| row.place));
    let outcomes: Vec<u32> = comps.iter().map(|r| r.outcome.index() as u32).collect();
    columns.push(Column::new("outcome".into(), outcomes));
    columns.push(amounts(comps.iter().map(|row| row.ask)));
    let comps = DataFrame::new(comps.len(), columns)?;
    let mut columns = places(&own.iter().map(|row| row.place));
    columns.push(amounts(own.iter().map(|row| row.price)));
    let own = DataFrame::new(own.len(), columns)?;
    By::EACH
        .into_iter()
        .map(|by| table(by, &comps, &own, currency).map(|rows| (by, rows)))
        .collect()
}

fn places(all: &(impl Iterator<Item = Place> + Clone)) -> Vec<Column> {
    By::EACH
        .into_iter()
        .map(|by| {
            let codes: Vec<u32> = all.clone().map(|place| place.code(by)).collect();
            Column::new(by.word().into(), codes)
        })
        .collect()
}

fn amounts(all: impl Iterator<Item = Money>) -> Column {
    Column::new("amount".into(), all.map(Money::minor).collect::<Vec<i64>>())
}

fn table(
    by: By,
    comps: &DataFrame,
    own: &DataFrame,
    currency: &Currency,
) -> PolarsResult<Vec<Row>> {
    let mut rows: BTreeMap<u32, Row> = BTreeMap::new();
    let blank = |code: u32| Row {
        code,
        group: by.label(code),
        ..Row::default()
    };
    for group in groups(comps, by.word())? {
        let row = rows.entry(group.code).or_insert_with(|| blank(group.code));
        row.comps = group.rows.height();
        row.asks = quartiles(&group, currency)?;
        for outcome in group.rows.column("outcome")?.u32()?.into_no_null_iter() {
            if let Some(count) = row.outcomes.get_mut(outcome as usize) {
                *count += 1;
            }
        }
    }
    for group in groups(own, by.word())? {
        let row = rows.entry(group.code).or_insert_with(|| blank(group.code));
        row.sales = group.rows.height();
        row.sale_prices = quartiles(&group, currency)?;
    }
    Ok(rows.into_values().collect())
}

/// Quartiles of the amounts of a group, each rounded once by the currency.
fn quartiles(group: &CodeGroup, currency: &Currency) -> PolarsResult<Option<Quartiles>> {
    let quarters = group.quarters("amount")?;
    let money = quarters
        .map(|minor| minor.and_then(|minor| currency.round(minor / currency.scale() as f64)));
    Ok(match money {
        [Some(low), Some(median), Some(high)] => Some(Quartiles { low, median, high }),
        _ => None,
    })
}
