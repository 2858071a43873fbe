//! Counts, medians and quartiles by style, condition, tier and class of age.
//!
//! One frame for comps and one for own bikes, a row a bike; money stays in whole
//! minor units until the currency rounds a median once.

use super::counted::CompRow;
use super::places::{By, Place};
use crate::trade::{Currency, Money, Outcome, Style};
use polars::prelude::*;
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
    let mut columns = places(comps.iter().map(|row| row.place));
    let outcomes: Vec<u32> = comps.iter().map(|r| r.outcome.index() as u32).collect();
    columns.push(Column::new("outcome".into(), outcomes));
    columns.push(amounts(comps.iter().map(|row| row.ask)));
    let comps = DataFrame::new(comps.len(), columns)?;
    let mut columns = places(own.iter().map(|row| row.place));
    columns.push(amounts(own.iter().map(|row| row.price)));
    let own = DataFrame::new(own.len(), columns)?;
    By::EACH
        .into_iter()
        .map(|by| table(by, &comps, &own, currency).map(|rows| (by, rows)))
        .collect()
}

fn places(all: impl Iterator<Item = Place> + Clone) -> Vec<Column> {
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

fn quantile(share: f64, name: &str) -> Expr {
    let amount = col("amount").quantile(lit(share), QuantileMethod::Linear);
    amount.alias(name)
}

fn outcome_name(outcome: Outcome) -> &'static str {
    outcome.word()
}

fn table(
    by: By,
    comps: &DataFrame,
    own: &DataFrame,
    currency: &Currency,
) -> PolarsResult<Vec<Row>> {
    let figures = vec![
        len().cast(DataType::UInt32).alias("rows"),
        quantile(0.25, "low"),
        quantile(0.5, "median"),
        quantile(0.75, "high"),
    ];
    let counts = Outcome::ALL.iter().map(|outcome| {
        let is = col("outcome").eq(lit(outcome.index() as u32));
        is.cast(DataType::UInt32)
            .sum()
            .alias(outcome_name(*outcome))
    });
    let of_comps = grouped(by, comps, figures.iter().cloned().chain(counts).collect())?;
    let of_own = grouped(by, own, figures)?;
    let mut rows: BTreeMap<u32, Row> = BTreeMap::new();
    let mut row = |code: u32, fill: &dyn Fn(&mut Row)| {
        fill(rows.entry(code).or_insert_with(|| Row {
            code,
            group: by.label(code),
            ..Row::default()
        }));
    };
    for i in 0..of_comps.height() {
        let (code, count, quartiles) = group(by, &of_comps, i, currency)?;
        let mut outcomes = [0; 4];
        for (place, outcome) in outcomes.iter_mut().zip(Outcome::ALL) {
            *place = whole(&of_comps, outcome_name(*outcome), i)? as usize;
        }
        row(code, &|row| {
            row.comps = count;
            row.asks = quartiles;
            row.outcomes = outcomes;
        });
    }
    for i in 0..of_own.height() {
        let (code, count, quartiles) = group(by, &of_own, i, currency)?;
        row(code, &|row| {
            row.sales = count;
            row.sale_prices = quartiles;
        });
    }
    Ok(rows.into_values().collect())
}

fn grouped(by: By, frame: &DataFrame, figures: Vec<Expr>) -> PolarsResult<DataFrame> {
    let lazy = frame.clone().lazy();
    lazy.group_by([col(by.word())]).agg(figures).collect()
}

fn whole(frame: &DataFrame, name: &str, row: usize) -> PolarsResult<u32> {
    Ok(frame.column(name)?.u32()?.get(row).unwrap_or(0))
}

/// Code, rows and quartiles of a group.
fn group(
    by: By,
    frame: &DataFrame,
    row: usize,
    currency: &Currency,
) -> PolarsResult<(u32, usize, Option<Quartiles>)> {
    let money = |name: &str| -> PolarsResult<Option<Money>> {
        let minor = frame.column(name)?.f64()?.get(row);
        Ok(minor.and_then(|minor| currency.round(minor / currency.scale() as f64)))
    };
    let quartiles = match (money("low")?, money("median")?, money("high")?) {
        (Some(low), Some(median), Some(high)) => Some(Quartiles { low, median, high }),
        _ => None,
    };
    let count = whole(frame, "rows", row)? as usize;
    Ok((whole(frame, by.word(), row)?, count, quartiles))
}
