//! One bike of the user's own from purchase to sale, as its records tell on some day.

use super::direct_cost::{DirectCost, by_bike};
use super::last_asks::LastAsks;
use crate::trade::{AskChange, Cost, Day, Money, Quarter, Return, Sale};

/// Where a bike is in its life.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// On hand and not on offer.
    Workshop,
    /// On offer.
    Listed,
    /// Sold.
    Sold,
    /// Left without a sale.
    Left,
}

impl Stage {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Stage::Workshop => "workshop",
            Stage::Listed => "listed",
            Stage::Sold => "sold",
            Stage::Left => "left",
        }
    }
}

/// A bike as it was known on a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Life {
    /// Its record: of a sale of which something was handed back, the price less that.
    pub sale: Sale,
    /// What was handed back to its buyers.
    pub returns: Vec<Return>,
    /// Where it is.
    pub stage: Stage,
    /// Since when, where that is known.
    pub since: Option<Day>,
    /// The ask that stands, or stood last.
    pub ask: Option<Money>,
    /// What it cost up to that day, or, sold, in all.
    pub cost: DirectCost,
}

impl Life {
    /// What all its buyers paid, less what was handed back to them, less direct cost; `None`
    /// while it is not sold, or no cost is known.
    pub fn margin(&self) -> Option<Money> {
        let (sold, cost) = (self.sale.sold?, self.cost.known()?);
        // The price of the sale that stands is less its refunds already.
        let mut kept = sold.price.minor() - cost.minor();
        for one in &self.returns {
            let before = one.back.is_some() || one.on < sold.on;
            kept += one.back.map_or(0, |sale| sale.price.minor());
            kept -= if before { one.refund.minor() } else { 0 };
        }
        Some(Money::from_minor(kept))
    }

    /// The quarter in which it was sold.
    pub fn quarter(&self, year_starts: u8) -> Option<Quarter> {
        self.sale.sold.map(|sold| Quarter::of(sold.on, year_starts))
    }
}

/// The bikes known on the day `as_of`, by the bytes of their ids. Records may stand in any
/// order; nothing dated later is used, but for costs of bikes that were sold, which come
/// late.
pub fn lives(sales: &[Sale], costs: &[Cost], asks: &[AskChange], as_of: Day) -> Vec<Life> {
    let costs = by_bike(costs.iter().filter(|cost| cost.on <= as_of));
    let last_asks = LastAsks::of(asks, as_of);
    let known = sales
        .iter()
        .filter_map(|sale| Some((sale.as_known_on(as_of)?, &sale.returns)));
    let mut lives: Vec<Life> = known
        .map(|(sale, returns)| {
            let costs = costs.get(sale.id.as_str()).into_iter().flatten();
            let (stage, since) = match (sale.sold, &sale.left, sale.listed_on) {
                (Some(sold), ..) => (Stage::Sold, Some(sold.on)),
                (None, Some(left), _) => (Stage::Left, Some(left.on)),
                (None, None, Some(listed)) => (Stage::Listed, Some(listed)),
                (None, None, None) => (Stage::Workshop, sale.bought_on),
            };
            let returns = returns.iter().filter(|one| one.on <= as_of);
            Life {
                cost: DirectCost::of(&sale, costs.copied()),
                ask: last_asks.ask(&sale),
                stage,
                since,
                returns: returns.cloned().collect(),
                sale,
            }
        })
        .collect();
    lives.sort_by(|a, b| a.sale.id.as_bytes().cmp(b.sale.id.as_bytes()));
    lives
}
