//! Sums of columns, rates and ranks of a quarter's report, and how its due comes
//! about. All in whole minor units; a rate is rounded half away from zero.

use super::by_rule::by_rule;
use super::figures::{Balance, QuarterReport, SaleLine};
use crate::trade::{Give, Money};
use std::cmp::Ordering;

/// Sums over the bikes sold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sums {
    /// Sale prices.
    pub price: Money,
    /// Direct costs.
    pub cost: Money,
    /// Margins.
    pub margin: Money,
    /// The bikes' parts of the due.
    pub due: Money,
    /// Hours in hundredths, where known.
    pub hours: i64,
    /// The margin of the bikes whose hours are known.
    pub margin_with_hours: Money,
}

/// Sums of the columns of `report.sales`.
pub fn sums(report: &QuarterReport) -> Sums {
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

/// An amount for each hour; `None` without hours. `hundredths`: of an hour.
pub fn per_hour(amount: Money, hundredths: i64) -> Option<Money> {
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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DueLine {
    /// What it is.
    pub kind: DueKind,
    /// What it adds (below 0: takes away), or the sum so far.
    pub amount: Money,
}

/// The lines of the sum that leads to what is due, in order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DueKind {
    /// What the bikes were sold for.
    SalePrices,
    /// What they cost.
    DirectCosts,
    /// Money handed back to buyers.
    Refunds,
    /// The cost of bikes that came back, which is in stock again.
    CostsBack,
    /// Changes of closed quarters.
    Corrections,
    /// Costs of no one bike.
    WorkshopCosts,
    /// What earlier quarters fell short by.
    BroughtForward,
    /// The sum, which the due is a share of; only where there is something to add.
    Sum,
}

/// How the due comes about, up to what it is a share of. Under `give price` no cost
/// is among the lines.
pub fn due_lines(report: &QuarterReport) -> Vec<DueLine> {
    let sums = sums(report);
    let net = report.giving.give == Give::Net;
    let corrected = report.corrections.iter().map(|c| c.amount).sum();
    let shown = |shown: bool, kind, amount| shown.then_some(DueLine { kind, amount });
    let workshop = minus(report.workshop_costs);
    let brought = minus(report.brought_forward);
    let back = report.returns.iter().map(|line| line.refund).sum();
    let costs_back = report.returns.iter().map(|line| line.cost_back).sum();
    let corrections = !report.corrections.is_empty();
    let lines = [
        shown(true, DueKind::SalePrices, sums.price),
        shown(net, DueKind::DirectCosts, minus(sums.cost)),
        shown(back != Money::ZERO, DueKind::Refunds, minus(back)),
        shown(
            net && costs_back != Money::ZERO,
            DueKind::CostsBack,
            costs_back,
        ),
        shown(corrections, DueKind::Corrections, corrected),
        shown(
            net && workshop != Money::ZERO,
            DueKind::WorkshopCosts,
            workshop,
        ),
        shown(brought != Money::ZERO, DueKind::BroughtForward, brought),
    ];
    let mut lines: Vec<DueLine> = lines.into_iter().flatten().collect();
    if lines.len() > 1 {
        lines.push(DueLine {
            kind: DueKind::Sum,
            amount: lines.iter().map(|line| line.amount).sum(),
        });
    }
    lines
}

/// What is owed to nobody by name, beside those to whom something was handed over;
/// `None` where all is owed to somebody.
pub fn owed_to_nobody(report: &QuarterReport) -> Option<Balance> {
    report.beneficiaries.first()?;
    let rest = |whole: Money, of: fn(&Balance) -> Money| {
        let named: Money = report.beneficiaries.iter().map(of).sum();
        Money::from_minor(whole.minor() - named.minor())
    };
    let balance = Balance {
        name: "nobody by name".into(),
        opening: rest(report.opening, |one| one.opening),
        due: rest(report.due, |one| one.due),
        given: rest(report.given, |one| one.given),
        closing: rest(report.closing, |one| one.closing),
    };
    let amounts = [balance.opening, balance.due, balance.given, balance.closing];
    amounts
        .iter()
        .any(|amount| *amount != Money::ZERO)
        .then_some(balance)
}

/// Whether nothing led to the due, so that there is no sum to be shown.
pub fn is_nothing(report: &QuarterReport) -> bool {
    report.sales.is_empty()
        && report.returns.is_empty()
        && report.left.is_empty()
        && report.corrections.is_empty()
        && report.workshop.is_empty()
        && report.due == Money::ZERO
        && report.brought_forward == Money::ZERO
}

/// The amount with its sign turned.
fn minus(amount: Money) -> Money {
    Money::from_minor(amount.minor().saturating_neg())
}

/// What the bikes earned for the cause, most first.
pub struct Earned {
    /// Whether it goes by margin, because no bike has a due; else by due.
    pub by_margin: bool,
    /// Place in the sales, and the amount for each hour.
    pub per_hour: Vec<(usize, Money)>,
    /// Place in the sales, and hundredths of a unit for each unit of direct cost.
    pub per_unit: Vec<(usize, i64)>,
}

/// The `most` best by each measure; bikes that earned nothing are left out, and
/// so are those whose hours or costs are 0 or not known.
pub fn earned(report: &QuarterReport, most: usize) -> Earned {
    let dues = by_rule(report).dues;
    let nothing_due = dues.iter().all(|due| *due == Money::ZERO);
    let amount = |line: &SaleLine, due: Money| {
        let back = report.returns.iter();
        let mut back = back.filter(|one| one.is_of(line));
        match back.any(|one| one.came_back) {
            // A bike that came back earned nothing.
            true => Money::ZERO,
            false if nothing_due => line.margin,
            false => due,
        }
    };
    let best = |by: fn(&SaleLine) -> i64| {
        let lines = report.sales.iter().zip(&dues).enumerate();
        let earning = lines.filter_map(|(place, (line, due))| {
            let (amount, by) = (amount(line, *due), by(line));
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
        by_margin: nothing_due,
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

#[cfg(test)]
mod tests {
    use super::{higher_first, per_hour, rate};
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
