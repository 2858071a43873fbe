//! A quarter is closed, and then its records change: by hand.
//!
//! The quarter in all of them, with all that is left given away:
//! B-1 40.00 -> 100.00, margin 60.00; B-2 30.00 -> 80.00, margin 50.00; workshop
//! 10.00: due 100.00; given 25.00; closing 75.00. It is closed on 10 April.

use super::quarter_records::{Records, bought_and_sold, cost, day, gift, money, quarter, sale};
use wheelworth::accounts::quarter::figures::{Correction, Counted, What};
use wheelworth::accounts::{AccountsProblem, Closed, QuarterCaution, QuarterReport};
use wheelworth::trade::{CostKind, Give, Money, Sale, sale::Sold};

const ROOM: &str = "Ferry Lane Reading Room";

fn open(give: Give) -> Records {
    let mut records = Records::new(give, 10_000).named(ROOM, 1);
    records.on("2026-03-31", |now| {
        now.sales
            .push(bought_and_sold("B-1", "40.00", "2026-02-10", "100.00"));
        now.sales
            .push(bought_and_sold("B-2", "30.00", "2026-03-05", "80.00"));
        now.costs
            .push(cost("", "2026-01-20", CostKind::Supply, "10.00"));
        now.gifts.push(gift("2026-03-20", ROOM, "25.00"));
    });
    records
}

fn closed() -> Records {
    let mut records = open(Give::Net);
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    assert_eq!(reports.len(), 1);
    assert_eq!(
        balance(&reports[0]),
        moneys(["0.00", "100.00", "25.00", "75.00"])
    );
    records
}

fn balance(report: &QuarterReport) -> [Money; 4] {
    let [one] = report.beneficiaries.as_slice() else {
        panic!("{:?}", report.beneficiaries)
    };
    let whole = [report.opening, report.due, report.given, report.closing];
    assert_eq!([one.opening, one.due, one.given, one.closing], whole);
    whole
}

fn moneys<const N: usize>(texts: [&str; N]) -> [Money; N] {
    texts.map(money)
}

/// Of the first quarter: price and cost before and after, and what it adds.
fn correction(
    bike: &str,
    before: Option<[&str; 2]>,
    after: Option<[&str; 2]>,
    amount: &str,
) -> Correction {
    let counted = |[price, cost]: [&str; 2]| Counted {
        price: money(price),
        cost: money(cost),
    };
    Correction {
        of: quarter("2026-Q1"),
        bike: (!bike.is_empty()).then(|| bike.to_string()),
        what: What::Sale,
        nth: 0,
        before: before.map(counted),
        after: after.map(counted),
        give: Give::Net,
        amount: money(amount),
    }
}

/// Nothing of a quarter but what it hands on.
fn assert_quiet(report: &QuarterReport) {
    let name = report.quarter;
    assert!(report.corrections.is_empty(), "{name}: {report:?}");
    assert_eq!([report.due, report.given], [Money::ZERO; 2], "{name}");
    assert_eq!(report.opening, report.closing, "{name}");
    assert_eq!(report.brought_forward, report.carried_forward, "{name}");
}

/// What a book of before could not say is left out where there is nothing of it, so that
/// the same records are kept in the same words.
#[test]
fn a_plain_sale_is_kept_as_books_of_before_kept_it() {
    let mut records = Records::new(Give::Price, 10_000);
    records.on("2026-03-31", |now| {
        now.sales.push(sale("A", "2026-02-10", "100.00"));
    });
    let report = records.report("2026-Q1", "2026-04-02");
    let text = Closed::of(&report, day("2026-04-02"))
        .figures_text()
        .unwrap();
    assert!(text.contains("\"A\""), "{text}");
    assert!(
        !text.contains("\"nth\"") && !text.contains("\"what\""),
        "{text}"
    );
}

