//! Each bike's part of the due by the rule alone, with what comes of other quarters as an
//! amount of its own: what a beneficiary can check with the price of the bike.

use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::{ReturnLine, SaleLine};
use crate::trade::Money;
use crate::trade::money::split;

/// The due in parts that add up to it.
pub(in crate::report) struct ByRule {
    /// The bikes', in the order of the sales.
    pub dues: Vec<Money>,
    /// What comes of other quarters: corrections, and refunds and shortfalls beside them; 0
    /// without corrections.
    pub others: Money,
}

impl ByRule {
    /// What `others` is, in words.
    pub(in crate::report) fn others_are(report: &QuarterReport) -> &'static str {
        let more = !report.returns.is_empty()
            || report.brought_forward != Money::ZERO
            || report.carried_forward != Money::ZERO;
        if more {
            "corrections, refunds and shortfalls of other quarters"
        } else {
            "corrections of closed quarters"
        }
    }
}

/// Under `give price`: the share of the sale prices less what was handed back of them,
/// rounded half up once and split over the bikes by largest remainder, as the whole is;
/// what is left of the due comes of other quarters.
pub(in crate::report) fn by_rule(report: &QuarterReport) -> ByRule {
    if report.corrections.is_empty() {
        return ByRule {
            dues: report.sales.iter().map(|line| line.due).collect(),
            others: Money::ZERO,
        };
    }
    let kept = |line: &SaleLine| {
        let of_it = |one: &&ReturnLine| one.id == line.id && one.sold_on == Some(line.sold_on);
        let back = report
            .returns
            .iter()
            .filter(of_it)
            .map(|one| one.refund.minor());
        line.sold_price.minor() - back.sum::<i64>()
    };
    let prices: Vec<u64> = report
        .sales
        .iter()
        .map(kept)
        .map(|price| u64::try_from(price).unwrap_or(0))
        .collect();
    let whole: u128 = prices.iter().map(|price| u128::from(*price)).sum();
    // Hundredths of a percent; half up.
    let due = (2 * whole * u128::from(report.giving.share) + 10_000) / 20_000;
    let due = i64::try_from(due).unwrap_or(i64::MAX);
    let dues = split(due, &prices).into_iter().map(Money::from_minor);
    ByRule {
        dues: dues.collect(),
        others: Money::from_minor(report.due.minor() - due),
    }
}
