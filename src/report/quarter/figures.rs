//! Sums of columns, rates and ranks that a quarter's report shows beside its
//! figures. All in whole minor units; a rate is rounded half away from zero.

use super::audience::Audience;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::quarters::SaleLine;
use crate::trade::{Give, Money};
use std::cmp::Ordering;

/// Sums over the bikes sold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(in crate::report) struct Sums {
    pub price: Money,
    pub cost: Money,
    pub margin: Money,
    pub due: Money,
    /// Hours in hundredths where known, and the margin of those bikes.
    pub hours: i64,
    pub margin_with_hours: Money,
}

pub(in crate::report) fn sums(report: &QuarterReport) -> Sums {
    let sum = |of: fn(&SaleLine) -> Money| report.sales.iter().map(of).sum();
    let with_hours = report.sales.iter().filter(|line| line.hours.is_some());
    Sums {
        price: sum(|line| line.sold_price),
        cost: sum(|line| line.direct_cost),
        margin: sum(|line| line.margin),
        due: sum(|line| line.due),
        hours: with_hours
            .clone()
            .filter_map(|line| line.hours)
            .fold(0, i64::saturating_add),
        margin_with_hours: with_hours.map(|line| line.margin).sum(),
    }
}

/// An amount for each hour; `None` without hours.
pub(in crate::report) fn per_hour(amount: Money, hundredths: i64) -> Option<Money> {
    rate(amount, hundredths).map(Money::from_minor)
}

/// `100 * amount / by`, rounded half away from zero; `None` where `by` is not
/// above 0.
fn rate(amount: Money, by: i64) -> Option<i64> {
    if by <= 0 {
        return None;
    }
    let (hundredfold, by) = (i128::from(amount.minor()) * 100, i128::from(by));
    let half_up = (2 * hundredfold.abs() + by) / (2 * by) * hundredfold.signum();
    i64::try_from(half_up).ok()
}

/// A line of the sum that leads to what is due.
pub(in crate::report) struct Step {
    pub words: &'static str,
    /// What it adds (below 0: takes away), or the sum so far; `None` where the
    /// reader does not see it.
    pub amount: Option<Money>,
    pub is_sum: bool,
}

/// How the due comes about, up to what it is a share of; the sum stands where it
/// has more than one part. A reader who does not
/// see costs is told under `give net` that they are taken off, not how much.
pub(in crate::report) fn steps(report: &QuarterReport, audience: Audience) -> Vec<Step> {
    let sums = sums(report);
    let corrected: Money = report.corrections.iter().map(|c| c.amount).sum();
    let step = |words, amount| Step {
        words,
        amount: Some(amount),
        is_sum: false,
    };
    let net = report.giving.give == Give::Net;
    let told = audience.sees_costs() || !net;
    let mut steps = vec![step("sale prices", sums.price)];
    if net && told {
        steps.push(step("direct costs", minus(sums.cost)));
    }
    if !report.corrections.is_empty() && told {
        steps.push(step("corrections of closed quarters", corrected));
    }
    if net && told && report.workshop_costs != Money::ZERO {
        steps.push(step("the workshop's costs", minus(report.workshop_costs)));
    }
    if !told {
        steps.push(Step {
            words: if report.corrections.is_empty() {
                "costs, taken off and not shown here"
            } else {
                "costs and corrections, not shown here"
            },
            amount: None,
            is_sum: false,
        });
    }
    if report.brought_forward != Money::ZERO {
        let amount = minus(report.brought_forward);
        steps.push(step("shortfall brought forward", amount));
    }
    if told && steps.len() > 1 {
        let left = steps.iter().filter_map(|step| step.amount).sum();
        steps.push(Step {
            words: if net { "what is left" } else { "together" },
            amount: Some(left),
            is_sum: true,
        });
    }
    steps
}

/// Whether nothing led to the due, so that there is no sum to be shown.
pub(in crate::report) fn is_nothing(report: &QuarterReport) -> bool {
    report.sales.is_empty()
        && report.corrections.is_empty()
        && report.workshop.is_empty()
        && report.due == Money::ZERO
        && report.brought_forward == Money::ZERO
}