#[test]
fn a_closed_quarter_without_changes_hands_on_what_it_owes() {
    let records = closed();
    let next = records.report("2026-Q2", "2026-06-30");
    assert_quiet(&next);
    assert_eq!(next.opening, money("75.00"));
    let lines: Vec<_> = next
        .course
        .iter()
        .map(|line| (line.due, line.given_so_far))
        .collect();
    let expected = [["100.00", "25.00"], ["0.00", "25.00"]].map(moneys);
    assert_eq!(lines, expected.map(|[due, given]| (due, given)));
    let again = records.try_report(quarter("2026-Q1"), day("2026-06-30"));
    assert!(matches!(again, Err(AccountsProblem::Closed(q)) if q == quarter("2026-Q1")));
}

#[test]
fn before_its_closing_a_quarter_takes_every_change() {
    let mut records = open(Give::Net);
    records.on("2026-04-09", |now| {
        Records::bike(now, "B-1").purchase = Some(money("41.00"));
        now.costs
            .push(cost("B-2", "2026-04-08", CostKind::Part, "2.00"));
        // A cost of the workshop belongs to the quarter of its day, the second.
        now.costs
            .push(cost("", "2026-04-08", CostKind::Part, "4.00"));
    });
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    // 59.00 + 48.00 - 10.00.
    assert_eq!(reports[0].due, money("97.00"));
    let next = records.report("2026-Q2", "2026-06-30");
    assert!(next.corrections.is_empty());
    assert_eq!(next.carried_forward, money("4.00"));
}

#[test]
fn a_corrected_price_shows_in_the_quarter_in_which_it_is_corrected() {
    let mut records = closed();
    records.on("2026-05-06", |now| {
        now.sales
            .push(bought_and_sold("B-3", "20.00", "2026-05-01", "50.00"));
        let sold = &mut Records::bike(now, "B-1").sold;
        sold.as_mut().unwrap().price = money("95.00");
    });
    let next = records.report("2026-Q2", "2026-06-30");
    let expected = correction(
        "B-1",
        Some(["100.00", "40.00"]),
        Some(["95.00", "40.00"]),
        "-5.00",
    );
    assert_eq!(next.corrections, [expected]);
    // 30.00 - 5.00; 75.00 + 25.00.
    assert_eq!(balance(&next), moneys(["75.00", "25.00", "0.00", "100.00"]));
    // B-3 has all of it.
    assert_eq!(next.sales[0].due, money("25.00"));
    let quarters = vec![quarter("2026-Q1")];
    assert!(
        next.cautions
            .contains(&QuarterCaution::Corrected { quarters })
    );
    // The day before the change there was nothing to correct.
    let before = records.report("2026-Q2", "2026-05-05");
    assert!(before.corrections.is_empty());
}

/// 95.00 in the second quarter, which is closed too, then 90.00 in the fourth:
/// each is told against what was told last.
#[test]
fn a_price_corrected_twice_is_told_against_the_last_time() {
    let mut records = closed();
    let price = |to: &'static str| {
        move |now: &mut wheelworth::accounts::Entries| {
            Records::bike(now, "B-1").sold.as_mut().unwrap().price = money(to);
        }
    };
    records.on("2026-05-06", price("95.00"));
    let reports = records.close(quarter("2026-Q2"), day("2026-07-08"));
    // -5.00 alone: nothing due, 5.00 carried.
    assert_eq!(
        balance(&reports[0]),
        moneys(["75.00", "0.00", "0.00", "75.00"])
    );
    assert_eq!(reports[0].carried_forward, money("5.00"));
    records.on("2026-10-02", price("90.00"));
    let third = records.report("2026-Q3", "2026-12-31");
    assert_quiet(&third);
    assert_eq!(third.brought_forward, money("5.00"));
    let fourth = records.report("2026-Q4", "2026-12-31");
    let expected = correction(
        "B-1",
        Some(["95.00", "40.00"]),
        Some(["90.00", "40.00"]),
        "-5.00",
    );
    assert_eq!(fourth.corrections, [expected]);
    assert_eq!(fourth.carried_forward, money("10.00"));
    // As frozen: 100.00 and 0.00; with the 10.00 short, 90.00 is what B-1 at
    // 50.00, B-2 at 50.00 and the workshop at -10.00 add up to.
    assert_eq!(fourth.closing, money("75.00"));
}

