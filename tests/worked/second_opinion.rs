//! What a new price tells beside the fit, by hand.
//!
//! An empty book in euros, the base bike (hybrid, model year 2018, condition 3, tier 2,
//! size M) on 1 July 2026, new at 1,000. Such a bike is usually new at 170 · e^0.9 =
//! 418.1325, so 1,000 is ln(1,000 / 418.1325) = 0.871957 above its like.
//!
//!   first   ln 170 + 0.75 · 0.871957 = 5.135798 + 0.653968 = 5.789766
//!           variance: level 0.5² = 0.25; hybrid and new price 0.15² + (0.2 · 0.871957)²
//!           = 0.022500 + 0.030412, times the mean of 1 / scale over the strengths of the
//!           beliefs (0.05 · 10 + 0.1 · 4 + 0.2 · 2 + 0.3 + 0.2 / 2 + 0.1 / 4 + 0.05 / 10
//!           = 1.73): 0.25 + 1.73 · 0.052912 = 0.341538
//!   second  ln 1,000 - 0.25 (as new) - 0.82 (8 years) - 0.30 (mint to rider) = 5.537755
//!           variance: 0.25² + 0.3² + (3 · 0.05)² + (5 · 0.03)² + 0.08² + 0.07² = 0.208800
//!   share of the second  0.341538 / (0.341538 + 0.208800) = 0.620597
//!   both    5.789766 + 0.620597 · (5.537755 - 5.789766) = 5.633369 -> 279.60
//!
//! (0.00016 years beyond 8 take 0.002 off.)

use crate::support::records::{comp, units};
use crate::support::tolerance::assert_near;
use crate::support::workshop::Workshop;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::depreciation::Opinion;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::trade::{Bike, Comparable, Condition, Currency, Day, Money, Style, Tier};

#[test]
fn an_empty_book_and_a_dear_hybrid() {
    let line = "price --style hybrid --made 2018 --condition 3 --tier 2 --seat-tube 51 \
                --new-price 1000 --as-of 2026-07-01 --format json";
    let words: Vec<&str> = line.split_whitespace().collect();
    let answer = Workshop::new().run(&words).done().json();
    let median = answer["bikes"][0]["value"]["median"].as_f64().unwrap();
    assert_near("both", median, 279.60, 0.01);
}

/// 0.04 and 0.12: a quarter of the way to the second, and 0.04 · 0.12 / 0.16 is left of
/// the doubt. A whole log unit apart, 1 - 0.16 is beyond both: 0.25 · 0.75 of that comes on
/// top, and the doubt is larger than the first's alone.
#[test]
fn opinions_far_apart_leave_more_doubt() {
    let [near, far] = [5.3, 6.0].map(|mean| {
        let first = Opinion {
            mean: 5.0,
            variance: 0.04,
        };
        first.and(Opinion {
            mean,
            variance: 0.12,
        })
    });
    assert_near("near", near.mean, 5.075, 1e-12);
    assert_near("its doubt", near.variance, 0.03, 1e-12);
    assert_near("far", far.mean, 5.25, 1e-12);
    assert_near("its doubt", far.variance, 0.03 + 0.1875 * 0.84, 1e-12);
}

/// What is left of a new price is learnt of bikes, not of adverts: each bike seen twice,
/// each time at half its weight, says what it says seen once.
#[test]
fn a_bike_listed_twice_says_once_what_is_left_of_its_new_price() {
    let seen = Day::constant(2026, 4, 20);
    let one = |number: i64, copy: &str| Comparable {
        bike: Bike {
            made: Some(2018.into()),
            condition: Some(Condition::Rider),
            tier: Some(Tier::Club),
            new_price: Some(Money::from_minor(90_000 + 1_000 * number)),
            ..Bike::of(Style::Hybrid)
        },
        first_seen: Some(seen),
        last_seen: Some(seen),
        ..comp(
            format!("{number} {copy}"),
            Style::Hybrid,
            units(380 + 7 * (number % 5)),
        )
    };
    let learnt = |comps: Vec<(Comparable, f64)>| {
        let model = ValueModel {
            priors: Priors::shipped(),
            settings: ValueSettings {
                as_of: Day::constant(2026, 5, 2),
                currency: Currency::from_code("EUR").unwrap(),
                without: None,
            },
        };
        let records = InMemory {
            sales: Vec::new(),
            comps,
            asks: Vec::new(),
        };
        model.fit(&records, &mut Unobserved).unwrap().depreciation
    };
    let once = learnt((0..12).map(|n| (one(n, ""), 1.0)).collect());
    let halves = (0..12).flat_map(|n| [(one(n, "a"), 0.5), (one(n, "b"), 0.5)]);
    let twice = learnt(halves.collect());
    let unseen = learnt(Vec::new());
    assert!(once.anchor.1 < 0.7 * unseen.anchor.1, "{once:?} {unseen:?}");
    // Sums in another order.
    assert_near("the level", twice.anchor.0, once.anchor.0, 1e-9);
    assert_near("its doubt", twice.anchor.1, once.anchor.1, 1e-9);
    assert_near("one bike's doubt", twice.around, once.around, 1e-9);
}
