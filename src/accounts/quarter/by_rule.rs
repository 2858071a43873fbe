//! Each bike's part of the due by the rule alone, with what comes of other quarters as an
//! amount of its own: what a reader can check with the price of the bike.

use super::figures::QuarterReport;
use super::lines::weight;
use crate::accounts::share;
use crate::trade::money::split;
use crate::trade::{Give, Money};

/// The due in parts that add up to it.
pub struct ByRule {
    /// The bikes', in the order of the sales.
    pub dues: Vec<Money>,
    /// What comes of other quarters: corrections, refunds of their sales and shortfalls; 0
    /// where costs count, as these are the bikes' too.
    pub others: Money,
}

/// Under `give price`: the share of the sale prices less what was handed back of them,
/// rounded half up once and split over the bikes by largest remainder, as the whole is;
/// what is left of the due comes of other quarters.
pub fn by_rule(report: &QuarterReport) -> ByRule {
    if !report.gives_price_alone() {
        return ByRule {
            dues: report.sales.iter().map(|line| line.due).collect(),
            others: Money::ZERO,
        };
    }
    let kept = |line| weight(line, &report.returns, Give::Price);
    let prices: Vec<u64> = report.sales.iter().map(kept).collect();
    let whole: i128 = prices.iter().map(|price| i128::from(*price)).sum();
    let due = i64::try_from(share::of(whole, report.giving.share)).unwrap_or(i64::MAX);
    let dues = split(due, &prices).into_iter().map(Money::from_minor);
    ByRule {
        dues: dues.collect(),
        others: Money::from_minor(report.due.minor() - due),
    }
}
