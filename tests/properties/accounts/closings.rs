//! Laws of closed quarters, after random histories of the records.

use super::history::{History, Story, story};
use super::plain::{happened, rows_by};
use super::{compare, laws, minor, named};
use jiff::ToSpan as _;
use proptest::prelude::*;
use wheelworth::accounts::quarter::figures::{Correction, Counted};
use wheelworth::accounts::{AccountsProblem, QuarterReport};
use wheelworth::trade::{Cost, Day, Give};

/// A story, and a day up to a year and a half after its end.
fn told_later() -> impl Strategy<Value = (Story, i64)> {
    (story(), 0_i64..550)
}

fn later(history: &History, days: i64) -> Day {
    history.records.today.saturating_add(days.days())
}

/// What was closed and what is open on a day, one after the other.
fn all(history: &History, as_of: Day) -> Vec<QuarterReport> {
    let open = history.open(as_of);
    history.closed.iter().cloned().chain(open).collect()
}

/// How a correction changes price and cost.
fn change(one: &Correction) -> (i128, i128) {
    let pair = |counted: Option<Counted>| {
        let counted = counted.unwrap_or_default();
        (minor(counted.price), minor(counted.cost))
    };
    let (before, after) = (pair(one.before), pair(one.after));
    (after.0 - before.0, after.1 - before.1)
}