/// In July the second quarter is over but still open. The change is made in the
/// third, and stands there.
#[test]
fn a_change_made_after_the_end_of_an_open_quarter_is_not_put_back_into_it() {
    let mut records = closed();
    records.on("2026-07-03", |now| {
        Records::bike(now, "B-1").purchase = Some(money("42.00"));
    });
    assert_quiet(&records.report("2026-Q2", "2026-07-07"));
    let reports = records.close(quarter("2026-Q2"), day("2026-07-08"));
    assert_quiet(&reports[0]);
    let third = records.report("2026-Q3", "2026-09-30");
    let expected = correction(
        "B-1",
        Some(["100.00", "40.00"]),
        Some(["100.00", "42.00"]),
        "-2.00",
    );
    assert_eq!(third.corrections, [expected]);
}

#[test]
fn a_sale_recorded_late_is_a_correction_with_nothing_before() {
    let mut records = closed();
    records.on("2026-05-02", |now| {
        now.sales
            .push(bought_and_sold("B-9", "45.00", "2026-03-30", "60.00"));
        // And one from before the first record of all.
        now.sales.push(sale("B-0", "2025-11-11", "1.00"));
    });
    let next = records.report("2026-Q2", "2026-06-30");
    let older = Correction {
        of: quarter("2025-Q4"),
        ..correction("B-0", None, Some(["1.00", "0.00"]), "1.00")
    };
    let late = correction("B-9", None, Some(["60.00", "45.00"]), "15.00");
    assert_eq!(next.corrections, [older, late]);
    // 75.00 + 16.00; no bike of the quarter to put it beside.
    assert_eq!(balance(&next), moneys(["75.00", "16.00", "0.00", "91.00"]));
    assert!(next.sales.is_empty());
    // Both count among the bikes sold since the first record.
    assert_eq!(next.course.last().unwrap().sold, 2);
}

#[test]
fn a_sale_taken_back_takes_back_what_it_brought() {
    let mut records = closed();
    records.on("2026-05-02", |now| Records::bike(now, "B-1").sold = None);
    let next = records.report("2026-Q2", "2026-06-30");
    let expected = correction("B-1", Some(["100.00", "40.00"]), None, "-60.00");
    assert_eq!(next.corrections, [expected]);
    assert_eq!(balance(&next), moneys(["75.00", "0.00", "0.00", "75.00"]));
    assert_eq!(next.carried_forward, money("60.00"));
    assert_eq!(next.course.last().unwrap().sold, -1);
    // Sold again in the third quarter for 90.00: 50.00 - 60.00.
    records.on("2026-07-07", |now| {
        Records::bike(now, "B-1").sold = Some(Sold {
            on: day("2026-07-07"),
            price: money("90.00"),
        });
    });
    let third = records.report("2026-Q3", "2026-09-30");
    assert!(third.corrections.is_empty());
    assert_eq!(third.sales.len(), 1);
    assert_eq!(third.carried_forward, money("10.00"));
}

/// Under `give price` there is no shortfall: what was due before is taken back
/// from what is owed, to the cent that was added.
#[test]
fn a_price_taken_back_lowers_what_is_owed() {
    let mut records = open(Give::Price);
    records.giving.share = 5000;
    records.on("2026-04-01", |now| {
        let sold = &mut Records::bike(now, "B-1").sold;
        sold.as_mut().unwrap().price = money("100.01");
    });
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    // (100.01 + 80.00) / 2 = 90.005, up to 90.01; less 25.00.
    assert_eq!(
        balance(&reports[0]),
        moneys(["0.00", "90.01", "25.00", "65.01"])
    );
    // Both are taken back: half of -180.01 is -90.005, and -90.01 by symmetry.
    records.on("2026-05-02", |now| now.sales.clear());
    let next = records.report("2026-Q2", "2026-06-30");
    let amounts: Vec<Money> = next.corrections.iter().map(|one| one.amount).collect();
    assert_eq!(amounts, moneys(["-100.01", "-80.00"]));
    assert_eq!(
        balance(&next),
        moneys(["65.01", "-90.01", "0.00", "-25.00"])
    );
    assert_eq!(next.carried_forward, Money::ZERO);
}

