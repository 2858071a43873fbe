//! What to doubt about a quarter.

use super::caution::QuarterCaution;
use super::figures::QuarterReport;
use super::ledger::Ledger;
use super::lines::Indexed;
use crate::accounts::inspected::{Clearance, latest};
use crate::accounts::share;
use crate::trade::{Day, Give, Money, Quarter, Sale};
use std::collections::BTreeMap;

/// A single gift of this many units of the book's currency is told: in the
/// United States, one of 250 dollars or more needs a written acknowledgment
/// (IRS Publication 1771, Rev. 3-2016). Elsewhere it is only an example.
const LARGE: i64 = 250;

pub(in crate::accounts) fn of(report: &QuarterReport, ledger: &Ledger<'_>) -> Vec<QuarterCaution> {
    let mut cautions = Vec::new();
    if report.as_of < report.to && report.closed_on.is_none() {
        cautions.push(if report.as_of < report.from {
            QuarterCaution::NotBegun { from: report.from }
        } else {
            QuarterCaution::NotOver { to: report.to }
        });
    }
    if report.giving.beneficiaries.is_empty() {
        cautions.push(QuarterCaution::NobodyNamed);
    }
    cautions.extend(about_sales(report, ledger));
    let mut quarters: Vec<_> = report.corrections.iter().map(|c| c.of).collect();
    quarters.extend(report.gifts.iter().filter_map(|line| line.of_closed));
    quarters.sort();
    quarters.dedup();
    if !quarters.is_empty() {
        cautions.push(QuarterCaution::Corrected { quarters });
    }
    cautions.extend(other_shares(report, ledger));
    if report.carried_forward > Money::ZERO {
        let amount = report.carried_forward;
        cautions.push(QuarterCaution::Shortfall { amount });
    }
    if report.ended > Money::ZERO {
        let amount = report.ended;
        cautions.push(QuarterCaution::ShortfallEnded { amount });
    }
    cautions.extend(not_named(report, ledger));
    cautions.extend(given_ahead(report));
    cautions.extend(large_gifts(report, ledger.minor_per_unit));
    cautions.push(QuarterCaution::NotAdvice);
    cautions
}

/// What the records of the bikes sold in the quarter leave out or say twice.
fn about_sales(report: &QuarterReport, ledger: &Ledger<'_>) -> Vec<QuarterCaution> {
    let index = Indexed::of(ledger);
    let mut cautions = Vec::new();
    let (mut without_purchase, mut without_hours) = (vec![], vec![]);
    let (mut not_passed, mut failed) = (vec![], vec![]);
    for (sale, sold_on) in sold_in(report, &ledger.now.sales) {
        let cost = index.direct_cost(sale);
        if cost.purchase.is_none() {
            without_purchase.push(sale.id.clone());
        }
        if sale.hours.is_none() {
            without_hours.push(sale.id.clone());
        }
        let last = latest(ledger.inspections, &sale.id, sold_on);
        match last.map(|one| one.result) {
            Some(Clearance::Passed) => {}
            Some(Clearance::OnlyParts) => failed.push(sale.id.clone()),
            _ => not_passed.push(sale.id.clone()),
        }
        cautions.extend(
            cost.replaced
                .iter()
                .map(|replaced| QuarterCaution::Replaced {
                    bike: sale.id.clone(),
                    column: replaced.column,
                    said: replaced.said,
                    counted: replaced.counted,
                }),
        );
    }
    let of = |bikes: Vec<String>, caution: fn(Vec<String>) -> QuarterCaution| {
        (!bikes.is_empty()).then(|| caution(bikes))
    };
    let inspections = match ledger.inspections {
        [] => |_| QuarterCaution::NoInspections,
        _ => |bikes| QuarterCaution::NotPassed { bikes },
    };
    cautions.extend(of(without_purchase, |bikes| QuarterCaution::NoPurchase {
        bikes,
    }));
    cautions.extend(of(without_hours, |bikes| QuarterCaution::NoHours { bikes }));
    cautions.extend(of(failed, |bikes| QuarterCaution::FrameFailed { bikes }));
    cautions.extend(of(not_passed, inspections));
    cautions
}

