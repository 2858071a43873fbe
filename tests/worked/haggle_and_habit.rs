//! What a premium does, what a premium seen is in truth, and what buyers haggle
//! away, in cases small enough for pencil and paper.

use crate::support::tolerance::{EIGHT_DECIMALS, SAME_NUMBER, SIX_DECIMALS, assert_near};
use wheelworth::pricing::prior::selling_priors::{AskHabit, HagglingBeliefs};
use wheelworth::pricing::prior::{belief::Belief, priors::Priors};
use wheelworth::pricing::time_on_market::Haggle;
use wheelworth::pricing::time_on_market::premium::{Habit, SeenPremium, thinning};

/// `A(u) = -b sqrt(pi / 2) ln(2 Q(u / b))`: at 0 half of the buyers would pay it,
/// `ln(2 · 1/2) = 0`.
#[test]
fn at_the_value_no_buyer_is_lost_and_the_slope_is_one() {
    for buyers in [0.05, 0.2, 1.0] {
        assert_near("A(0)", thinning(0.0, buyers), 0.0, SAME_NUMBER);
        // A central difference is off by A'''(0) h^2 / 6, A'''(0) below 1 / b^2.
        let h = 1e-4 * buyers;
        let slope = (thinning(h, buyers) - thinning(-h, buyers)) / (2.0 * h);
        assert_near("A'(0)", slope, 1.0, 1e-8);
    }
}

/// Any table: a tenth of a normal distribution lies above 1.281552. With b = 0.2,
/// b sqrt(pi / 2) = 0.2 · 1.253314 = 0.2506628:
///   above  Q = 0.1   A = -0.2506628 · ln 0.2 =  0.2506628 · 1.609438 =  0.403426
///   below  Q = 0.9   A = -0.2506628 · ln 1.8 = -0.2506628 · 0.587787 = -0.147336
#[test]
fn an_ask_that_one_buyer_in_ten_would_pay() {
    let u = 0.2 * 1.281552;
    // The quantile is cut at six decimals; A's slope is about 2 there.
    assert_near("above", thinning(u, 0.2), 0.403426, 2.0 * SIX_DECIMALS);
    assert_near("below", thinning(-u, 0.2), -0.147336, 2.0 * SIX_DECIMALS);
}

/// `-ln 2Q(x) = x sqrt(2 / pi) + x^2 / pi + …`, so `A(u) = u + u^2 / (b sqrt(2 pi))
/// + …`: with buyers of every kind it is u itself.
#[test]
fn with_an_unlimited_spread_it_is_the_premium_itself() {
    for u in [-0.8_f64, -0.1, 0.3, 1.0] {
        for buyers in [1e2, 1e4] {
            let second = u * u / (buyers * (2.0 * std::f64::consts::PI).sqrt());
            // The next term is of the order u^3 / b^2; b times a rounding of ln 2.
            let room = u.abs().powi(3) / (buyers * buyers) + buyers * SAME_NUMBER / 10.0;
            assert_near("A", thinning(u, buyers), u + second, room);
        }
    }
    // A dearer ask never brings more buyers, however dear.
    assert!(thinning(3.0, 0.2) > thinning(1.5, 0.2) && thinning(1.5, 0.2) > thinning(1.0, 0.2));
    assert_eq!(thinning(-3.0, 0.2), thinning(-1.0, 0.2));
}

/// As much error as truth: half of the distance from the mean is believed.
#[test]
fn equal_variances_halve_the_distance() {
    let habit = Habit {
        mean: 0.05,
        variance: 0.01,
    };
    assert_near("half", habit.expected(0.25, 0.01), 0.15, SAME_NUMBER);
    assert_near("all", habit.expected(0.25, 0.0), 0.25, SAME_NUMBER);
    // Three parts of error to one of truth: a quarter.
    assert_near("quarter", habit.expected(-0.15, 0.03), 0.0, SAME_NUMBER);
}

/// Told to be 5.2 with a variance of 0.04, asked 5.3: of the 0.1 seen above the value the
/// premium is 0.05 + 0.01 / 0.05 * 0.05 = 0.06, so the value is 5.24; what is left of the
/// doubt is 0.01 * 0.04 / 0.05 = 0.008.
#[test]
fn an_ask_tells_of_the_value() {
    let habit = Habit {
        mean: 0.05,
        variance: 0.01,
    };
    let (value, variance) = habit.value_given_ask(5.3, (5.2, 0.04));
    assert_near("value", value, 5.24, SAME_NUMBER);
    assert_near("variance", variance, 0.008, SAME_NUMBER);
}

