//! Closed forms of a Weibull lifetime.

use crate::support::tolerance::{SAME_NUMBER, assert_close, assert_near};
use statrs::function::gamma::{gamma, gamma_lr, gamma_ur};
use wheelworth::statistics::survival::lifetime::Lifetime;

const DAYS: Lifetime = Lifetime {
    scale: 40.0,
    shape: 1.5,
};

/// Computed with mpmath to 30 digits, the areas by quadrature.
#[test]
fn forty_days_of_shape_one_and_a_half() {
    for (what, found, expected) in [
        ("mean", DAYS.mean(), 36.10981171803734),
        ("median", DAYS.median(), 31.32879075098605),
        ("mean to 60", DAYS.restricted_mean(60.0), 33.04538554124677),
        (
            "remaining at 20",
            DAYS.remaining_mean(20.0),
            26.56091086547507,
        ),
        (
            "median at 20",
            DAYS.remaining_median(20.0),
            21.23585135462263,
        ),
    ] {
        assert_close(what, found, expected, SAME_NUMBER);
    }
}

/// A shop window seen on one day holds each life with a chance that grows with
/// its length: their mean is `E[T] (1 + cv^2) = E[T^2] / E[T]`. For these days
/// 52.7563803.
#[test]
fn lives_seen_on_one_day_are_longer() {
    let squares = 40.0 * 40.0 * gamma(1.0 + 2.0 / 1.5);
    let mean = squares / DAYS.mean();
    assert_close("closed form", mean, 52.75638025724774, SAME_NUMBER);
    // The same from what remains: a life met at age a has S(a) / E[T] of the
    // window, and lasts a + remaining_mean(a). Midpoints of 0.01 day: their error is
    // (0.01^2 / 24) times the change of the slope, below 1e-5.
    let width = 0.01;
    let mean: f64 = (0..60_000)
        .map(|i| (f64::from(i) + 0.5) * width)
        .map(|age| DAYS.survival(age) * (age + DAYS.remaining_mean(age)) * width)
        .sum::<f64>()
        / DAYS.mean();
    assert_near("by ages", mean, 52.7563803, 1e-5);
}

/// The exponential forgets its age.
#[test]
fn an_exponential_does_not_age() {
    let days = Lifetime {
        scale: 17.0,
        shape: 1.0,
    };
    for age in [0.0, 1e-9, 3.0, 40.0, 1e3, 1e5] {
        assert_close("mean", days.remaining_mean(age), 17.0, SAME_NUMBER);
        let half = 17.0 * std::f64::consts::LN_2;
        assert_close("median", days.remaining_median(age), half, SAME_NUMBER);
        let month = 17.0 * -(-30.0_f64 / 17.0).exp_m1();
        let found = days.remaining_restricted_mean(age, 30.0);
        // At ages below the turn it is a difference times e^z, z < 2.
        assert_close("within 30", found, month, 1e-11);
    }
}

/// The incomplete gamma function of statrs as a second opinion, where it can.
#[test]
fn restricted_and_remaining_means_by_another_route() {
    for shape in [0.3, 0.6, 1.0, 1.2, 2.0, 5.0, 20.0] {
        let days = Lifetime { scale: 40.0, shape };
        let a = 1.0 / shape;
        for t in [0.01, 1.0, 20.0, 39.0, 60.0, 90.0] {
            let z = (t / 40.0_f64).powf(shape);
            if z > 30.0 {
                continue;
            }
            let area = 40.0 * a * gamma(a) * gamma_lr(a, z);
            // The library's own series stops at 1e-15 a term.
            assert_close("restricted", days.restricted_mean(t), area, 1e-11);
            let rest = 40.0 * a * gamma(a) * gamma_ur(a, z) * z.exp();
            // Below the turn the rest is the small difference of two terms at
            // large shapes: a part in 100 of them, by either route.
            assert_close("remaining", days.remaining_mean(t), rest, 1e-9);
        }
    }
}

/// Shapes and ages at which the textbook forms overflow or cancel.
#[test]
fn extremes_stay_finite() {
    for shape in [0.01, 0.1, 0.5, 3.0, 50.0, 500.0] {
        let days = Lifetime { scale: 30.0, shape };
        for age in [0.0, 1e-300, 1.0, 29.9, 31.0, 300.0, 1e6] {
            let half = days.remaining_median(age);
            assert!(half >= 0.0 && half.is_finite(), "{shape} {age}: {half}");
            let mean = days.remaining_mean(age);
            assert!(mean >= 0.0 && mean.is_finite(), "{shape} {age}: {mean}");
            let month = days.remaining_restricted_mean(age, 30.0);
            assert!((0.0..=30.0).contains(&month), "{shape} {age}: {month}");
        }
        for until in [0.0, 1e-300, 1.0, 30.0, 1e6, 1e300] {
            let area = days.restricted_mean(until);
            assert!(area >= 0.0 && area <= until, "{shape} {until}: {area}");
        }
    }
}
