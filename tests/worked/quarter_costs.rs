//! A cost counted once: which costs a quarter counts, by hand.

use super::quarter_records::{Records, cost, day, money, sale};
use wheelworth::accounts::{DirectCost, QuarterCaution, QuarterReport};
use wheelworth::trade::{Cost, CostKind, Give, Money, Sale};

fn boxed(cost: Cost) -> Cost {
    Cost {
        from_box: true,
        ..cost
    }
}

/// All four columns of the sales, 100.00 + 20.00 + 5.00 + 3.00 = 128.00.
fn with_columns(id: &str, on: &str, price: &str) -> Sale {
    Sale {
        purchase: Some(money("100.00")),
        parts: Some(money("20.00")),
        fees: Some(money("5.00")),
        other_cost: Some(money("3.00")),
        ..sale(id, on, price)
    }
}

fn only_cost(sales: Vec<Sale>, costs: Vec<Cost>) -> QuarterReport {
    let mut records = Records::new(Give::Net, 10_000);
    records.on("2026-06-30", |now| (now.sales, now.costs) = (sales, costs));
    records.report("2026-Q1", "2026-06-30")
}

fn replaced(column: &'static str, said: &str, counted: &str) -> QuarterCaution {
    QuarterCaution::Replaced {
        bike: "B".into(),
        column,
        said: money(said),
        counted: money(counted),
    }
}

#[test]
fn each_kind_of_cost_replaces_its_own_column() {
    use CostKind::{Fee, Other, Part, Purchase, Supply, Travel};
    let told = |caution: &QuarterCaution| matches!(caution, QuarterCaution::Replaced { .. });
    type Rows = &'static [(CostKind, &'static str)];
    // Kinds and amounts of the rows, what is counted then, and the difference.
    let cases: [(Rows, &str, Option<QuarterCaution>); 9] = [
        (&[], "128.00", None),
        // 90.00 + 20.00 + 5.00 + 3.00.
        (
            &[(Purchase, "90.00")],
            "118.00",
            Some(replaced("purchase", "100.00", "90.00")),
        ),
        // 100.00 + (4.00 + 2.50) + 5.00 + 3.00: parts and supplies together.
        (
            &[(Part, "4.00"), (Supply, "2.50")],
            "114.50",
            Some(replaced("parts", "20.00", "6.50")),
        ),
        (
            &[(Supply, "2.50")],
            "110.50",
            Some(replaced("parts", "20.00", "2.50")),
        ),
        (
            &[(Fee, "7.00")],
            "130.00",
            Some(replaced("fees", "5.00", "7.00")),
        ),
        // 100.00 + 20.00 + 5.00 + (1.00 + 1.00).
        (
            &[(Travel, "1.00"), (Other, "1.00")],
            "127.00",
            Some(replaced("other_cost", "3.00", "2.00")),
        ),
        // The same sum: replaced, and no difference to tell.
        (&[(Part, "12.00"), (Part, "8.00")], "128.00", None),
        // Two identical rows are two costs.
        (
            &[(Fee, "5.00"), (Fee, "5.00")],
            "133.00",
            Some(replaced("fees", "5.00", "10.00")),
        ),
        // A row of 0.00 is a row: the column counts no more.
        (
            &[(Purchase, "0.00")],
            "28.00",
            Some(replaced("purchase", "100.00", "0.00")),
        ),
    ];
    for (rows, counted, difference) in cases {
        let costs = rows
            .iter()
            .map(|(kind, amount)| cost("B", "2026-01-20", *kind, amount));
        let bike = with_columns("B", "2026-03-01", "200.00");
        let report = only_cost(vec![bike], costs.collect());
        let [line] = report.sales.as_slice() else {
            panic!("{:?}", report.sales)
        };
        assert_eq!(line.direct_cost, money(counted), "{rows:?}");
        let margin = money("200.00").minor() - money(counted).minor();
        assert_eq!(line.margin.minor(), margin, "{rows:?}");
        assert_eq!(report.due.minor(), margin, "{rows:?}");
        let cautions: Vec<QuarterCaution> = report.cautions.into_iter().filter(told).collect();
        assert_eq!(cautions, Vec::from_iter(difference), "{rows:?}");
    }
}

