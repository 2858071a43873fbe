//! What to doubt about a quarter.

use super::ledger::Ledger;
use super::lines::Indexed;
use super::quarters::QuarterReport;
use crate::accounts::caution::Caution;
use crate::accounts::stock::inspected::{Clearance, latest};
use crate::trade::{Give, Money};

/// A single gift of this many units of the book's currency is told: in the
/// United States, one of 250 dollars or more needs a written acknowledgment
/// (IRS Publication 1771, Rev. 3-2016). Elsewhere it is only an example.
const LARGE: i64 = 250;

pub(in crate::accounts) fn of(report: &QuarterReport, ledger: &Ledger<'_>) -> Vec<Caution> {
    let mut cautions = Vec::new();
    if report.as_of < report.to && report.closed_on.is_none() {
        cautions.push(if report.as_of < report.from {
            Caution::NotBegun { from: report.from }
        } else {
            Caution::NotOver { to: report.to }
        });
    }
    if report.giving.beneficiaries.is_empty() {
        cautions.push(Caution::NobodyNamed);
    }
    about_sales(report, ledger, &mut cautions);
    let mut quarters: Vec<_> = report.corrections.iter().map(|c| c.of).collect();
    quarters.extend(report.gifts.iter().filter_map(|line| line.of_closed));
    quarters.sort();
    quarters.dedup();
    if !quarters.is_empty() {
        cautions.push(Caution::Corrected { quarters });
    }
    if report.carried_forward > Money::ZERO && report.giving.give == Give::Net {
        let amount = report.carried_forward;
        cautions.push(Caution::Shortfall { amount });
    }
    about_gifts(report, ledger, &mut cautions);
    cautions.push(Caution::NotAdvice);
    cautions
}

fn about_sales(report: &QuarterReport, ledger: &Ledger<'_>, cautions: &mut Vec<Caution>) {
    let index = Indexed::of(ledger);
    let of_quarter = |on| report.from <= on && on <= report.to && on <= report.as_of;
    let mut sold: Vec<_> = ledger
        .now
        .sales
        .iter()
        .filter(|sale| sale.sold.is_some_and(|sold| of_quarter(sold.on)))
        .collect();
    sold.sort_by_key(|sale| (sale.sold.map(|sold| sold.on), &sale.id));
    let (mut without_purchase, mut without_hours, mut not_passed) = (vec![], vec![], vec![]);
    for sale in sold {
        let cost = index.direct_cost(sale);
        if cost.purchase.is_none() {
            without_purchase.push(sale.id.clone());
        }
        if sale.hours.is_none() {
            without_hours.push(sale.id.clone());
        }
        if let Some(sold) = sale.sold {
            let last = latest(ledger.inspections, &sale.id, sold.on);
            if last.is_none_or(|one| one.result != Clearance::Passed) {
                not_passed.push(sale.id.clone());
            }
        }
        cautions.extend(cost.replaced.iter().map(|replaced| Caution::Replaced {
            bike: sale.id.clone(),
            column: replaced.column,
            said: replaced.said,
            counted: replaced.counted,
        }));
    }
    if !without_purchase.is_empty() {
        let bikes = without_purchase;
        cautions.push(Caution::NoPurchase { bikes });
    }
    if !without_hours.is_empty() {
        let bikes = without_hours;
        cautions.push(Caution::NoHours { bikes });
    }
    if !not_passed.is_empty() {
        cautions.push(match ledger.inspections {
            [] => Caution::NoInspections,
            _ => Caution::NotPassed { bikes: not_passed },
        });
    }
}

fn about_gifts(report: &QuarterReport, ledger: &Ledger<'_>, cautions: &mut Vec<Caution>) {
    let named = &report.giving.beneficiaries;
    let bare = |name: &str| name.trim().to_lowercase();
    let mut told: Vec<&str> = Vec::new();
    for line in &report.gifts {
        let who = line.gift.beneficiary.as_str();
        if named.is_empty() || told.contains(&who) || named.iter().any(|one| one.name == who) {
            continue;
        }
        told.push(who);
        let like = named.iter().find(|one| bare(&one.name) == bare(who));
        cautions.push(Caution::NotNamed {
            beneficiary: who.to_string(),
            like: like.map(|one| one.name.clone()),
        });
    }
    let ahead =
        |closing: Money| (closing < Money::ZERO).then(|| Money::from_minor(-closing.minor()));
    if let [_, _, ..] = report.beneficiaries.as_slice() {
        for one in &report.beneficiaries {
            cautions.extend(ahead(one.closing).map(|by| Caution::GivenAhead {
                beneficiary: Some(one.name.clone()),
                by,
            }));
        }
    } else {
        cautions.extend(ahead(report.closing).map(|by| Caution::GivenAhead {
            beneficiary: None,
            by,
        }));
    }
    if let Some(large) = ledger.large_gift() {
        let gifts = report.gifts.iter().filter(|line| line.amount >= large);
        cautions.extend(gifts.map(|line| Caution::LargeGift {
            gift: line.gift.clone(),
        }));
    }
}

impl Ledger<'_> {
    /// The size from which a single gift is told; `None` where the currency has
    /// no minor unit, because 250 of those are next to nothing.
    fn large_gift(&self) -> Option<Money> {
        (self.minor_per_unit > 1).then(|| Money::from_minor(LARGE * self.minor_per_unit))
    }
}
