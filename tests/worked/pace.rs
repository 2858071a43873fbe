//! What a week on hand has earned, by hand.
//!
//! One bike left 40 of 100 after 10 weeks, one 120 of 200 after 5: mean price 150. Beside
//! them stand eight bikes that left 40 % of that price at 3 % a week:
//!
//!   earned  40 + 120 + 8 · 0.40 · 150            =    640
//!   held    100 · 10 + 200 · 5 + 8 · (0.40 / 0.03) · 150 = 18,000
//!   a week  640 / 18,000 = 0.0355556, of 150 that is 5.3333

use crate::support::tolerance::assert_near;
use wheelworth::pricing::asking::pace::{Earned, Turn};

fn turn(price: f64, margin: f64, weeks: f64) -> Turn {
    Turn {
        price,
        margin,
        weeks,
    }
}

#[test]
fn two_bikes_beside_the_belief() {
    let earned = Earned::of(&[turn(100.0, 40.0, 10.0), turn(200.0, 120.0, 5.0)]).unwrap();
    assert_near("rate", earned.rate, 0.035_555_6, 1e-7);
    assert_near("a week", earned.a_week, 5.333_333, 1e-6);
    assert_eq!(earned.bikes, 2);
    assert_near("counted", earned.week_cost(), earned.rate, 0.0);
}

/// Bikes that leave 40 % after 13 1/3 weeks are the belief itself; quick ones reach the
/// most that waiting is counted at, losses the least.
#[test]
fn it_is_kept_between_one_and_five_percent() {
    let as_believed = Earned::of(&[turn(90.0, 36.0, 0.4 / 0.03)]).unwrap();
    assert_near("believed", as_believed.rate, 0.03, 1e-12);
    let quick = Earned::of(&vec![turn(100.0, 60.0, 2.0); 60]).unwrap();
    assert!(quick.rate > 0.05);
    assert_near("most", quick.week_cost(), 0.05, 0.0);
    let losses = Earned::of(&vec![turn(100.0, -30.0, 20.0); 60]).unwrap();
    assert!(losses.rate < 0.01);
    assert_near("least", losses.week_cost(), 0.01, 0.0);
    assert_eq!(Earned::of(&[]), None);
}
