//! After a quarter was closed: costs dated later, gifts and box rows, by hand.
//!
//! The quarter in all of them: B-1 40.00 -> 100.00, all of it given away: due
//! 60.00, nothing handed over, closed on 10 April.

use super::quarter_records::{Records, bought_and_sold, cost, day, gift, money, quarter};
use wheelworth::accounts::quarter::figures::GiftLine;
use wheelworth::accounts::{AccountsProblem, QuarterCaution, QuarterReport, reports_to_close};
use wheelworth::trade::{Cost, CostKind, Gift, Give, Money};

const ROOM: &str = "Ferry Lane Reading Room";

fn closed() -> Records {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    records.on("2026-03-31", |now| {
        now.sales
            .push(bought_and_sold("B-1", "40.00", "2026-02-10", "100.00"));
    });
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    assert_eq!(reports[0].closing, money("60.00"));
    records
}

/// A part for B-1.
fn part(on: &str, amount: &str) -> Cost {
    cost("B-1", on, CostKind::Part, amount)
}

/// What the corrections of B-1 add, one a quarter at most.
fn corrected(records: &Records, name: &str) -> Money {
    let report = records.report(name, "2027-12-31");
    match report.corrections.as_slice() {
        [] => Money::ZERO,
        [one] => {
            assert_eq!(one.of, quarter("2026-Q1"));
            assert_eq!(one.bike.as_deref(), Some("B-1"));
            one.amount
        }
        more => panic!("{more:?}"),
    }
}

fn assert_corrected(records: &Records, expected: [(&str, &str); 3]) {
    for (name, amount) in expected {
        assert_eq!(corrected(records, name), money(amount), "{name}");
    }
}

#[test]
fn a_cost_dated_in_an_open_quarter_is_a_correction_where_it_is_dated() {
    // Recorded on its day, and half a year later: it stands where it is dated.
    for recorded in ["2026-07-03", "2027-01-15"] {
        let mut records = closed();
        records.on(recorded, |now| now.costs.push(part("2026-07-03", "7.00")));
        let expected = [
            ("2026-Q2", "0.00"),
            ("2026-Q3", "-7.00"),
            ("2026-Q4", "0.00"),
        ];
        assert_corrected(&records, expected);
        let before = records.report("2026-Q3", "2026-07-02");
        assert!(before.corrections.is_empty(), "not spent yet");
    }
}

#[test]
fn a_cost_dated_in_a_closed_quarter_is_a_correction_where_it_is_recorded() {
    let mut records = closed();
    records.on("2026-08-01", |now| {
        now.costs.push(part("2026-01-31", "7.00"));
    });
    let expected = [
        ("2026-Q2", "0.00"),
        ("2026-Q3", "-7.00"),
        ("2026-Q4", "0.00"),
    ];
    assert_corrected(&records, expected);
}

/// The part of May is a correction of the second quarter, which is closed in
/// July. Taken out of the records in November, it is a change of a closed
/// quarter, made in the fourth.
#[test]
fn a_correction_taken_back_after_its_quarter_was_closed_shows_when_it_is_taken_back() {
    let mut records = closed();
    records.on("2026-05-21", |now| {
        now.costs.push(part("2026-05-20", "7.00"));
    });
    let reports = records.close(quarter("2026-Q2"), day("2026-07-08"));
    assert_eq!(reports[0].corrections[0].amount, money("-7.00"));
    records.on("2026-11-02", |now| now.costs.clear());
    let expected = [
        ("2026-Q3", "0.00"),
        ("2026-Q4", "7.00"),
        ("2027-Q1", "0.00"),
    ];
    assert_corrected(&records, expected);
}

/// The same for a part of May that is recorded only in November, after the
/// second quarter was closed.
#[test]
fn a_cost_dated_in_a_quarter_closed_since_shows_when_it_is_recorded() {
    let mut records = closed();
    records.close(quarter("2026-Q2"), day("2026-07-08"));
    records.on("2026-11-02", |now| {
        now.costs.push(part("2026-05-20", "7.00"));
    });
    let expected = [
        ("2026-Q3", "0.00"),
        ("2026-Q4", "-7.00"),
        ("2027-Q1", "0.00"),
    ];
    assert_corrected(&records, expected);
}

