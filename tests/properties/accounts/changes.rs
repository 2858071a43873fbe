//! Where a change of closed quarters shows: the same history with it and without.

use super::books::{cost, each_day, gift, id, money, sale};
use super::history::{Deed, History, Step, Story, back, story};
use super::plain::{end_of, happened, rows_by};
use super::{books, minor, named};
use crate::worked::quarter_records::Records;
use jiff::ToSpan as _;
use proptest::prelude::*;
use proptest::sample::Index;
use wheelworth::accounts::{Entries, QuarterReport};
use wheelworth::trade::{Cost, Day, Gift, Money, Sale};

/// A change of records that are dated in closed quarters. The days count back
/// from the end of the last.
#[derive(Clone, Debug)]
enum Late {
    NewSale(Box<Sale>),
    TakeSale(Index),
    /// Something is handed back on the last closed day.
    Back(Index, Money, bool),
    Price(Index, Money),
    Workshop(Cost),
    BikeCost(Index, Cost),
    TakeCost(Index),
    Gift(Gift),
    TakeGift(Index),
}

fn late() -> impl Strategy<Value = Late> {
    let any = any::<Index>;
    // 400 days before the end of the last closed quarter, up to that day.
    let days = || 0_i64..401;
    prop_oneof![
        2 => sale(90, days()).prop_map(|sale| Late::NewSale(Box::new(sale))),
        1 => any().prop_map(Late::TakeSale),
        2 => (any(), money(), proptest::bool::ANY).prop_map(|(bike, refund, whole)| {
            Late::Back(bike, refund, whole)
        }),
        2 => (any(), money()).prop_map(|(bike, price)| Late::Price(bike, price)),
        1 => cost(0, days()).prop_map(Late::Workshop),
        2 => (any(), cost(0, days())).prop_map(|(bike, cost)| Late::BikeCost(bike, cost)),
        2 => any().prop_map(Late::TakeCost),
        1 => gift(days()).prop_map(Late::Gift),
        1 => any().prop_map(Late::TakeGift),
    ]
}

/// Ends with a bike sold on the last day of a quarter, which is closed then.
fn closed_story() -> impl Strategy<Value = Story> {
    // Day 400 is the day itself.
    let last = sale(91, 400..401).prop_map(|mut sale| {
        let sold = sale.sold.get_or_insert(wheelworth::trade::sale::Sold {
            on: Day::constant(2024, 3, 7),
            price: Money::from_minor(700),
        });
        sold.on = Day::constant(2024, 3, 7);
        sale.returns
            .retain(|one| one.on <= Day::constant(2024, 3, 7));
        sale.left = None;
        sale
    });
    (story(), last).prop_map(|(mut story, sale)| {
        let later = None;
        let deed = Deed::Bike(Box::new(sale));
        story.steps.push(Step { later, deed });
        let deed = Deed::Close(0);
        story.steps.push(Step { later, deed });
        story
    })
}

/// Where those candidates stand whose day is not after `to`.
fn places<T>(rows: &[T], to: Day, day: impl Fn(&T) -> Option<Day>) -> Vec<usize> {
    let all = 0..rows.len();
    all.filter(|place| day(&rows[*place]).is_some_and(|day| day <= to))
        .collect()
}

fn apply(now: &mut Entries, late: &Late, to: Day) {
    // Every fifth of the days is the last one itself.
    let before = |day: Day| {
        let since = day - Day::constant(2023, 2, 1);
        if since.get_days() % 5 == 0 {
            return to;
        }
        to.saturating_sub(400.days()).saturating_add(since)
    };
    let sold = places(&now.sales, to, |sale| sale.sold.map(|sold| sold.on));
    let known = sold.iter().map(|place| &now.sales[*place].id);
    let known: Vec<String> = known.cloned().collect();
    let of_sold = |cost: &Cost| cost.bike.as_ref().is_none_or(|id| known.contains(id));
    let costs = places(&now.costs, to, |cost| of_sold(cost).then_some(cost.on));
    let gifts = places(&now.gifts, to, |gift| Some(gift.on));
    let chosen = |index: &Index, places: &[usize]| (!places.is_empty()).then(|| *index.get(places));
    match late {
        Late::NewSale(sale) => {
            let mut sale = Sale::clone(sale);
            each_day(&mut sale, before);
            now.sales.push(sale);
        }
        Late::TakeSale(index) => {
            if let Some(place) = chosen(index, &sold) {
                now.sales[place].sold = None;
            }
        }
        Late::Back(index, refund, whole) => {
            if let Some(place) = chosen(index, &sold) {
                back(&mut now.sales[place], to, *refund, *whole);
            }
        }
        Late::Price(index, price) => {
            if let Some(place) = chosen(index, &sold) {
                now.sales[place].sold.as_mut().unwrap().price = *price;
            }
        }
        Late::Workshop(cost) => now.costs.push(Cost {
            on: before(cost.on),
            ..cost.clone()
        }),
        Late::BikeCost(index, cost) => {
            if let Some(place) = chosen(index, &sold) {
                now.costs.push(Cost {
                    bike: Some(now.sales[place].id.clone()),
                    on: before(cost.on),
                    ..cost.clone()
                });
            }
        }
        Late::TakeCost(index) => {
            if let Some(place) = chosen(index, &costs) {
                now.costs.remove(place);
            }
        }
        Late::Gift(gift) => now.gifts.push(Gift {
            on: before(gift.on),
            ..gift.clone()
        }),
        Late::TakeGift(index) => {
            if let Some(place) = chosen(index, &gifts) {
                now.gifts.remove(place);
            }
        }
    }
}

