//! What the money that was handed over does, by the beneficiaries' own figures.

use super::figures::{Meant, QuarterReport};
use super::ledger::Ledger;
use crate::trade::{Means, Money};

/// For each who was given something: how many of what one costs by the latest figure up
/// to the day of the answer, rounded down; nothing where that is less than one.
pub(in crate::accounts) fn of(report: &QuarterReport, ledger: &Ledger<'_>) -> Vec<Meant> {
    let meant = report.beneficiaries.iter().filter_map(|one| {
        let figures = ledger.means.iter();
        let theirs = figures.filter(|m| m.beneficiary == one.name && m.on <= ledger.as_of);
        // Of one day the last recorded: `max_by_key` gives the last of equal ones.
        let means = theirs.max_by_key(|means| means.on)?;
        let count = how_many(one.given, means)?;
        Some(Meant {
            means: means.clone(),
            given: one.given,
            count,
        })
    });
    meant.collect()
}

/// Whole ones that an amount pays for, 1 or more.
pub fn how_many(amount: Money, means: &Means) -> Option<i64> {
    let count = amount.minor().checked_div(means.amount.minor())?;
    (count > 0).then_some(count)
}
