//! Each bike's part of the due by the rule alone, with corrections of closed quarters as
//! an amount of their own: what a beneficiary can check with the price of the bike.

use crate::accounts::QuarterReport;
use crate::trade::Money;
use crate::trade::money::split;

/// The due in parts that add up to it.
pub(in crate::report) struct ByRule {
    /// The bikes', in the order of the sales.
    pub dues: Vec<Money>,
    /// That of the corrections; 0 where there are none.
    pub corrections: Money,
}

/// Under `give price`: the share of the sale prices, rounded half up once and split over
/// the bikes by largest remainder, as the whole is; what is left of the due comes from
/// corrections.
pub(in crate::report) fn by_rule(report: &QuarterReport) -> ByRule {
    if report.corrections.is_empty() {
        return ByRule {
            dues: report.sales.iter().map(|line| line.due).collect(),
            corrections: Money::ZERO,
        };
    }
    let prices = report.sales.iter().map(|line| line.sold_price.minor());
    let prices: Vec<u64> = prices
        .map(|price| u64::try_from(price).unwrap_or(0))
        .collect();
    let whole: u128 = prices.iter().map(|price| u128::from(*price)).sum();
    // Hundredths of a percent; half up.
    let due = (2 * whole * u128::from(report.giving.share) + 10_000) / 20_000;
    let due = i64::try_from(due).unwrap_or(i64::MAX);
    let dues = split(due, &prices).into_iter().map(Money::from_minor);
    ByRule {
        dues: dues.collect(),
        corrections: Money::from_minor(report.due.minor() - due),
    }
}
