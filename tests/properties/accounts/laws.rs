//! Laws that every report keeps, with closings and without.

use proptest::prelude::*;
use std::collections::BTreeMap;
use wheelworth::accounts::{Entries, QuarterReport};
use wheelworth::trade::{Cost, Give, LeftAs, Money};

type Checked = Result<(), TestCaseError>;

fn sum(amounts: impl Iterator<Item = Money>) -> i64 {
    amounts.map(Money::minor).sum()
}

/// Opening + due - given = closing, for the whole and for each beneficiary, and
/// the whole is what its lines say.
pub fn balances(report: &QuarterReport) -> Checked {
    let whole = [report.opening, report.due, report.given, report.closing];
    let each = report.beneficiaries.iter();
    let each = each.map(|one| [one.opening, one.due, one.given, one.closing]);
    for [opening, due, given, closing] in each.chain([whole]) {
        let left = opening.minor() + due.minor() - given.minor();
        prop_assert_eq!(left, closing.minor());
    }
    prop_assert_eq!(
        sum(report.gifts.iter().map(|line| line.amount)),
        report.given.minor()
    );
    let to_each = report.beneficiaries.iter().map(|one| one.given);
    prop_assert_eq!(sum(to_each), report.given.minor());
    for one in &report.beneficiaries {
        let to_them = report.gifts.iter();
        let to_them = to_them.filter(|line| line.gift.beneficiary == one.name);
        prop_assert_eq!(sum(to_them.map(|line| line.amount)), one.given.minor());
    }
    let spent = report.workshop.iter().map(|cost| cost.amount);
    let gone = sum(report.left.iter().map(|line| match line.left.how {
        LeftAs::Kept => Money::ZERO,
        LeftAs::Given | LeftAs::Scrapped | LeftAs::Stolen => line.direct_cost,
    }));
    prop_assert_eq!(sum(spent) + gone, report.workshop_costs.minor());
    for line in &report.sales {
        let margin = line.sold_price.minor() - line.direct_cost.minor();
        prop_assert_eq!(line.margin.minor(), margin);
    }
    let by_day = |pair: &[wheelworth::accounts::quarter::figures::GiftLine]| {
        pair[0].gift.on <= pair[1].gift.on
    };
    prop_assert!(report.gifts.windows(2).all(by_day));
    // Short or something due, never both; under `give price` only what was handed back
    // is carried.
    let (brought, carried) = (report.brought_forward, report.carried_forward);
    prop_assert!(brought >= Money::ZERO && carried >= Money::ZERO);
    match report.giving.give {
        Give::Price => {
            prop_assert!(carried == Money::ZERO || report.due <= Money::ZERO);
            let back = sum(report.returns.iter().map(|line| line.refund));
            prop_assert!(carried.minor() <= brought.minor() + back);
        }
        Give::Net => {
            prop_assert!(report.due >= Money::ZERO);
            prop_assert!(carried == Money::ZERO || report.due == Money::ZERO);
        }
    }
    Ok(())
}

/// The closing is the next opening, and the shortfall carried forward the next
/// one brought forward.
pub fn chain(one: &QuarterReport, next: &QuarterReport) -> Checked {
    prop_assert_eq!(one.quarter.next(), next.quarter);
    prop_assert_eq!(one.to.tomorrow().unwrap(), next.from);
    prop_assert_eq!(one.closing, next.opening);
    // A shortfall of `give net` ends where `give price` begins.
    let goes_on = match (one.giving.give, next.giving.give) {
        (Give::Net, Give::Price) => Money::ZERO,
        _ => one.carried_forward,
    };
    prop_assert_eq!(goes_on, next.brought_forward);
    let closing: BTreeMap<_, _> = one
        .beneficiaries
        .iter()
        .map(|b| (&b.name, b.closing))
        .collect();
    for person in &next.beneficiaries {
        let before = closing.get(&person.name).copied().unwrap_or_default();
        prop_assert_eq!(before, person.opening, "{}", person.name);
    }
    // Nobody is forgotten, and nobody changes places but by a change of the rule.
    let names = |report: &QuarterReport| -> Vec<String> {
        report
            .beneficiaries
            .iter()
            .map(|b| b.name.clone())
            .collect()
    };
    if one.giving == next.giving {
        prop_assert!(names(next).starts_with(&names(one)));
    }
    // (Before the first record only those are told of whom the rule names.)
    let told = names(next);
    if !one.course.is_empty() {
        prop_assert!(names(one).iter().all(|name| told.contains(name)));
    }
    let (before, after) = (&one.course, &next.course);
    prop_assert!(after.starts_with(before));
    // Before the first record there is no course; a quarter closed there has one.
    prop_assert!(before.is_empty() || after.len() == before.len() + 1);
    Ok(())
}

/// The parts of the due add up to it.
pub fn parts(report: &QuarterReport) -> Checked {
    let weight = |line: &wheelworth::accounts::quarter::figures::SaleLine| match report.giving.give
    {
        Give::Price => line.sold_price,
        Give::Net => line.margin,
    };
    let weight = |line: &wheelworth::accounts::quarter::figures::SaleLine| {
        let of_it = report
            .returns
            .iter()
            .filter(|one| one.id == line.id && one.sold_on == Some(line.sold_on));
        let back = of_it.map(|one| match report.giving.give {
            Give::Price => one.refund.minor(),
            Give::Net => one.refund.minor() - one.cost_back.minor(),
        });
        Money::from_minor(weight(line).minor() - back.sum::<i64>())
    };
    let dues = sum(report.sales.iter().map(|line| line.due));
    if report.sales.iter().any(|line| weight(line) > Money::ZERO) {
        prop_assert_eq!(dues, report.due.minor());
    } else {
        prop_assert_eq!(dues, 0);
    }
    for line in &report.sales {
        prop_assert!(weight(line) > Money::ZERO || line.due == Money::ZERO);
    }
    let dues = sum(report.beneficiaries.iter().map(|one| one.due));
    let named = report.giving.beneficiaries.len();
    let expected = if named == 0 { 0 } else { report.due.minor() };
    prop_assert_eq!(dues, expected);
    for (place, one) in report.beneficiaries.iter().enumerate() {
        if let Some(who) = report.giving.beneficiaries.get(place) {
            prop_assert_eq!(&who.name, &one.name)
        } else {
            prop_assert_eq!(one.due, Money::ZERO, "{}", one.name)
        }
    }
    Ok(())
}

/// The same records in another order; gifts of one day keep theirs.
pub fn mixed(entries: Entries) -> impl Strategy<Value = Entries> {
    let days: Vec<_> = entries.gifts.iter().map(|gift| gift.on).collect();
    let gifts = entries.gifts;
    (
        Just(entries.sales).prop_shuffle(),
        Just(entries.costs).prop_shuffle(),
        Just(days).prop_shuffle(),
    )
        .prop_map(move |(sales, costs, days)| {
            let mut gifts = gifts.clone();
            gifts.sort_by_key(|gift| days.iter().position(|day| *day == gift.on));
            Entries {
                sales,
                costs,
                gifts,
            }
        })
}

/// Costs of one day stand as recorded; here by all that they say.
pub fn in_one_order(mut report: QuarterReport) -> QuarterReport {
    let key = |cost: &Cost| (cost.on, format!("{cost:?}"));
    report.workshop.sort_by_key(key);
    report.from_box.sort_by_key(key);
    report
}