proptest! {
    #[test]
    fn after_any_history_balances_and_parts_add_up_and_quarters_chain((story, days) in told_later()) {
        let history = story.play()?;
        let reports = all(&history, later(&history, days));
        for report in &reports {
            laws::balances(report)?;
            laws::parts(report)?;
        }
        for pair in reports.windows(2) {
            laws::chain(&pair[0], &pair[1])?;
        }
    }

    #[test]
    fn after_any_history_every_report_says_what_the_second_opinion_says(
        story in story(),
        days in -300_i64..550,
    ) {
        let history = story.play()?;
        let as_of = later(&history, days);
        let last = history.quarter_of(as_of) + 1;
        let told = history.told(last, as_of);
        let closed = history.told.iter().filter(|(_, on)| *on <= as_of).count();
        for place in closed..told.len() {
            let report = history.records.try_report(named(told[place].quarter), as_of).unwrap();
            compare::same(&report, &told[..=place], story.minor_per_unit)?;
            // Asked again, it says the same.
            let again = history.records.try_report(named(told[place].quarter), as_of).unwrap();
            prop_assert_eq!(report, again);
        }
    }

    #[test]
    fn a_closed_quarter_keeps_its_figures_and_has_no_other_report((story, days) in told_later()) {
        let history = story.play()?;
        let as_of = later(&history, days);
        for (place, closed) in history.closed.iter().enumerate() {
            let again = history.records.try_report(closed.quarter, as_of);
            prop_assert!(matches!(again, Err(AccountsProblem::Closed(q)) if q == closed.quarter));
            for open in history.open(as_of) {
                let line = &open.course[place];
                prop_assert_eq!((line.quarter, line.sold), (closed.quarter, closed.sold()));
                let figures = [line.due, line.given, line.closing];
                prop_assert_eq!(figures, [closed.due, closed.given, closed.closing]);
            }
        }
    }

    #[test]
    fn corrections_are_of_closed_quarters_and_stand_in_open_ones((story, days) in told_later()) {
        let history = story.play()?;
        let open = history.open(later(&history, days));
        let last = history.closed.last().map(|closed| closed.quarter);
        // Of a report that is closed now: what was closed on an earlier day.
        let closed = history.closed.iter().zip(&history.told).map(|(report, (_, on))| {
            let earlier = history.told.iter().zip(&history.closed);
            let earlier = earlier.filter(|((_, day), one)| (*day, one.quarter) < (*on, report.quarter));
            (report, earlier.map(|(_, one)| one.quarter).max())
        });
        for (report, closed_to) in closed.chain(open.iter().map(|report| (report, last))) {
            for one in &report.corrections {
                prop_assert!(Some(one.of) <= closed_to && one.of < report.quarter);
                prop_assert!(one.before != one.after);
                let (price, cost) = change(one);
                // By the rule of the quarter that is corrected.
                let its_own = history.closed.iter().find(|closed| closed.quarter == one.of);
                let give = its_own.map_or(one.give, |closed| closed.giving.give);
                prop_assert_eq!(one.give, give);
                let amount = match give {
                    Give::Price => price,
                    Give::Net => price - cost,
                };
                prop_assert_eq!(minor(one.amount), amount);
            }
            let of_closed = report.gifts.iter().filter_map(|line| line.of_closed);
            for of in of_closed {
                prop_assert!(Some(of) <= closed_to && of < report.quarter);
            }
        }
    }

    #[test]
    fn what_was_closed_and_what_was_corrected_is_what_the_records_hold((story, days) in told_later()) {
        let history = story.play()?;
        let as_of = later(&history, days);
        let reports = all(&history, as_of);
        let now = &history.records.now;
        let known = || now.costs.iter().filter(|cost| cost.on <= as_of);
        let (mut prices, mut costs) = (0, 0);
        for sale in &now.sales {
            let rows = rows_by(as_of, sale, &now.costs);
            for one in happened(sale).into_iter().filter(|one| one.on <= as_of) {
                let (price, cost) = history.books(as_of, &[], |books| books.worth(&one, sale, &rows));
                prices += price;
                costs += cost;
            }
        }
        let workshop = known().filter(|cost| cost.bike.is_none() && !cost.from_box);
        let workshop: i128 = workshop.map(|cost| minor(cost.amount)).sum();
        let gifts = now.gifts.iter().filter(|gift| gift.on <= as_of);
        let gifts: i128 = gifts.map(|gift| minor(gift.amount)).sum();
        let mut counted = [0; 4];
        for report in &reports {
            for line in &report.sales {
                counted[0] += minor(line.sold_price);
                counted[1] += minor(line.direct_cost);
            }
            for line in &report.returns {
                counted[0] -= minor(line.refund);
                counted[1] -= minor(line.cost_back);
            }
            let gone: i128 = report.left.iter().map(|line| minor(line.counts())).sum();
            counted[1] += gone;
            counted[2] += minor(report.workshop_costs) - gone;
            counted[3] += minor(report.given);
            for one in &report.corrections {
                let (price, cost) = change(one);
                counted[0] += price;
                counted[if one.bike.is_some() { 1 } else { 2 }] += cost;
            }
        }
        prop_assert_eq!(counted, [prices, costs, workshop, gifts]);
        // Each gift to its beneficiary.
        for one in &reports.last().unwrap().beneficiaries {
            let lines = reports.iter().flat_map(|report| &report.gifts);
            let lines = lines.filter(|line| line.gift.beneficiary == one.name);
            let given: i128 = lines.map(|line| minor(line.amount)).sum();
            let held = now.gifts.iter().filter(|gift| gift.beneficiary == one.name && gift.on <= as_of);
            prop_assert_eq!(given, held.map(|gift| minor(gift.amount)).sum::<i128>(), "{}", one.name);
        }
        // Where all is given away, dues and the last shortfall are all that is left.
        if story.giving.share == 10_000 && history.later.is_empty() {
            let due: i128 = reports.iter().map(|report| minor(report.due)).sum();
            let short = minor(reports.last().unwrap().carried_forward);
            let left = match story.giving.give {
                Give::Price => prices,
                Give::Net => prices - costs - workshop,
            };
            prop_assert_eq!(due - short, left);
        }
    }

    #[test]
    fn box_rows_are_listed_once_and_none_is_lost((story, days) in told_later()) {
        let history = story.play()?;
        let as_of = later(&history, days);
        let reports = all(&history, as_of);
        let listed = reports.iter().flat_map(|report| &report.from_box);
        let mut listed: Vec<&Cost> = listed.collect();
        let now = history.records.now.costs.iter();
        for row in now.filter(|cost| cost.from_box && cost.on <= as_of) {
            let place = listed.iter().position(|one| *one == row);
            prop_assert!(place.is_some(), "{:?}", row);
            listed.remove(place.unwrap());
        }
        // What is left was taken out after its quarter was closed.
        let closed = history.closed_to();
        for row in listed {
            prop_assert!(closed.is_some_and(|(_, to)| row.on <= to), "{:?}", row);
        }
    }

    #[test]
    fn after_any_history_the_order_of_records_does_not_matter((story, days) in told_later()) {
        let history = story.play()?;
        let as_of = later(&history, days);
        let mut other = history.clone();
        other.records.rearrange(|entries| {
            entries.sales.reverse();
            entries.costs.reverse();
            // The last day first; those of one day as they are.
            entries.gifts.sort_by_key(|gift| std::cmp::Reverse(gift.on));
        });
        for (one, other) in history.open(as_of).into_iter().zip(other.open(as_of)) {
            prop_assert_eq!(laws::in_one_order(one), laws::in_one_order(other));
        }
    }
}
