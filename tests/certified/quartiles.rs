//! The convention of the market's quartiles: straight lines between the sorted
//! values, definition 7 of Hyndman & Fan 1996, The American Statistician
//! 50:361-365.
//!
//! Expected values: numpy 2.4.6, `quantile(x, q, method="linear")`; definition 6
//! is its `method="weibull"`. For stack loss (Brownlee 1965, see `stackloss.rs`)
//! R's `summary` prints 11, 15 and 19, too (from memory).

use crate::support::records;
use wheelworth::pricing::Priors;
use wheelworth::pricing::market::places::By;
use wheelworth::pricing::market::{MarketQuestion, market};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::{Comparable, Currency, Day, Money, Style};

/// Quartiles of asks in whole units, in cents.
fn quartiles(asks: &[f64]) -> [i64; 3] {
    let day = Day::constant(2026, 4, 1);
    let comps = asks.iter().zip(0..).map(|(ask, number): (&f64, i32)| {
        let ask = Money::from_minor((ask * 100.0).round() as i64);
        let comp = Comparable {
            first_seen: Some(day),
            last_seen: Some(day),
            ..records::comp(number.to_string(), Style::City, ask)
        };
        (comp, 1.0)
    });
    let records = InMemory {
        comps: comps.collect(),
        ..InMemory::default()
    };
    let question = MarketQuestion {
        as_of: day,
        currency: Currency::from_code("EUR").unwrap(),
        style: None,
        top: 10,
        level: 0.8,
    };
    let found = market(&records, Priors::shipped(), &question).unwrap();
    let asks = found.table(By::All)[0].row.asks.unwrap();
    [asks.low, asks.median, asks.high].map(Money::minor)
}

#[test]
fn quartiles_are_those_of_definition_7() {
    // Means of two neighbours and quarter ways between them, in cents; 97.495 and
    // 168.625 are rounded half away from zero.
    let seven = [95.0, 120.5, 64.0, 310.0, 187.25, 150.0, 99.99];
    assert_eq!(quartiles(&seven), [9750, 12050, 16863]);
    let ten = [
        35.0, 48.0, 52.0, 60.0, 75.0, 80.0, 110.0, 140.0, 155.0, 500.0,
    ];
    assert_eq!(quartiles(&ten), [5400, 7750, 13250]);
    // Definition 6 would say 51.00 and 143.75 here, and 80 and 200 below.
    assert_eq!(quartiles(&[80.0, 200.0]), [11000, 14000, 17000]);
    assert_eq!(quartiles(&[80.0]), [8000, 8000, 8000]);
}

#[test]
fn quartiles_of_stack_loss() {
    let loss = [
        42.0, 37.0, 37.0, 28.0, 18.0, 18.0, 19.0, 20.0, 15.0, 14.0, 14.0, 13.0, 11.0, 12.0, 8.0,
        7.0, 8.0, 8.0, 9.0, 15.0, 15.0,
    ];
    // Definition 6: 10, 15, 19.5.
    assert_eq!(quartiles(&loss), [1100, 1500, 1900]);
}
