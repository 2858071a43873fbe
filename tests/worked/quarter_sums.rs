//! Sums, rates and ranks of a quarter by hand.

use super::quarter_records::{Records, bought_and_sold, gift, money, sale};
use wheelworth::accounts::QuarterReport;
use wheelworth::accounts::quarter::sums::{DueKind, due_lines, earned, is_nothing, per_hour};
use wheelworth::trade::{Give, Sale};

const ROOM: &str = "Ferry Lane Reading Room";

fn with(give: Give, sales: &[Sale]) -> Records {
    let mut records = Records::new(give, 10_000).named(ROOM, 1);
    records.on("2026-06-30", |now| now.sales = sales.to_vec());
    records
}

fn report(give: Give, sales: &[Sale]) -> QuarterReport {
    with(give, sales).report("2026-Q2", "2026-06-30")
}

#[test]
fn nothing_in_hours_is_nothing_an_hour() {
    assert_eq!(per_hour(money("0.00"), 150), Some(money("0.00")));
}

/// Under `give price` a sale alone needs no sum; under `give net` its cost is taken off,
/// and the sum is told.
#[test]
fn a_sum_is_told_where_there_is_something_to_add() {
    let sales = [bought_and_sold("A", "30.00", "2026-04-15", "100.00")];
    let kinds = |give| -> Vec<DueKind> {
        let lines = due_lines(&report(give, &sales));
        lines.iter().map(|line| line.kind).collect()
    };
    assert_eq!(kinds(Give::Price), [DueKind::SalePrices]);
    let net = [DueKind::SalePrices, DueKind::DirectCosts, DueKind::Sum];
    assert_eq!(kinds(Give::Net), net);
}

/// A bike that brought what it cost leaves nothing due, and yet there is a sum to show.
#[test]
fn a_sale_that_leaves_nothing_is_something() {
    assert!(is_nothing(&report(Give::Net, &[])));
    let even = bought_and_sold("A", "30.00", "2026-04-15", "30.00");
    let report = report(Give::Net, &[even]);
    assert_eq!(report.due, money("0.00"));
    assert!(!is_nothing(&report));
}

/// A has no hours and no cost, so no rate; it takes no place from B. Where no bike has a
/// due, it goes by margin.
#[test]
fn bikes_without_hours_or_costs_have_no_rank() {
    let a = sale("A", "2026-04-10", "90.00");
    let b = Sale {
        hours: Some(200),
        ..bought_and_sold("B", "30.00", "2026-04-15", "50.00")
    };
    let report = report(Give::Price, &[a, b.clone()]);
    let found = earned(&report, 1);
    // 50.00 in 2 hours, and 50.00 for each 30.00: 1.67 each.
    assert!(!found.by_margin);
    assert_eq!(found.per_hour, [(1, money("25.00"))]);
    assert_eq!(found.per_unit, [(1, 167)]);
    let mut none_due = with(Give::Price, &[b]);
    none_due.giving.share = 0;
    let found = earned(&none_due.report("2026-Q2", "2026-06-30"), 1);
    // 50.00 - 30.00 in 2 hours.
    assert!(found.by_margin);
    assert_eq!(found.per_hour, [(0, money("10.00"))]);
}

/// A price corrected after the closing is no further bike sold; what was handed over adds
/// up from quarter to quarter.
#[test]
fn the_course_counts_bikes_once_and_gifts_up() {
    let first = bought_and_sold("A", "30.00", "2026-02-10", "100.00");
    let mut records = with(Give::Price, &[first]);
    records.on("2026-07-01", |now| {
        now.gifts.push(gift("2026-02-20", ROOM, "40.00"));
        now.gifts.push(gift("2026-05-20", ROOM, "25.00"));
    });
    records.close(
        super::quarter_records::quarter("2026-Q1"),
        "2026-07-02".parse().unwrap(),
    );
    records.on("2026-07-03", |now| {
        Records::bike(now, "A").sold.as_mut().unwrap().price = money("110.00");
        now.sales.push(sale("B", "2026-04-15", "10.00"));
    });
    let report = records.report("2026-Q3", "2026-07-10");
    let course = report.course.iter();
    let course: Vec<_> = course
        .map(|line| (line.quarter.to_string(), line.sold, line.given_so_far))
        .collect();
    let line = |name: &str, sold, so_far| (name.to_string(), sold, money(so_far));
    let expected = [
        line("2026-Q1", 1, "40.00"),
        line("2026-Q2", 1, "65.00"),
        line("2026-Q3", 0, "65.00"),
    ];
    assert_eq!(course, expected);
    assert_eq!(report.corrections.len(), 1);
}
