//! Quarters of donated proceeds, by hand. The definitions are the workshop's own
//! rule as README states it; no outside source.

use super::quarter_records::{Records, bought_and_sold, cost, day, gift, money, quarter, sale};
use wheelworth::accounts::{QuarterCaution, QuarterReport};
use wheelworth::trade::{CostKind, Currency, Gift, Give, Money, Quarter, Sale};

const ROOM: &str = "Ferry Lane Reading Room";

/// Opening, due, given and closing of the whole.
fn balance(report: &QuarterReport) -> [Money; 4] {
    [report.opening, report.due, report.given, report.closing]
}

/// The same of each beneficiary, with the name.
fn balances(report: &QuarterReport) -> Vec<(&str, [Money; 4])> {
    let each = report.beneficiaries.iter();
    each.map(|one| {
        let four = [one.opening, one.due, one.given, one.closing];
        (one.name.as_str(), four)
    })
    .collect()
}

fn moneys<const N: usize>(texts: [&str; N]) -> [Money; N] {
    texts.map(money)
}

fn dues(report: &QuarterReport) -> Vec<(&str, Money)> {
    let lines = report.sales.iter();
    lines.map(|line| (line.id.as_str(), line.due)).collect()
}

/// The report that the README shows: 12.00 owed from the quarter before, one
/// bike, 18.00 of workshop costs, a gift of 60.00.
#[test]
fn one_bike_one_gift_and_something_owed_before() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    records.on("2026-06-30", |now| {
        // The quarter before: 52.00 - 40.00 = 12.00, all of it due, none given.
        now.sales
            .push(bought_and_sold("B-2", "40.00", "2026-02-10", "52.00"));
        // 30.00 + 12.50 = 42.50.
        now.sales.push(Sale {
            parts: Some(money("12.50")),
            hours: Some(450),
            ..bought_and_sold("B-7", "30.00", "2026-04-11", "150.00")
        });
        let workshop = cost("", "2026-05-05", CostKind::Supply, "18.00");
        now.costs.push(workshop);
        now.gifts.push(Gift {
            reference: Some("T-113".into()),
            ..gift("2026-06-20", ROOM, "60.00")
        });
    });
    let report = records.report("2026-Q2", "2026-06-30");
    assert_eq!(report.from, day("2026-04-01"));
    assert_eq!(report.to, day("2026-06-30"));
    let [line] = report.sales.as_slice() else {
        panic!("{:?}", report.sales)
    };
    assert_eq!((line.id.as_str(), line.sold_on), ("B-7", day("2026-04-11")));
    let figures = [line.sold_price, line.direct_cost, line.margin, line.due];
    // 150.00 - 42.50 = 107.50; its due is all of the quarter's: 107.50 - 18.00.
    assert_eq!(figures, moneys(["150.00", "42.50", "107.50", "89.50"]));
    assert_eq!(line.hours, Some(450));
    assert_eq!(report.workshop_costs, money("18.00"));
    assert_eq!(report.brought_forward, Money::ZERO);
    assert_eq!(report.carried_forward, Money::ZERO);
    // 12.00 + 89.50 - 60.00 = 41.50.
    let expected = moneys(["12.00", "89.50", "60.00", "41.50"]);
    assert_eq!(balance(&report), expected);
    assert_eq!(balances(&report), [(ROOM, expected)]);
    assert_eq!(report.gifts.len(), 1);
    assert_eq!(report.gifts[0].amount, money("60.00"));
    assert!(report.from_box.is_empty() && report.corrections.is_empty());
    assert_eq!(
        report.cautions,
        [QuarterCaution::NoInspections, QuarterCaution::NotAdvice]
    );
}

