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

use crate::support::tolerance::assert_near;
use crate::support::workshop::Workshop;
use wheelworth::pricing::value::depreciation::Opinion;

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
