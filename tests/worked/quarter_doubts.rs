//! What a quarter's report doubts, and where it must not, by hand.

use super::quarter_records::{Records, bought_and_sold, day, gift, money, sale};
use wheelworth::accounts::{Clearance, Inspected, QuarterCaution, QuarterReport};
use wheelworth::trade::{Give, Sale};

const ROOM: &str = "Ferry Lane Reading Room";

/// A bike sold for 100.00 on 15 April, all of it due to the room.
fn records() -> Records {
    let mut records = Records::new(Give::Price, 10_000).named(ROOM, 1);
    records.on("2026-06-30", |now| {
        now.sales.push(Sale {
            hours: Some(300),
            ..bought_and_sold("A", "20.00", "2026-04-15", "100.00")
        });
    });
    records
}

/// What is doubted but for what every report says.
fn doubts(report: &QuarterReport) -> Vec<&QuarterCaution> {
    let usual = [QuarterCaution::NotAdvice, QuarterCaution::NoInspections];
    let doubts = report.cautions.iter();
    doubts.filter(|one| !usual.contains(one)).collect()
}

#[test]
fn a_quarter_is_not_over_before_its_last_day() {
    let (from, to) = (day("2026-04-01"), day("2026-06-30"));
    for (as_of, expected) in [
        ("2026-03-31", vec![QuarterCaution::NotBegun { from }]),
        ("2026-04-01", vec![QuarterCaution::NotOver { to }]),
        ("2026-06-29", vec![QuarterCaution::NotOver { to }]),
        ("2026-06-30", vec![]),
        ("2026-07-01", vec![]),
    ] {
        let report = records().report("2026-Q2", as_of);
        let expected: Vec<_> = expected.iter().collect();
        assert_eq!(doubts(&report), expected, "{as_of}");
    }
}

#[test]
fn whom_no_rule_names_is_told_once_with_whom_it_may_be() {
    let like = "ferry lane reading room ";
    let give = |records: &mut Records| {
        records.on("2026-06-30", |now| {
            for (on, who) in [
                ("2026-05-01", "Choir"),
                ("2026-05-02", ROOM),
                ("2026-05-03", like),
                ("2026-05-04", "Choir"),
            ] {
                now.gifts.push(gift(on, who, "5.00"));
            }
        });
        records.report("2026-Q2", "2026-06-30")
    };
    let told = |report: &QuarterReport| -> Vec<(String, Option<String>)> {
        let told = report.cautions.iter().filter_map(|caution| match caution {
            QuarterCaution::NotNamed { beneficiary, like } => {
                Some((beneficiary.clone(), like.clone()))
            }
            _ => None,
        });
        told.collect()
    };
    let expected = [
        ("Choir".to_string(), None),
        (like.to_string(), Some(ROOM.to_string())),
    ];
    assert_eq!(told(&give(&mut records())), expected);
    // Where nobody is named, nobody is named wrongly.
    let mut nobody = Records::new(Give::Price, 10_000);
    assert_eq!(told(&give(&mut nobody)), []);
}

/// 100.00 are due: what is handed over to the cent is not ahead.
#[test]
fn what_is_due_to_the_cent_is_not_given_ahead() {
    for (handed, ahead) in [("100.00", None), ("100.01", Some("0.01"))] {
        let mut records = records();
        records.on("2026-06-30", |now| {
            now.gifts.push(gift("2026-06-01", ROOM, handed));
        });
        let report = records.report("2026-Q2", "2026-06-30");
        let expected = ahead.map(|by| QuarterCaution::GivenAhead {
            beneficiary: None,
            by: money(by),
        });
        let expected: Vec<_> = expected.iter().collect();
        assert_eq!(doubts(&report), expected);
    }
}

/// The latest inspection up to the day of the sale counts.
#[test]
fn a_bike_that_had_not_passed_when_it_was_sold_is_told() {
    let inspected = |bike: &str, on: &str, result| Inspected {
        bike: bike.into(),
        on: day(on),
        result,
    };
    let mut records = records();
    records.on("2026-06-30", |now| {
        for id in ["B", "C", "D"] {
            now.sales.push(sale(id, "2026-05-01", "50.00"));
        }
    });
    records.inspections = vec![
        inspected("A", "2026-04-10", Clearance::GatesOpen),
        inspected("A", "2026-04-15", Clearance::Passed),
        inspected("B", "2026-04-20", Clearance::Passed),
        inspected("B", "2026-05-01", Clearance::NoRoadTest),
        inspected("C", "2026-05-02", Clearance::Passed),
    ];
    let report = records.report("2026-Q2", "2026-06-30");
    let bikes = ["B", "C", "D"].map(String::from).to_vec();
    let not_passed = QuarterCaution::NotPassed { bikes };
    assert!(
        report.cautions.contains(&not_passed),
        "{:?}",
        report.cautions
    );
    assert!(!report.cautions.contains(&QuarterCaution::NoInspections));
}