/// Belief: mean 0, spread 0.1 (variance 0.01), worth 10 listings; one listing seen
/// at 0.2 with an error of variance 0.01.
///   mean: the belief weighs 4 / 0.01 = 400, the listing 1 / 0.02 = 50:
///     50 · 0.2 / 450 = 0.02222222
///   variance: the listing counts 0.01 · 50 = 0.5, its square is
///     0.17777778^2 - 0.01 = 0.02160494:
///     (10 · 0.01 + 0.5 · 0.02160494) / 10.5 = 0.11080247 / 10.5 = 0.01055262
#[test]
fn a_habit_from_one_listing() {
    let belief = AskHabit {
        mean: 0.0,
        spread: 0.1,
        worth: 10.0,
    };
    let seen = SeenPremium {
        premium: 0.2,
        error: 0.01,
        weight: 1.0,
    };
    let habit = Habit::learn(&[seen], &belief);
    assert_near("mean", habit.mean, 0.02222222, EIGHT_DECIMALS);
    assert_near("variance", habit.variance, 0.01055262, EIGHT_DECIMALS);
    let none = Habit::learn(&[], &belief);
    assert_near("believed mean", none.mean, 0.0, SAME_NUMBER);
    assert_near("believed variance", none.variance, 0.01, SAME_NUMBER);
}

fn belief(noise: f64, noise_sales: f64) -> HagglingBeliefs {
    HagglingBeliefs {
        at_value: Belief { mean: 0.1, sd: 0.1 },
        a_premium: Belief { mean: 0.3, sd: 0.2 },
        noise,
        noise_sales,
    }
}

/// The noise known to be 0.1 (worth a million million sales). A sale at premium
/// 0.5 for 0.45 below its ask, where 0.1 + 0.3 · 0.5 = 0.25 was expected: 0.2 over.
///   variance of that: 0.01 + 0.5^2 · 0.04 + 0.01 = 0.03
///   at the value   0.1 + 0.2 · 0.01 / 0.03       = 0.16666667
///   a premium      0.3 + 0.2 · 0.5 · 0.04 / 0.03 = 0.43333333
#[test]
fn one_sale_moves_the_line_of_haggling() {
    let found = Haggle::learn(&[(0.5, -0.45)], &belief(0.1, 1e12)).unwrap();
    assert_eq!(found.pairs, 1);
    assert_near("at the value", found.at_value, 0.16666667, EIGHT_DECIMALS);
    assert_near("a premium", found.a_premium, 0.43333333, EIGHT_DECIMALS);
    assert_near("noise", found.noise, 0.1, EIGHT_DECIMALS);
    // At no premium the sale says nothing of premiums: (0.1 + 0.2) / 2.
    let found = Haggle::learn(&[(0.0, -0.2)], &belief(0.1, 1e12)).unwrap();
    assert_near("at the value", found.at_value, 0.15, EIGHT_DECIMALS);
    assert_near("a premium", found.a_premium, 0.3, EIGHT_DECIMALS);
}

/// Noise believed sqrt(0.0112), worth 3 sales; one sale at the value, 0.26 below
/// its ask. With a noise of 0.1, belief and sale weigh the same: 0.1 + 0.16 / 2 =
/// 0.18, 0.08 remain, and (3 · 0.0112 + 0.08^2) / 4 = 0.04 / 4 = 0.01 = 0.1^2.
#[test]
fn the_noise_and_the_line_agree() {
    let found = Haggle::learn(&[(0.0, -0.26)], &belief(0.0112_f64.sqrt(), 3.0)).unwrap();
    assert_near("at the value", found.at_value, 0.18, EIGHT_DECIMALS);
    assert_near("noise", found.noise, 0.1, EIGHT_DECIMALS);
}

#[test]
fn a_gift_is_no_haggling() {
    let belief = belief(0.05, 6.0);
    let none = Haggle::learn(&[], &belief).unwrap();
    let gift = [(0.0, -0.5), (f64::NAN, -0.1)];
    assert_eq!(Haggle::learn(&gift, &belief).unwrap(), none);
    assert_near("at the value", none.at_value, 0.1, SAME_NUMBER);
    assert_near("a premium", none.a_premium, 0.3, SAME_NUMBER);
    assert_eq!((none.noise, none.pairs), (0.05, 0));
}

/// A premium's part may not be negative: a sale far above the value that brought
/// its whole ask leaves it at 0, never below.
#[test]
fn a_premium_never_brings_more_than_the_ask() {
    let found = Haggle::learn(&[(0.9, -0.0); 40], &belief(0.05, 6.0)).unwrap();
    assert!(found.a_premium >= 0.0 && found.at_value >= 0.0, "{found:?}");
    for haggle in [
        found,
        Haggle::learn(&[], &Priors::shipped().selling.haggle).unwrap(),
    ] {
        for step in -40..=40 {
            let u = f64::from(step) / 20.0;
            let kept = haggle.kept(u);
            assert!(kept > 0.0 && kept <= 1.0, "{u}: {kept}");
            assert!(kept <= haggle.kept(u - 0.05), "{u}: {kept}");
        }
    }
    // e^(0.05^2 / 2 - 0.07) = e^-0.06875 = 0.933560.
    let haggle = Haggle {
        at_value: 0.07,
        a_premium: 0.3,
        noise: 0.05,
        pairs: 0,
    };
    assert_near("kept", haggle.kept(0.0), 0.933560, SIX_DECIMALS);
    assert_eq!(haggle.kept(-1.0), 1.0, "no buyer pays more than the ask");
}