/// The amount with its sign turned.
pub(in crate::report) fn minus(amount: Money) -> Money {
    Money::from_minor(amount.minor().saturating_neg())
}

/// What the bikes earned for the cause, most first.
pub(in crate::report) struct Earned {
    /// The due; or the margin, where no bike has a due.
    pub by: &'static str,
    /// Place in the sales, and the amount for each hour.
    pub per_hour: Vec<(usize, Money)>,
    /// Place in the sales, and hundredths of a unit for each unit of direct cost.
    pub per_unit: Vec<(usize, i64)>,
}

/// The `most` best by each measure; bikes that earned nothing are left out, and
/// so are those whose hours or costs are 0 or not known.
pub(in crate::report) fn earned(report: &QuarterReport, most: usize) -> Earned {
    let nothing_due = report.sales.iter().all(|line| line.due == Money::ZERO);
    let amount = |line: &SaleLine| if nothing_due { line.margin } else { line.due };
    let best = |by: fn(&SaleLine) -> i64| {
        let earning = report.sales.iter().enumerate().filter_map(|(place, line)| {
            let (amount, by) = (amount(line), by(line));
            (amount > Money::ZERO && by > 0).then_some((place, amount, by))
        });
        let mut earning: Vec<(usize, Money, i64)> = earning.collect();
        earning.sort_by(higher_first);
        earning.truncate(most);
        earning
    };
    let rated = |best: Vec<(usize, Money, i64)>| {
        best.into_iter()
            .filter_map(|(place, amount, by)| Some((place, rate(amount, by)?)))
    };
    Earned {
        by: if nothing_due { "margin" } else { "due" },
        per_hour: rated(best(|line| line.hours.unwrap_or(0)))
            .map(|(place, minor)| (place, Money::from_minor(minor)))
            .collect(),
        per_unit: rated(best(|line| line.direct_cost.minor())).collect(),
    }
}

/// By the exact ratio, equal ones as they stand.
fn higher_first(a: &(usize, Money, i64), b: &(usize, Money, i64)) -> Ordering {
    let crossed = |of: Money, by: i64| i128::from(of.minor()) * i128::from(by);
    let (of_a, of_b) = (crossed(a.1, b.2), crossed(b.1, a.2));
    of_b.cmp(&of_a).then(a.0.cmp(&b.0))
}

/// Hundredths as a number with two decimals: `2.11`.
pub(in crate::report) fn hundredths(count: i64) -> String {
    format!("{}.{:02}", count / 100, count % 100)
}

#[cfg(test)]
mod tests {
    use super::{higher_first, hundredths, per_hour, rate};
    use crate::trade::Money;

    const fn minor(amount: i64) -> Money {
        Money::from_minor(amount)
    }

    #[test]
    fn an_hour_is_rounded_half_away_from_zero() {
        // 10.00 in 3 hours is 3.33, 10.01 in 2 hours 5.005.
        assert_eq!(per_hour(minor(1000), 300), Some(minor(333)));
        assert_eq!(per_hour(minor(1001), 200), Some(minor(501)));
        assert_eq!(per_hour(minor(-1001), 200), Some(minor(-501)));
        assert_eq!(per_hour(minor(1000), 0), None);
        // Beyond 64 bits there is no rate rather than a wrong one.
        assert_eq!(rate(minor(i64::MAX), 1), None);
        assert_eq!(hundredths(211), "2.11");
    }

    #[test]
    fn ranks_go_by_the_exact_ratio() {
        // 1/3 < 0.34; 2/6 = 1/3, so the one that stands first comes first.
        let mut rates = [
            (0, minor(1), 3),
            (1, minor(34), 100),
            (2, minor(2), 6),
            (3, minor(i64::MAX), 1),
        ];
        rates.sort_by(higher_first);
        let places: Vec<usize> = rates.iter().map(|(place, ..)| *place).collect();
        assert_eq!(places, [3, 1, 0, 2]);
    }
}