/// The bikes sold in the quarter up to the day of the answer, each once, with the day
/// of its last sale in it.
fn sold_in<'a>(report: &QuarterReport, sales: &'a [Sale]) -> Vec<(&'a Sale, Day)> {
    let to = report.to.min(report.as_of);
    let of_quarter = |sale: &'a Sale| {
        let days = sale.every_sale().map(|(sold, _)| sold.on);
        let last = days.filter(|on| report.from <= *on && *on <= to).last()?;
        Some((sale, last))
    };
    let mut sold: Vec<_> = sales.iter().filter_map(of_quarter).collect();
    sold.sort_by_key(|(sale, on)| (*on, &sale.id));
    sold
}

/// What was handed back or corrected of quarters in which another share was due.
fn other_shares(report: &QuarterReport, ledger: &Ledger<'_>) -> Vec<QuarterCaution> {
    let net = report.giving.give == Give::Net;
    let corrected = report
        .corrections
        .iter()
        .filter(|one| one.amount != Money::ZERO)
        .filter_map(|one| Some((one.of, one.bike.as_ref()?, one.amount)));
    let back = report.returns.iter().filter_map(|one| {
        let of = Quarter::of(one.sold_on?, ledger.rules.year_starts());
        let refund = Money::from_minor(-one.refund.minor());
        Some((of, &one.id, if net { one.change() } else { refund }))
    });
    let mut by_quarter: BTreeMap<Quarter, (Vec<String>, i128)> = BTreeMap::new();
    for (of, bike, amount) in corrected.chain(back) {
        let (bikes, sum) = by_quarter.entry(of).or_default();
        if !bikes.contains(bike) {
            bikes.push(bike.clone());
        }
        *sum += i128::from(amount.minor());
    }
    let now = report.giving.share;
    let told = by_quarter.into_iter().filter_map(|(of, (bikes, sum))| {
        let then = ledger.rules.of(of).share;
        let more = share::of(sum, then) - share::of(sum, now);
        let more = i64::try_from(more).ok()?;
        (more != 0).then(|| QuarterCaution::OtherShare {
            of,
            bikes,
            shares: [then, now],
            more: Money::from_minor(more),
        })
    });
    told.collect()
}

/// Gifts to somebody whom no rule has named so far, each told once.
fn not_named(report: &QuarterReport, ledger: &Ledger<'_>) -> Vec<QuarterCaution> {
    let named = ledger.rules.named_by(report.to);
    let bare = |name: &str| name.trim().to_lowercase();
    let mut cautions = Vec::new();
    let mut told: Vec<&str> = Vec::new();
    for line in &report.gifts {
        let who = line.gift.beneficiary.as_str();
        if named.is_empty() || told.contains(&who) || named.contains(&who) {
            continue;
        }
        told.push(who);
        let like = named.iter().find(|one| bare(one) == bare(who));
        cautions.push(QuarterCaution::NotNamed {
            beneficiary: who.to_string(),
            like: like.map(|one| (*one).to_string()),
        });
    }
    cautions
}

/// More handed over than is due: to each of several, or on the whole.
fn given_ahead(report: &QuarterReport) -> Vec<QuarterCaution> {
    let ahead = |beneficiary: Option<&str>, closing: Money| {
        (closing < Money::ZERO).then(|| QuarterCaution::GivenAhead {
            beneficiary: beneficiary.map(String::from),
            by: Money::from_minor(-closing.minor()),
        })
    };
    match report.beneficiaries.as_slice() {
        // Without a name in the rule nothing is due to anybody by name.
        _ if report.giving.beneficiaries.is_empty() => {
            ahead(None, report.closing).into_iter().collect()
        }
        several @ [_, _, ..] => several
            .iter()
            .filter_map(|one| ahead(Some(&one.name), one.closing))
            .collect(),
        _ => ahead(None, report.closing).into_iter().collect(),
    }
}

fn large_gifts(report: &QuarterReport, minor_per_unit: i64) -> Vec<QuarterCaution> {
    let Some(large) = large_gift(minor_per_unit) else {
        return vec![];
    };
    let gifts = report.gifts.iter().filter(|line| line.amount >= large);
    let told = gifts.map(|line| QuarterCaution::LargeGift {
        gift: line.gift.clone(),
    });
    told.collect()
}

/// The size from which a single gift is told; `None` where the currency has no
/// minor unit, because 250 of those are next to nothing.
fn large_gift(minor_per_unit: i64) -> Option<Money> {
    (minor_per_unit > 1).then(|| Money::from_minor(LARGE * minor_per_unit))
}