/// Prices, costs with the workshop's, and gifts of closed quarters as the
/// records hold them, with costs known by a day.
fn held(history: &History, to: Day, known: Day) -> [i128; 3] {
    let now = &history.records.now;
    let mut sums = [0; 3];
    for sale in &now.sales {
        let rows = rows_by(known, sale, &now.costs);
        for one in happened(sale).into_iter().filter(|one| one.on <= to) {
            let (price, cost) = history.books(known, &[], |books| books.worth(&one, sale, &rows));
            sums[0] += price;
            sums[1] += cost;
        }
    }
    for row in &now.costs {
        if row.bike.is_none() && !row.from_box && row.on <= to {
            sums[1] += minor(row.amount);
        }
    }
    let gifts = now.gifts.iter().filter(|gift| gift.on <= to);
    sums[2] += gifts.map(|gift| minor(gift.amount)).sum::<i128>();
    sums
}

/// What a report tells of changes of closed quarters, in the same order.
fn told(report: &QuarterReport) -> [i128; 3] {
    let mut sums = [0; 3];
    for one in &report.corrections {
        let (before, after) = (
            one.before.unwrap_or_default(),
            one.after.unwrap_or_default(),
        );
        sums[0] += minor(after.price) - minor(before.price);
        sums[1] += minor(after.cost) - minor(before.cost);
    }
    let gifts = report.gifts.iter().filter(|line| line.of_closed.is_some());
    sums[2] = gifts.map(|line| minor(line.amount)).sum();
    sums
}

fn less(one: [i128; 3], other: [i128; 3]) -> [i128; 3] {
    [one[0] - other[0], one[1] - other[1], one[2] - other[2]]
}

/// Reports of both histories, quarter by quarter, with the quarter's number.
fn both(one: &History, other: &History, as_of: Day) -> Vec<(i64, QuarterReport, QuarterReport)> {
    let (last, _) = one.closed_to().unwrap();
    let pairs = one.open(as_of).into_iter().zip(other.open(as_of));
    (last + 1..)
        .zip(pairs)
        .map(|(q, (one, other))| (q, one, other))
        .collect()
}

proptest! {
    #[test]
    fn a_change_of_closed_records_shows_in_the_quarter_in_which_it_is_made_and_in_none_before(
        story in closed_story(),
        late in late(),
        (waits, days) in (1_i64..300, 0_i64..300),
    ) {
        let without = story.play()?;
        let (_, to) = without.closed_to().unwrap();
        let made = without.records.today.saturating_add(waits.days());
        let mut with = without.clone();
        with.records.change(made, |now| apply(now, &late, to));
        let as_of = made.saturating_add(days.days());
        let here = without.quarter_of(made);
        for (quarter, without_it, with_it) in both(&without, &with, as_of) {
            if quarter < here {
                prop_assert_eq!(without_it, with_it);
            } else if quarter == here {
                let known = end_of(quarter, story.giving.year_starts).min(as_of);
                let records = [&with, &without].map(|one| held(one, to, known));
                prop_assert_eq!(less(told(&with_it), told(&without_it)), less(records[0], records[1]));
            }
        }
    }

    #[test]
    fn a_cost_dated_after_its_closed_sale_shows_where_it_is_dated_whenever_it_is_recorded(
        story in closed_story(),
        row in cost(0, 0..1),
        (dated, recorded, again, days) in (1_i64..300, 0_i64..200, 0_i64..200, 0_i64..200),
    ) {
        let without = story.play()?;
        let on = without.records.today.saturating_add(dated.days());
        let row = Cost { bike: Some(id(91)), on, ..row };
        let record = |wait: i64| {
            let mut history = without.clone();
            history.records.change(on.saturating_add(wait.days()), |now| now.costs.push(row.clone()));
            history
        };
        let (early, late) = (record(recorded), record(again));
        let as_of = on.saturating_add((recorded.max(again) + days).days());
        for (_, early, late) in both(&early, &late, as_of) {
            prop_assert_eq!(early, late);
        }
        let here = without.quarter_of(on);
        let (_, to) = without.closed_to().unwrap();
        for (quarter, without_it, with_it) in both(&without, &early, as_of) {
            if quarter < here {
                prop_assert_eq!(without_it, with_it);
            } else if quarter == here {
                let known = end_of(quarter, story.giving.year_starts).min(as_of);
                let records = [&early, &without].map(|one| held(one, to, known));
                prop_assert_eq!(less(told(&with_it), told(&without_it)), less(records[0], records[1]));
            }
        }
    }

    /// Whether quarters are closed or not, as long as nothing changes.
    #[test]
    fn closing_alone_changes_no_figure(case in books::case(), back in 0_i64..6) {
        let mut records = Records::new(case.giving.give, case.giving.share);
        records.giving = case.giving.clone();
        records.changes = books::changes(&case.later);
        records.minor_per_unit = case.minor_per_unit;
        records.today = Day::constant(2020, 1, 1);
        records.change(case.as_of, |now| *now = case.entries.clone());
        let number = |day: Day| super::quarter_of(day, case.giving.year_starts);
        let close = number(case.as_of) - 1 - back;
        let first = records.try_report(named(close), case.as_of).unwrap();
        // Before the first record there is nothing to close.
        if first.course.is_empty() {
            return Ok(());
        }
        let mut closed = records.clone();
        for report in closed.close(named(close), case.as_of) {
            let open = records.try_report(report.quarter, case.as_of).unwrap();
            prop_assert_eq!(open, report);
        }
        for quarter in close + 1..number(case.as_of) + 2 {
            let open = records.try_report(named(quarter), case.as_of).unwrap();
            let after = closed.try_report(named(quarter), case.as_of).unwrap();
            prop_assert_eq!(open, after);
        }
    }
}
