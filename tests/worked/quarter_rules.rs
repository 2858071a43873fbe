//! Quarters under a rule of giving that changes, by hand.

use super::quarter_records::{Records, bought_and_sold, cost, day, gift, money, quarter, sale};
use wheelworth::accounts::quarter::figures::Meant;
use wheelworth::accounts::{QuarterCaution, QuarterReport};
use wheelworth::trade::{Beneficiary, CostKind, Give, Giving, Means, Money, Return, RuleChange};

const A: &str = "Reading Room";
const B: &str = "Night Kitchen";

fn rule(from: &str, give: Give, share: u16, named: &[(&str, u32)]) -> RuleChange {
    let named = named.iter().map(|(name, weight)| Beneficiary {
        name: (*name).to_string(),
        weight: *weight,
    });
    RuleChange {
        from: day(from),
        giving: Giving {
            give,
            share,
            year_starts: 1,
            beneficiaries: named.collect(),
        },
    }
}

fn people(report: &QuarterReport) -> Vec<(&str, [Money; 4])> {
    let each = report.beneficiaries.iter();
    each.map(|one| {
        (
            one.name.as_str(),
            [one.opening, one.due, one.given, one.closing],
        )
    })
    .collect()
}

fn moneys(texts: [&str; 4]) -> [Money; 4] {
    texts.map(money)
}

/// The whole price for one; from the second quarter on half of what is left, for the
/// other, 1 : 3 with the first from the third on.
#[test]
fn each_quarter_goes_by_its_own_rule_and_what_is_owed_stays_owed() {
    let mut records = Records::new(Give::Price, 10_000).named(A, 1);
    records.changes = vec![
        rule("2026-07-01", Give::Net, 5_000, &[(B, 1), (A, 3)]),
        rule("2026-04-01", Give::Net, 5_000, &[(B, 1)]),
    ];
    records.on("2026-09-30", |now| {
        now.sales
            .push(bought_and_sold("B-1", "40.00", "2026-02-10", "100.00"));
        now.sales
            .push(bought_and_sold("B-2", "30.00", "2026-05-05", "80.00"));
        now.sales
            .push(bought_and_sold("B-3", "10.00", "2026-08-05", "50.00"));
        now.gifts.push(gift("2026-05-06", A, "30.00"));
    });
    let report = |name| records.report(name, "2026-09-30");
    // 100.00, its costs do not count.
    let first = report("2026-Q1");
    assert_eq!(
        people(&first),
        [(A, moneys(["0.00", "100.00", "0.00", "100.00"]))]
    );
    // Half of 80.00 - 30.00; the first is still owed what was not handed over.
    let second = report("2026-Q2");
    let expected = [
        (B, moneys(["0.00", "25.00", "0.00", "25.00"])),
        (A, moneys(["100.00", "0.00", "30.00", "70.00"])),
    ];
    assert_eq!(people(&second), expected);
    assert_eq!(
        (second.giving.give, second.giving.share),
        (Give::Net, 5_000)
    );
    // A gift to one whom an earlier rule named is no doubt.
    let not_named = |caution: &QuarterCaution| matches!(caution, QuarterCaution::NotNamed { .. });
    assert!(
        !second.cautions.iter().any(not_named),
        "{:?}",
        second.cautions
    );
    // Half of 50.00 - 10.00, 1 : 3.
    let third = report("2026-Q3");
    let expected = [
        (B, moneys(["25.00", "5.00", "0.00", "30.00"])),
        (A, moneys(["70.00", "15.00", "0.00", "85.00"])),
    ];
    assert_eq!(people(&third), expected);
    assert_eq!(third.closing, money("115.00"));
}

/// Short by 60.00 in the first quarter. Under `give net` that waits; under `give price` it
/// ends, and does not come back with the next `give net`.
#[test]
fn a_shortfall_ends_where_the_whole_price_is_given() {
    let mut records = Records::new(Give::Net, 10_000).named(A, 1);
    records.on("2026-09-30", |now| {
        now.sales
            .push(bought_and_sold("B-1", "160.00", "2026-02-10", "100.00"));
        now.sales
            .push(bought_and_sold("B-2", "30.00", "2026-05-05", "80.00"));
        now.sales
            .push(bought_and_sold("B-3", "10.00", "2026-08-05", "50.00"));
    });
    let figures = |records: &Records, name| {
        let report = records.report(name, "2026-09-30");
        [report.brought_forward, report.due, report.carried_forward]
    };
    let three = |texts: [&str; 3]| texts.map(money);
    // Without a change: 80.00 - 30.00 - 60.00, then 50.00 - 10.00 - 10.00.
    assert_eq!(
        figures(&records, "2026-Q2"),
        three(["60.00", "0.00", "10.00"])
    );
    assert_eq!(
        figures(&records, "2026-Q3"),
        three(["10.00", "30.00", "0.00"])
    );
    records.changes = vec![
        rule("2026-04-01", Give::Price, 10_000, &[(A, 1)]),
        rule("2026-07-01", Give::Net, 10_000, &[(A, 1)]),
    ];
    assert_eq!(
        figures(&records, "2026-Q1"),
        three(["0.00", "0.00", "60.00"])
    );
    assert_eq!(
        figures(&records, "2026-Q2"),
        three(["0.00", "80.00", "0.00"])
    );
    assert_eq!(
        figures(&records, "2026-Q3"),
        three(["0.00", "40.00", "0.00"])
    );
}