/// `give net`, a share of 33.33 %, two beneficiaries 70 and 30. Two quarters
/// end short, the third makes up for both; the share is taken of what is left.
#[test]
fn a_shortfall_goes_through_two_quarters_and_is_used_up_in_the_third() {
    let mut records = Records::new(Give::Net, 3333)
        .named("Reading Room", 70)
        .named("Night Kitchen", 30);
    records.on("2026-09-30", |now| {
        let sales = [
            bought_and_sold("A", "160.00", "2026-01-15", "100.00"), // -60.00
            bought_and_sold("B", "50.00", "2026-04-15", "90.00"),   //  40.00
            bought_and_sold("C", "20.00", "2026-07-10", "70.00"),   //  50.00
            bought_and_sold("D", "30.00", "2026-07-20", "61.00"),   //  31.00
            bought_and_sold("E", "26.00", "2026-07-30", "25.00"),   //  -1.00
        ];
        now.sales.extend(sales);
        now.costs
            .push(cost("", "2026-03-31", CostKind::Supply, "5.01"));
    });
    let first = records.report("2026-Q1", "2026-09-30");
    // -60.00 - 5.01 = -65.01: nothing is due, the whole of it is carried.
    assert_eq!(balance(&first), [Money::ZERO; 4]);
    assert_eq!(first.carried_forward, money("65.01"));
    let short = QuarterCaution::Shortfall {
        amount: money("65.01"),
    };
    assert!(first.cautions.contains(&short));
    assert_eq!(dues(&first), [("A", Money::ZERO)]);

    let second = records.report("2026-Q2", "2026-09-30");
    // 40.00 - 65.01 = -25.01.
    assert_eq!(second.brought_forward, money("65.01"));
    assert_eq!(second.carried_forward, money("25.01"));
    // Its bike has a margin, but nothing is due to split.
    assert_eq!(dues(&second), [("B", Money::ZERO)]);

    let third = records.report("2026-Q3", "2026-09-30");
    assert_eq!(third.brought_forward, money("25.01"));
    assert_eq!(third.carried_forward, Money::ZERO);
    // 50.00 + 31.00 - 1.00 - 25.01 = 54.99; × 0.3333 = 18.328167, so 18.33.
    assert_eq!(balance(&third), moneys(["0.00", "18.33", "0.00", "18.33"]));
    // 1833 × 5000/8100 = 1131.48, × 3100/8100 = 701.52; the cent left over goes
    // to D. A margin below 0 has no part in it.
    let expected = [("C", "11.31"), ("D", "7.02"), ("E", "0.00")];
    assert_eq!(dues(&third), expected.map(|(id, due)| (id, money(due))));
    // 1833 × 0.7 = 1283.1, × 0.3 = 549.9: the cent left over goes to the second.
    let expected = [
        ("Reading Room", moneys(["0.00", "12.83", "0.00", "12.83"])),
        ("Night Kitchen", moneys(["0.00", "5.50", "0.00", "5.50"])),
    ];
    assert_eq!(balances(&third), expected);
}

/// `give price`, half of it, a half cent up. Costs change nothing.
#[test]
fn half_a_cent_is_rounded_up_and_costs_do_not_count() {
    let mut records = Records::new(Give::Price, 5000);
    records.on("2026-03-31", |now| {
        let sales = [
            bought_and_sold("A", "999.00", "2026-01-15", "75.01"),
            sale("B", "2026-01-16", "50.00"),
        ];
        now.sales.extend(sales);
        now.costs
            .push(cost("", "2026-02-01", CostKind::Other, "300.00"));
    });
    let report = records.report("2026-Q1", "2026-03-31");
    // 125.01 / 2 = 62.505, so 62.51.
    assert_eq!(balance(&report), moneys(["0.00", "62.51", "0.00", "62.51"]));
    // 6251 × 7501/12501 = 3750.80, × 5000/12501 = 2500.20.
    assert_eq!(
        dues(&report),
        [("A", money("37.51")), ("B", money("25.00"))]
    );
    assert_eq!(report.sales[0].margin, money("-923.99"));
    assert_eq!(report.workshop_costs, money("300.00"));
    assert_eq!(report.brought_forward, Money::ZERO);
    assert_eq!(report.carried_forward, Money::ZERO);
    // Nobody is named: it is due, to nobody by name.
    assert!(report.beneficiaries.is_empty());
    assert!(report.cautions.contains(&QuarterCaution::NobodyNamed));
}

