//! Laws of the quarterly books, and a second opinion on every figure.

use books::{Case, case};
use oracle::Books;
use plain::{Kind, cost_by, happened, quarter_of, rows_by};
use proptest::prelude::*;
use wheelworth::accounts::{Entries, Ledger, QuarterReport, quarter_report};
use wheelworth::trade::{Day, Give, LeftAs, Money, Quarter, Rules};

mod afterwards;
mod books;
mod changes;
mod closings;
mod compare;
mod history;
mod laws;
mod oracle;
mod plain;

/// The quarter of a count of quarters since the year 0.
fn named(quarter: i64) -> Quarter {
    Quarter::new((quarter / 4) as i16, (quarter % 4) as u8 + 1).unwrap()
}

/// From before the first record to after the day of the answer.
fn quarters(case: &Case) -> std::ops::RangeInclusive<i64> {
    let number = |day: Day| quarter_of(day, case.giving.year_starts);
    let last = case.as_of.max(Day::constant(2026, 2, 15));
    number(Day::constant(2022, 10, 1))..=number(last) + 1
}

fn report(case: &Case, quarter: i64) -> QuarterReport {
    let ledger = Ledger {
        rules: &Rules::new(case.giving.clone(), books::changes(&case.later)),
        means: &[],
        minor_per_unit: case.minor_per_unit,
        as_of: case.as_of,
        now: &case.entries,
        inspections: &[],
        closed: &[],
        past: &|day| panic!("asked for {day}, and nothing is closed"),
    };
    quarter_report(&ledger, named(quarter)).unwrap()
}

fn reports(case: &Case) -> Vec<QuarterReport> {
    quarters(case)
        .map(|quarter| report(case, quarter))
        .collect()
}

fn minor(money: Money) -> i128 {
    i128::from(money.minor())
}

/// The second opinion on a case.
fn books<'a>(case: &'a Case, past: &'a dyn Fn(Day) -> Entries) -> Books<'a> {
    Books {
        giving: &case.giving,
        later: &case.later,
        as_of: case.as_of,
        now: &case.entries,
        past,
        closed: &[],
    }
}

proptest! {
    #[test]
    fn what_was_owed_and_what_is_due_less_what_was_given_is_owed_at_the_end(case in case()) {
        for report in reports(&case) {
            laws::balances(&report)?;
        }
    }

    #[test]
    fn each_quarter_goes_on_where_the_one_before_it_ended(case in case()) {
        let reports = reports(&case);
        for pair in reports.windows(2) {
            laws::chain(&pair[0], &pair[1])?;
        }
    }

    #[test]
    fn the_dues_of_bikes_and_of_beneficiaries_add_up_to_the_due(case in case()) {
        for report in reports(&case) {
            laws::parts(&report)?;
        }
    }

    /// Each sale, each cost that is in no bike's cost, each gift in one quarter.
    #[test]
    fn over_all_quarters_nothing_is_counted_twice_or_lost(case in case()) {
        let reports = reports(&case);
        let Case { entries, as_of, .. } = &case;
        let mut ids: Vec<(Kind, &str)> = Vec::new();
        let (mut lines_price, mut lines_cost) = (0, 0);
        for report in &reports {
            for line in &report.sales {
                ids.push((Kind::Sale, &line.id));
                lines_price += minor(line.sold_price);
                lines_cost += minor(line.direct_cost);
            }
            for line in &report.returns {
                ids.push((if line.came_back { Kind::Back } else { Kind::Refund }, &line.id));
                lines_price -= minor(line.refund);
                lines_cost -= minor(line.cost_back);
            }
            ids.extend(report.left.iter().map(|line| (Kind::Leave, line.id.as_str())));
        }
        let past = |_: Day| Entries::default();
        let books = books(&case, &past);
        let mut expected: Vec<(Kind, &str)> = Vec::new();
        let (mut prices, mut costs, mut gone) = (0, 0, 0);
        for sale in &entries.sales {
            let rows = rows_by(*as_of, sale, &entries.costs);
            for one in happened(sale).into_iter().filter(|one| one.on <= *as_of) {
                expected.push((one.kind, &sale.id));
                let (price, cost) = books.worth(&one, sale, &rows);
                prices += price;
                if one.kind == Kind::Leave { gone += cost } else { costs += cost }
            }
            // However often it was sold, a bike that is sold or left cost what it cost.
            let ends = sale.sold.map(|sold| sold.on).or(sale.left.as_ref().map(|left| left.on));
            let kept = sale.left.as_ref().is_some_and(|left| left.how == LeftAs::Kept);
            if ends.is_some_and(|on| on <= *as_of) && !kept {
                let all = happened(sale).into_iter().filter(|one| one.on <= *as_of);
                let all: i128 = all.map(|one| one.worth(sale, &rows).1).sum();
                prop_assert_eq!(all, cost_by(*as_of, sale, &entries.costs).total);
            }
        }
        ids.sort_unstable();
        expected.sort_unstable();
        prop_assert_eq!(ids, expected);
        prop_assert_eq!(lines_price, prices);
        prop_assert_eq!(lines_cost, costs);
        let known = || entries.costs.iter().filter(|cost| cost.on <= *as_of);
        let workshop = known().filter(|cost| cost.bike.is_none() && !cost.from_box);
        let workshop: i128 = workshop.map(|cost| minor(cost.amount)).sum::<i128>() + gone;
        let counted: i128 = reports.iter().map(|report| minor(report.workshop_costs)).sum();
        prop_assert_eq!(counted, workshop);
        let from_box = known().filter(|cost| cost.from_box).count();
        prop_assert_eq!(reports.iter().map(|report| report.from_box.len()).sum::<usize>(), from_box);
        let gifts = entries.gifts.iter().filter(|gift| gift.on <= *as_of);
        let gifts: i128 = gifts.map(|gift| minor(gift.amount)).sum();
        let given: i128 = reports.iter().map(|report| minor(report.given)).sum();
        prop_assert_eq!(given, gifts);
        // Where all is given away, dues and the last shortfall are all that was left.
        if case.giving.share == 10_000 && case.later.is_empty() {
            let due: i128 = reports.iter().map(|report| minor(report.due)).sum();
            let short = reports.last().map_or(0, |last| minor(last.carried_forward));
            let left = match case.giving.give {
                Give::Price => prices,
                Give::Net => prices - costs - workshop,
            };
            prop_assert_eq!(due - short, left);
        }
    }

    #[test]
    fn the_order_of_records_does_not_matter_but_for_gifts_of_one_day(
        (case, other) in case().prop_flat_map(|case| (Just(case.clone()), laws::mixed(case.entries))),
    ) {
        let mixed = Case { entries: other, ..case.clone() };
        for (one, other) in reports(&case).into_iter().zip(reports(&mixed)) {
            prop_assert_eq!(laws::in_one_order(one), laws::in_one_order(other));
        }
    }

    #[test]
    fn every_report_says_what_counting_in_the_plainest_way_says(case in case()) {
        let past = |_: Day| Entries::default();
        let books = books(&case, &past);
        let last = *quarters(&case).end();
        let told = books.told(last);
        for quarter in quarters(&case) {
            let up_to = told.iter().take_while(|told| told.quarter <= quarter);
            compare::same(&report(&case, quarter), &told[..up_to.count()], case.minor_per_unit)?;
        }
    }
}