/// B-2 was sold in April, not in March.
#[test]
fn a_bike_moved_into_an_open_quarter_leaves_the_closed_one() {
    let mut records = closed();
    records.on("2026-05-02", |now| {
        Records::bike(now, "B-2").sold.as_mut().unwrap().on = day("2026-04-02");
    });
    let next = records.report("2026-Q2", "2026-06-30");
    let expected = correction("B-2", Some(["80.00", "30.00"]), None, "-50.00");
    assert_eq!(next.corrections, [expected]);
    assert_eq!(next.sales.len(), 1);
    assert_eq!(next.sales[0].margin, money("50.00"));
    // 50.00 - 50.00; the bike has a margin, but nothing is due to split.
    assert_eq!(balance(&next), moneys(["75.00", "0.00", "0.00", "75.00"]));
    assert_eq!(next.carried_forward, Money::ZERO);
}

#[test]
fn a_bike_moved_out_of_an_open_quarter_is_a_sale_recorded_late() {
    let mut records = closed();
    records.on("2026-05-02", |now| {
        now.sales
            .push(bought_and_sold("B-3", "5.00", "2026-04-01", "9.00"));
    });
    assert_eq!(records.report("2026-Q2", "2026-05-02").due, money("4.00"));
    records.on("2026-05-03", |now| {
        Records::bike(now, "B-3").sold.as_mut().unwrap().on = day("2026-03-31");
    });
    let next = records.report("2026-Q2", "2026-06-30");
    assert!(next.sales.is_empty());
    let late = correction("B-3", None, Some(["9.00", "5.00"]), "4.00");
    assert_eq!(next.corrections, [late]);
    assert_eq!(next.due, money("4.00"));
}

#[test]
fn a_workshop_cost_recorded_late_is_a_correction_of_the_workshop() {
    let mut records = closed();
    records.on("2026-05-02", |now| {
        now.costs
            .push(cost("", "2026-02-14", CostKind::Travel, "3.50"));
    });
    let next = records.report("2026-Q2", "2026-06-30");
    let expected = correction(
        "",
        Some(["0.00", "10.00"]),
        Some(["0.00", "13.50"]),
        "-3.50",
    );
    assert_eq!(next.corrections, [expected]);
    assert_eq!(next.carried_forward, money("3.50"));
    assert_eq!(next.workshop_costs, Money::ZERO);
}

/// The first and the second quarter are both closed in August.
#[test]
fn several_quarters_closed_at_once_go_on_from_the_last() {
    let mut records = open(Give::Net);
    records.on("2026-05-02", |now| {
        now.sales.push(Sale {
            fees: Some(money("1.00")),
            ..bought_and_sold("B-3", "20.00", "2026-05-01", "50.00")
        });
    });
    let reports = records.close(quarter("2026-Q2"), day("2026-08-20"));
    let names: Vec<String> = reports.iter().map(|r| r.quarter.to_string()).collect();
    assert_eq!(names, ["2026-Q1", "2026-Q2"]);
    // 75.00 + 29.00.
    assert_eq!(reports[1].closing, money("104.00"));
    records.on("2026-09-01", |now| {
        Records::bike(now, "B-1").purchase = Some(money("39.00"));
        Records::bike(now, "B-3").fees = None;
    });
    let third = records.report("2026-Q3", "2026-09-30");
    let told: Vec<_> = third
        .corrections
        .iter()
        .map(|one| (one.of.to_string(), one.bike.clone().unwrap(), one.amount))
        .collect();
    let one = |of: &str, bike: &str| (of.to_string(), bike.to_string(), money("1.00"));
    assert_eq!(told, [one("2026-Q1", "B-1"), one("2026-Q2", "B-3")]);
    assert_eq!(third.closing, money("106.00"));
}
