//! Laws of the quarterly books, and a second opinion on every figure.

use books::{Case, case};
use oracle::Books;
use plain::{cost_by, quarter_of};
use proptest::prelude::*;
use wheelworth::accounts::{Entries, Ledger, QuarterReport, quarter_report};
use wheelworth::trade::{Day, Give, Money, Quarter, Rules};

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
        let sold = || {
            let sales = entries.sales.iter();
            sales.filter(|sale| sale.sold.is_some_and(|sold| sold.on <= *as_of))
        };
        let lines = || reports.iter().flat_map(|report| &report.sales);
        let mut ids: Vec<&str> = lines().map(|line| line.id.as_str()).collect();
        let mut expected: Vec<&str> = sold().map(|sale| sale.id.as_str()).collect();
        ids.sort_unstable();
        expected.sort_unstable();
        prop_assert_eq!(ids, expected);
        let prices: i128 = sold().map(|sale| minor(sale.sold.unwrap().price)).sum();
        prop_assert_eq!(lines().map(|line| minor(line.sold_price)).sum::<i128>(), prices);
        let known = || entries.costs.iter().filter(|cost| cost.on <= *as_of);
        let costs = sold().map(|sale| cost_by(*as_of, sale, &entries.costs).total);
        let costs: i128 = costs.sum();
        prop_assert_eq!(lines().map(|line| minor(line.direct_cost)).sum::<i128>(), costs);
        let workshop = known().filter(|cost| cost.bike.is_none() && !cost.from_box);
        let workshop: i128 = workshop.map(|cost| minor(cost.amount)).sum();
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
        let books = Books {
            giving: &case.giving,
            later: &case.later,
            as_of: case.as_of,
            now: &case.entries,
            past: &past,
            closed: &[],
        };
        let last = *quarters(&case).end();
        let told = books.told(last);
        for quarter in quarters(&case) {
            let up_to = told.iter().take_while(|told| told.quarter <= quarter);
            compare::same(&report(&case, quarter), &told[..up_to.count()], case.minor_per_unit)?;
        }
    }
}