/// A closed quarter of `give price` is corrected under `give net`: its costs did not count
/// then and do not count now. The share is that of the quarter in which it shows.
#[test]
fn a_correction_goes_by_the_rule_of_the_quarter_that_is_corrected() {
    let mut records = Records::new(Give::Price, 10_000).named(A, 1);
    records.on("2026-03-31", |now| {
        now.sales
            .push(bought_and_sold("B-1", "40.00", "2026-02-10", "100.00"));
    });
    records.close(quarter("2026-Q1"), day("2026-04-10"));
    records.changes = vec![rule("2026-04-01", Give::Net, 5_000, &[(A, 1)])];
    records.on("2026-05-01", |now| {
        now.costs
            .push(cost("B-1", "2026-02-01", CostKind::Part, "7.00"));
        now.sales.push(sale("B-9", "2026-03-02", "20.00"));
    });
    let report = records.report("2026-Q2", "2026-06-30");
    let amounts: Vec<(Option<&str>, Money)> = report
        .corrections
        .iter()
        .map(|one| (one.bike.as_deref(), one.amount))
        .collect();
    assert_eq!(
        amounts,
        [(Some("B-1"), Money::ZERO), (Some("B-9"), money("20.00"))]
    );
    // Half of 20.00; all of it at the share of then. B-1's cost changes no due.
    assert_eq!(report.due, money("10.00"));
    let told = QuarterCaution::OtherShare {
        of: quarter("2026-Q1"),
        bikes: vec!["B-9".into()],
        shares: [10_000, 5_000],
        more: money("10.00"),
    };
    assert!(report.cautions.contains(&told), "{:?}", report.cautions);
    // Who sees no costs sees no part of a due that would tell them, the other way round.
    assert!(!report.gives_price_alone());
    records.changes.clear();
    assert!(records.report("2026-Q2", "2026-06-30").gives_price_alone());
}

#[test]
fn what_was_handed_over_does_so_much_by_the_latest_figure_up_to_the_day() {
    let mut records = Records::new(Give::Price, 10_000).named(A, 1).named(B, 1);
    let means = |who: &str, on: &str, amount: &str| Means {
        beneficiary: who.to_string(),
        on: day(on),
        unit: "meal".into(),
        units: "meals".into(),
        amount: money(amount),
    };
    records.means = vec![
        means(A, "2026-01-10", "2.00"),
        means(A, "2026-05-02", "2.50"),
        means(A, "2026-05-02", "2.40"),
        means(B, "2026-01-10", "40.00"),
    ];
    records.on("2026-05-02", |now| {
        now.sales.push(sale("B-1", "2026-04-10", "300.00"));
        now.gifts.push(gift("2026-04-20", A, "178.00"));
        now.gifts.push(gift("2026-04-21", B, "39.99"));
        now.gifts.push(gift("2026-04-22", "Choir", "50.00"));
    });
    let meant = |as_of: &str| -> Vec<(String, Money, i64)> {
        let of = |one: &Meant| (one.means.beneficiary.clone(), one.means.amount, one.count);
        records
            .report("2026-Q2", as_of)
            .meant
            .iter()
            .map(of)
            .collect()
    };
    // 178.00 / 2.40 is 74.2; less than one is not told, and nobody else has a figure.
    assert_eq!(meant("2026-05-02"), [(A.to_string(), money("2.40"), 74)]);
    assert_eq!(meant("2026-05-01"), [(A.to_string(), money("2.00"), 89)]);
    assert_eq!(meant("2026-04-19"), []);
}

/// Sold for 100 when half of the price was due, 50; taken back when all that is left is:
/// 100 goes off, and no cost is given back, as none was taken off. At the half of then 50
/// less would go off.
#[test]
fn what_comes_back_of_a_quarter_with_another_rule() {
    let mut records = Records::new(Give::Price, 5_000).named(A, 1);
    records.changes = vec![rule("2026-04-01", Give::Net, 10_000, &[(A, 1)])];
    records.on("2026-05-10", |now| {
        let mut back = bought_and_sold("B-1", "40.00", "2026-02-10", "100.00");
        back.returns.push(Return {
            bike: "B-1".into(),
            on: day("2026-05-05"),
            refund: money("100.00"),
            back: back.sold.take(),
        });
        now.sales.push(back);
        now.sales
            .push(bought_and_sold("B-2", "10.00", "2026-05-01", "150.00"));
    });
    assert_eq!(
        records.report("2026-Q1", "2026-06-30").due,
        money("50.00"),
        "half of 100"
    );
    let report = records.report("2026-Q2", "2026-06-30");
    assert_eq!(report.returns[0].cost_back, Money::ZERO);
    // 150 - 10 - 100.
    assert_eq!(report.due, money("40.00"));
    let told = QuarterCaution::OtherShare {
        of: quarter("2026-Q1"),
        bikes: vec!["B-1".into()],
        shares: [5_000, 10_000],
        more: money("50.00"),
    };
    assert!(report.cautions.contains(&told), "{:?}", report.cautions);
    // Of what is left both times: 100 less the cost of 40 go off, 30 more than at the half.
    records.giving.give = Give::Net;
    let report = records.report("2026-Q2", "2026-06-30");
    assert_eq!(report.returns[0].cost_back, money("40.00"));
    // 150 - 10 - 100 + 40.
    assert_eq!(report.due, money("80.00"));
    let told = QuarterCaution::OtherShare {
        of: quarter("2026-Q1"),
        bikes: vec!["B-1".into()],
        shares: [5_000, 10_000],
        more: money("30.00"),
    };
    assert!(report.cautions.contains(&told), "{:?}", report.cautions);
    records.giving.give = Give::Price;
    // Under one rule the cost goes back into stock, and there is nothing to say.
    records.changes.clear();
    let report = records.report("2026-Q2", "2026-06-30");
    assert_eq!(report.returns[0].cost_back, money("40.00"));
    assert_eq!(report.due, money("25.00"));
    let other = |one: &QuarterCaution| matches!(one, QuarterCaution::OtherShare { .. });
    assert!(!report.cautions.iter().any(other));
}