/// Costs dated between the end of a quarter and its closing were part of what
/// was closed.
#[test]
fn a_cost_known_at_the_closing_is_counted_in_the_closed_quarter() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    records.on("2026-04-08", |now| {
        now.sales
            .push(bought_and_sold("B-1", "40.00", "2026-02-10", "100.00"));
        now.costs.push(part("2026-04-05", "7.00"));
    });
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    assert_eq!(reports[0].due, money("53.00"));
    let quiet = [
        ("2026-Q2", "0.00"),
        ("2026-Q3", "0.00"),
        ("2026-Q4", "0.00"),
    ];
    assert_corrected(&records, quiet);
    records.on("2026-08-01", |now| now.costs[0].amount = money("9.00"));
    let expected = [
        ("2026-Q2", "0.00"),
        ("2026-Q3", "-2.00"),
        ("2026-Q4", "0.00"),
    ];
    assert_corrected(&records, expected);
}

/// A row of costs dated later replaces the column that the closed quarter
/// counted: 12.00 of parts become 5.00.
#[test]
fn a_cost_dated_later_replaces_the_column_that_was_closed() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    records.on("2026-03-31", |now| {
        now.sales
            .push(bought_and_sold("B-1", "40.00", "2026-02-10", "100.00"));
        now.sales[0].parts = Some(money("12.00"));
    });
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    assert_eq!(reports[0].due, money("48.00"));
    records.on("2026-05-01", |now| {
        now.costs.push(part("2026-05-01", "5.00"));
    });
    assert_eq!(corrected(&records, "2026-Q2"), money("7.00"));
}

fn line(gift: &Gift, amount: &str) -> GiftLine {
    GiftLine {
        gift: gift.clone(),
        amount: money(amount),
        of_closed: Some(quarter("2026-Q1")),
    }
}

fn balance(report: &QuarterReport) -> [Money; 4] {
    [report.opening, report.due, report.given, report.closing]
}

#[test]
fn a_forgotten_gift_counts_in_the_quarter_in_which_it_is_recorded() {
    let mut records = closed();
    let forgotten = gift("2026-03-28", ROOM, "40.00");
    records.on("2026-05-15", |now| {
        now.gifts.push(gift("2026-05-01", ROOM, "5.00"));
        now.gifts.push(forgotten.clone());
    });
    let next = records.report("2026-Q2", "2026-06-30");
    let own = GiftLine {
        of_closed: None,
        ..line(&gift("2026-05-01", ROOM, "5.00"), "5.00")
    };
    assert_eq!(next.gifts, [line(&forgotten, "40.00"), own]);
    // 60.00 - 45.00.
    assert_eq!(
        balance(&next),
        ["60.00", "0.00", "45.00", "15.00"].map(money)
    );
    let quarters = vec![quarter("2026-Q1")];
    assert!(
        next.cautions
            .contains(&QuarterCaution::Corrected { quarters })
    );
    assert!(records.report("2026-Q3", "2026-09-30").gifts.is_empty());
}

/// 40.00 was written down in the first quarter and closed; it was 30.00, and it
/// went to the choir.
#[test]
fn a_gift_changed_after_the_closing_is_taken_out_and_put_in() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    let (wrong, right) = (
        gift("2026-03-28", ROOM, "40.00"),
        gift("2026-03-28", "Choir", "30.00"),
    );
    records.on("2026-03-31", |now| now.gifts.push(wrong.clone()));
    records.close(quarter("2026-Q1"), day("2026-04-10"));
    records.on("2026-05-15", |now| now.gifts[0] = right.clone());
    let next = records.report("2026-Q2", "2026-06-30");
    assert_eq!(next.gifts, [line(&right, "30.00"), line(&wrong, "-40.00")]);
    assert_eq!(
        balance(&next),
        ["-40.00", "0.00", "-10.00", "-30.00"].map(money)
    );
    let each: Vec<_> = next
        .beneficiaries
        .iter()
        .map(|one| (one.name.as_str(), [one.opening, one.given, one.closing]))
        .collect();
    let expected = [
        (ROOM, ["-40.00", "-40.00", "0.00"].map(money)),
        ("Choir", ["0.00", "30.00", "-30.00"].map(money)),
    ];
    assert_eq!(each, expected);
    // Closed as well, and changed back: out and in once more.
    records.close(quarter("2026-Q2"), day("2026-07-01"));
    records.on("2026-07-02", |now| now.gifts[0] = wrong.clone());
    let third = records.report("2026-Q3", "2026-09-30");
    assert_eq!(third.gifts, [line(&wrong, "40.00"), line(&right, "-30.00")]);
    assert_eq!(third.closing, money("-40.00"));
}

