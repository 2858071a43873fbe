//! The day for which an ask speaks, and how long it stood, by hand.
//!
//! Listed on 1 March, last seen on 21 March: 20 days. An ask that never changed speaks for
//! the middle, 11 March, and stood 20 days: ln(21 / 22). One that was lowered was set in
//! the middle between the two looks, on 11 March, stood 10 days, ln(11 / 22), and speaks for
//! 16 March. What a buyer paid speaks for its own day.

use crate::support::records::{self, units};
use crate::support::tolerance::assert_near;
use wheelworth::pricing::records::observation::{Observation, of_comp};
use wheelworth::trade::{Comparable, Currency, Day, Money, Outcome, Style};

const LISTED: Day = Day::constant(2026, 3, 1);
const LAST: Day = Day::constant(2026, 3, 21);

fn comp() -> Comparable {
    Comparable {
        listed_on: Some(LISTED),
        first_seen: Some(LISTED),
        last_seen: Some(LAST),
        outcome: Outcome::Gone,
        ..records::comp("c", Style::City, units(120))
    }
}

#[track_caller]
fn speaks(comp: &Comparable, day: Day, stood: f64) {
    let euro = Currency::from_code("EUR").unwrap();
    let as_of = Day::constant(2026, 5, 2);
    let seen: Observation = of_comp(comp, 1.0, as_of, &euro).unwrap();
    assert_eq!(seen.day, day);
    assert_near("stood", seen.stood, stood, 1e-12);
}

#[test]
fn an_ask_speaks_for_the_middle_of_its_days() {
    speaks(&comp(), Day::constant(2026, 3, 11), (21.0_f64 / 22.0).ln());
    let same = Comparable {
        last_ask: Some(Money::from_minor(12_000)),
        ..comp()
    };
    speaks(&same, Day::constant(2026, 3, 11), (21.0_f64 / 22.0).ln());
    let lowered = Comparable {
        last_ask: Some(Money::from_minor(10_000)),
        ..comp()
    };
    speaks(&lowered, Day::constant(2026, 3, 16), (11.0_f64 / 22.0).ln());
}

#[test]
fn a_price_that_was_paid_speaks_for_its_own_day() {
    let paid = Comparable {
        outcome: Outcome::Sold,
        sold_price: Some(Money::from_minor(9_500)),
        ..comp()
    };
    speaks(&paid, LAST, 0.0);
}

/// Seen once: of a listing whose day is known it stood no time yet, of another it is taken
/// to have stood as asks usually do.
#[test]
fn an_ask_that_was_seen_once() {
    let once = Comparable {
        first_seen: Some(LISTED),
        last_seen: Some(LISTED),
        ..comp()
    };
    speaks(&once, LISTED, (1.0_f64 / 22.0).ln());
    let unknown = Comparable {
        listed_on: None,
        ..once
    };
    speaks(&unknown, LISTED, 0.0);
}