#[test]
fn a_box_row_replaces_nothing_and_is_listed_with_its_value() {
    let rows = vec![
        boxed(cost("B", "2026-02-03", CostKind::Part, "9.00")),
        boxed(cost("", "2026-01-02", CostKind::Supply, "4.00")),
        // Of another quarter, and of a bike that is not sold.
        boxed(cost("B", "2026-04-01", CostKind::Part, "1.00")),
        boxed(cost("on hand", "2026-03-31", CostKind::Part, "2.00")),
    ];
    let unsold = Sale {
        sold: None,
        ..with_columns("on hand", "2026-03-01", "0.00")
    };
    let bike = with_columns("B", "2026-03-01", "200.00");
    let report = only_cost(vec![unsold, bike], rows.clone());
    assert_eq!(report.sales.len(), 1);
    assert_eq!(report.sales[0].direct_cost, money("128.00"));
    assert_eq!(report.workshop_costs, Money::ZERO);
    assert!(report.workshop.is_empty());
    assert_eq!(report.due, money("72.00"));
    let expected = [&rows[1], &rows[0], &rows[3]].map(Clone::clone);
    assert_eq!(report.from_box, expected);
}

#[test]
fn a_purchase_that_nobody_wrote_down_counts_nothing_with_a_caution() {
    let unknown = Sale {
        fees: Some(money("6.00")),
        ..sale("B", "2026-03-01", "50.00")
    };
    // Paid nothing for: known.
    let found = Sale {
        purchase: Some(Money::ZERO),
        ..sale("C", "2026-03-01", "50.00")
    };
    // Known from the list of costs only.
    let listed = sale("D", "2026-03-01", "50.00");
    let costs = vec![cost("D", "2026-01-05", CostKind::Purchase, "10.00")];
    let report = only_cost(vec![listed, found, unknown], costs);
    let counted: Vec<Money> = report.sales.iter().map(|line| line.direct_cost).collect();
    assert_eq!(counted, ["6.00", "0.00", "10.00"].map(money));
    // 44.00 + 50.00 + 40.00.
    assert_eq!(report.due, money("134.00"));
    let bikes = vec!["B".to_string()];
    assert!(
        report
            .cautions
            .contains(&QuarterCaution::NoPurchase { bikes })
    );
    let nothing = DirectCost::of(&sale("E", "2026-03-01", "1.00"), []);
    assert_eq!((nothing.known(), nothing.total()), (None, Money::ZERO));
}

#[test]
fn a_cost_of_the_workshop_counts_in_the_quarter_of_its_day() {
    let mut records = Records::new(Give::Net, 10_000);
    records.on("2026-06-30", |now| {
        now.sales.push(sale("B", "2026-03-31", "50.00"));
        now.costs
            .push(cost("", "2026-04-01", CostKind::Purchase, "8.00"));
        now.costs
            .push(cost("", "2026-03-31", CostKind::Travel, "5.00"));
        now.costs
            .push(cost("", "2026-01-01", CostKind::Supply, "1.00"));
    });
    let first = records.report("2026-Q1", "2026-06-30");
    assert_eq!(first.workshop_costs, money("6.00"));
    let days: Vec<_> = first.workshop.iter().map(|cost| cost.on).collect();
    assert_eq!(days, [day("2026-01-01"), day("2026-03-31")]);
    assert_eq!(first.due, money("44.00"));
    let second = records.report("2026-Q2", "2026-06-30");
    // Nothing sold: 8.00 short.
    assert_eq!(second.workshop_costs, money("8.00"));
    assert_eq!(second.carried_forward, money("8.00"));
}

/// The day of a bike's cost says nothing about its quarter, only whether it is
/// known by the day of the answer.
#[test]
fn a_cost_counts_in_the_quarter_of_its_bikes_sale() {
    let mut records = Records::new(Give::Net, 10_000);
    records.on("2026-12-31", |now| {
        now.sales.push(sale("B", "2026-03-31", "50.00"));
        now.costs
            .push(cost("B", "2024-05-05", CostKind::Purchase, "10.00"));
        now.costs
            .push(cost("B", "2026-05-20", CostKind::Part, "7.00"));
        // Never sold: counts nowhere.
        let on_hand = Sale {
            sold: None,
            ..sale("on hand", "2026-01-01", "0.00")
        };
        now.sales.push(on_hand);
        now.costs
            .push(cost("on hand", "2026-02-02", CostKind::Part, "99.00"));
    });
    let due = |as_of: &str| records.report("2026-Q1", as_of).due;
    assert_eq!(due("2026-05-20"), money("33.00"));
    // The day before, the part had not been paid for.
    assert_eq!(due("2026-05-19"), money("40.00"));
    // And the day before its sale, the bike was not sold.
    assert_eq!(due("2026-03-30"), Money::ZERO);
    let second = records.report("2026-Q2", "2026-12-31");
    assert_eq!(second.due, Money::ZERO);
    assert_eq!(second.workshop_costs, Money::ZERO);
    assert_eq!(second.carried_forward, Money::ZERO);
}