/// The odd cent of equals goes to the bike that stands first: by day, then by
/// the bytes of the id, in which `B-10` comes before `B-9`, and `b` after both.
#[test]
fn bikes_of_one_day_stand_by_the_bytes_of_their_ids() {
    let mut records = Records::new(Give::Price, 5000);
    records.on("2026-03-31", |now| {
        for id in ["b-1", "B-9", "B-10"] {
            now.sales.push(sale(id, "2026-01-15", "0.03"));
        }
        now.sales.push(sale("Z", "2026-01-14", "0.03"));
    });
    let report = records.report("2026-Q1", "2026-03-31");
    // 12 cents, half of it 6: 1.5 each; one each, and the two left to the first two.
    let cents = |(id, due): (&'static str, i64)| (id, Money::from_minor(due));
    let expected = [("Z", 2), ("B-10", 2), ("B-9", 1), ("b-1", 1)];
    assert_eq!(dues(&report), expected.map(cents));
}

/// A year from July: named by the calendar year it starts in.
#[test]
fn a_year_from_july_has_its_first_quarter_in_summer() {
    let days = [
        ("2026-Q1", "2026-07-01", "2026-09-30"),
        ("2026-Q2", "2026-10-01", "2026-12-31"),
        ("2026-Q3", "2027-01-01", "2027-03-31"),
        ("2026-Q4", "2027-04-01", "2027-06-30"),
        ("2027-Q1", "2027-07-01", "2027-09-30"),
    ];
    let mut records = Records::new(Give::Price, 10_000);
    records.giving.year_starts = 7;
    records.on("2027-12-31", |now| {
        for (place, (_, from, to)) in days.iter().enumerate() {
            // A bike on its first day and one on its last, 1.00 and 2.00 in the
            // first quarter, and so on.
            let (one, two) = (format!("{}.00", place + 1), format!("{}.00", place + 2));
            now.sales.push(sale(&format!("first {place}"), from, &one));
            now.sales.push(sale(&format!("last {place}"), to, &two));
        }
    });
    for (place, (name, from, to)) in days.into_iter().enumerate() {
        let report = records.report(name, "2027-12-31");
        assert_eq!((report.from, report.to), (day(from), day(to)), "{name}");
        assert_eq!(report.sales.len(), 2, "{name}");
        let due = money(&format!("{}.00", 2 * place + 3));
        assert_eq!(report.due, due, "{name}");
        assert_eq!(quarter(name).to_string(), name);
    }
    // February of a leap year, in a year from December: Q1 is December 2027 to
    // February 2028.
    let q = Quarter::new(2027, 1).unwrap();
    assert_eq!(q.first_day(12), day("2027-12-01"));
    assert_eq!(q.last_day(12), day("2028-02-29"));
    // From February, January belongs to the year before.
    assert_eq!(Quarter::of(day("2026-01-31"), 2), quarter("2025-Q4"));
    assert_eq!(Quarter::of(day("2026-02-01"), 2), quarter("2026-Q1"));
}

/// Money handed over before any of it was due stays as it is, below 0, and is
/// used up by what is due later. Somebody else gets a line with nothing due.
#[test]
fn money_given_ahead_stays_below_nothing_until_it_is_due() {
    let mut records = Records::new(Give::Price, 10_000).named(ROOM, 3);
    records.on("2026-06-30", |now| {
        now.gifts.push(gift("2026-02-01", ROOM, "80.00"));
        now.gifts.push(gift("2026-02-02", "Choir", "5.00"));
        now.sales.push(sale("A", "2026-03-01", "20.00"));
        now.sales.push(sale("B", "2026-05-01", "100.00"));
    });
    let first = records.report("2026-Q1", "2026-06-30");
    // 0 + 20.00 - 85.00 = -65.00.
    let expected = moneys(["0.00", "20.00", "85.00", "-65.00"]);
    assert_eq!(balance(&first), expected);
    let expected = [
        (ROOM, moneys(["0.00", "20.00", "80.00", "-60.00"])),
        ("Choir", moneys(["0.00", "0.00", "5.00", "-5.00"])),
    ];
    assert_eq!(balances(&first), expected);
    let ahead = |who: &str, by: &str| QuarterCaution::GivenAhead {
        beneficiary: Some(who.to_string()),
        by: money(by),
    };
    assert!(first.cautions.contains(&ahead(ROOM, "60.00")));
    assert!(first.cautions.contains(&ahead("Choir", "5.00")));
    let second = records.report("2026-Q2", "2026-06-30");
    // -65.00 + 100.00 = 35.00; of it 40.00 to the one, the other stays at -5.00.
    let expected = moneys(["-65.00", "100.00", "0.00", "35.00"]);
    assert_eq!(balance(&second), expected);
    let expected = [
        (ROOM, moneys(["-60.00", "100.00", "0.00", "40.00"])),
        ("Choir", moneys(["-5.00", "0.00", "0.00", "-5.00"])),
    ];
    assert_eq!(balances(&second), expected);
}

/// Yen have no decimals and dinars of Kuwait three (ISO 4217): the sums are of
/// whole yen and whole fils. A large gift is 250 units of a currency, told only
/// where there is a minor unit.
#[test]
fn yen_and_fils_are_the_smallest_parts() {
    for (code, price, half, large) in [
        ("JPY", "15001", "7501", None),
        ("KWD", "15.001", "7.501", Some("250.000")),
    ] {
        let mut records = Records::new(Give::Price, 5000).named(ROOM, 1);
        let currency = Currency::from_code(code).unwrap();
        records.minor_per_unit = currency.scale();
        records.on("2026-03-31", |now| {
            now.sales.push(sale("A", "2026-01-15", price));
            now.gifts.push(gift("2026-02-01", ROOM, "249.999"));
            now.gifts.push(gift("2026-02-02", ROOM, "250.000"));
        });
        let report = records.report("2026-Q1", "2026-03-31");
        // Half of 15001 minor units is 7500.5: up.
        assert_eq!(currency.plain(report.due), half, "{code}");
        let told: Vec<Money> = report
            .cautions
            .iter()
            .filter_map(|caution| match caution {
                QuarterCaution::LargeGift { gift } => Some(gift.amount),
                _ => None,
            })
            .collect();
        assert_eq!(told, Vec::from_iter(large.map(money)), "{code}");
        assert_eq!(report.closing.minor(), 7501 - 499_999, "{code}");
    }
}

/// All zeros before the first record, and the same balances for ever after the
/// last.
#[test]
fn before_the_first_record_all_is_zero_and_after_the_last_nothing_changes() {
    let mut records = Records::new(Give::Net, 10_000).named(ROOM, 1);
    records.on("2026-03-31", |now| {
        let loss = bought_and_sold("A", "30.00", "2026-01-15", "20.00");
        now.sales.push(loss);
        now.gifts.push(gift("2026-02-01", ROOM, "7.00"));
    });
    for name in ["2025-Q4", "1900-Q1"] {
        let before = records.report(name, "2026-03-31");
        assert_eq!(balance(&before), [Money::ZERO; 4]);
        assert_eq!(balances(&before), [(ROOM, [Money::ZERO; 4])]);
        assert!(before.course.is_empty() && before.sales.is_empty());
    }
    for name in ["2026-Q2", "2031-Q4"] {
        let after = records.report(name, "2026-03-31");
        let expected = moneys(["-7.00", "0.00", "0.00", "-7.00"]);
        assert_eq!(balance(&after), expected);
        assert_eq!(after.brought_forward, money("10.00"));
        assert_eq!(after.carried_forward, money("10.00"));
        let not_begun = |c: &QuarterCaution| matches!(c, QuarterCaution::NotBegun { .. });
        assert!(after.cautions.iter().any(not_begun));
    }
}