/// Several gifts of one day to one beneficiary are taken out: always told in the
/// same order.
#[test]
fn gifts_taken_out_stand_in_one_order() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    let gifts: Vec<Gift> = (1..=8)
        .map(|number| Gift {
            reference: Some(format!("T-{number}")),
            ..gift("2026-03-28", ROOM, &format!("{number}.00"))
        })
        .collect();
    records.on("2026-03-31", |now| now.gifts = gifts.clone());
    records.close(quarter("2026-Q1"), day("2026-04-10"));
    records.on("2026-05-15", |now| now.gifts.clear());
    let first = records.report("2026-Q2", "2026-06-30").gifts;
    assert_eq!(first.len(), 8);
    for _ in 0..5 {
        assert_eq!(records.report("2026-Q2", "2026-06-30").gifts, first);
    }
}

/// Nothing was handed over: nothing to tell once the quarter is closed.
#[test]
fn a_gift_of_nothing_is_no_correction() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    records.on("2026-03-31", |now| {
        now.gifts.push(gift("2026-03-28", ROOM, "0.00"));
    });
    let reports = records.close(quarter("2026-Q1"), day("2026-04-10"));
    assert_eq!(reports[0].gifts.len(), 1);
    let next = records.report("2026-Q2", "2026-06-30");
    assert_eq!(next.gifts, []);
    assert!(
        !next
            .cautions
            .iter()
            .any(|c| matches!(c, QuarterCaution::Corrected { .. }))
    );
}

/// Others stand in the order in which gifts first name them, by day, also where
/// both gifts were forgotten and recorded the other way round.
#[test]
fn others_stand_by_the_day_of_their_first_gift() {
    let mut records = closed();
    records.on("2026-05-15", |now| {
        now.gifts.push(gift("2026-02-20", "Choir", "1.00"));
        now.gifts.push(gift("2026-02-10", "Bakery", "1.00"));
    });
    let next = records.report("2026-Q2", "2026-06-30");
    let names: Vec<&str> = next.beneficiaries.iter().map(|b| b.name.as_str()).collect();
    assert_eq!(names, [ROOM, "Bakery", "Choir"]);
}

#[test]
fn a_box_row_recorded_late_is_listed_once_and_counts_nothing() {
    let mut records = closed();
    let row = Cost {
        from_box: true,
        ..part("2026-02-02", "3.00")
    };
    records.on("2026-05-15", |now| now.costs.push(row.clone()));
    let next = records.report("2026-Q2", "2026-06-30");
    assert_eq!(next.from_box, [row]);
    assert!(next.corrections.is_empty());
    assert_eq!(next.closing, money("60.00"));
    records.close(quarter("2026-Q2"), day("2026-07-01"));
    assert!(records.report("2026-Q3", "2026-09-30").from_box.is_empty());
}

/// 31,000 quarters later, with the records of each day asked for once: in a
/// moment, and in little memory.
#[test]
fn a_quarter_far_ahead_is_told_at_once() {
    let mut records = closed();
    records.on("2026-05-15", |now| {
        now.gifts.push(gift("2026-05-14", ROOM, "20.00"));
    });
    let far = records.report("9998-Q4", "2026-06-30");
    assert_eq!(balance(&far), ["40.00", "0.00", "0.00", "40.00"].map(money));
    assert_eq!(far.course.len(), (9998 - 2026) * 4 + 4);
}

/// A quarter before the first record was never closed: it is all zeros.
#[test]
fn a_quarter_before_the_first_closed_one_is_all_zeros() {
    let records = closed();
    let before = records.report("2025-Q4", "2026-06-30");
    assert_eq!(balance(&before), [Money::ZERO; 4]);
    assert!(before.course.is_empty() && before.corrections.is_empty());
}

/// To close it afterwards would put the day of a closing after changes that were
/// made before, and so move them.
#[test]
fn a_quarter_before_the_first_closed_one_cannot_be_closed_afterwards() {
    let records = closed();
    let to_close = |name: &str| {
        records.ask(day("2026-09-01"), |ledger| {
            reports_to_close(ledger, quarter(name))
        })
    };
    let refused = to_close("2025-Q4").unwrap_err();
    let (quarter, first) = (quarter("2025-Q4"), quarter("2026-Q1"));
    assert!(
        matches!(refused, AccountsProblem::BeforeClosed { quarter: q, first: f } if (q, f) == (quarter, first))
    );
    assert!(matches!(to_close("2026-Q1"), Err(AccountsProblem::Closed(q)) if q == first));
}
