//! The exact interval of a share.
//!
//! 682 of 925: the example on the help page of R's `binom.test` (Mendel's peas,
//! after Conover 1971), its printed interval from memory. The others: scipy
//! 1.17.1, `binomtest(k, n).proportion_ci(confidence)`, which also gives R's digits.

use crate::support::tolerance::{REFERENCE_LIBRARY, assert_near};
use wheelworth::statistics::distribution::binomial::interval;

#[test]
fn shares_as_r_and_scipy_have_them() {
    let printed = interval(682, 925, 0.95);
    assert_near("R, low", printed.0, 0.707_668_3, 5.1e-8);
    assert_near("R, high", printed.1, 0.765_406_6, 5.1e-8);
    for (k, n, confidence, low, high) in [
        (
            682,
            925,
            0.95,
            0.707_668_264_079_039,
            0.765_406_558_241_478_1,
        ),
        (0, 10, 0.95, 0.0, 0.308_497_107_818_762_94),
        (10, 10, 0.95, 0.691_502_892_181_237_1, 1.0),
        (1, 1, 0.95, 0.025, 1.0),
        (5, 10, 0.9, 0.222_441_101_008_128_92, 0.777_558_898_991_871),
        (8, 10, 0.8, 0.550_396_111_326_413_8, 0.945_471_380_002_329_2),
        (33, 40, 0.95, 0.672_209_866_638_405_4, 0.926_617_270_647_915),
        (
            3,
            1000,
            0.99,
            3.381_445_290_663_692e-4,
            0.010_933_777_420_405_26,
        ),
        (
            99,
            100,
            0.999,
            0.904_389_888_925_373_8,
            0.999_994_998_762_094,
        ),
        (
            1500,
            10_000,
            0.95,
            0.143_054_196_702_147_4,
            0.157_150_288_855_587_93,
        ),
    ] {
        let found = interval(k, n, confidence);
        let what = format!("{k} of {n}");
        assert_near(&what, found.0, low, REFERENCE_LIBRARY);
        assert_near(&what, found.1, high, REFERENCE_LIBRARY);
    }
}

/// Chance of each count of `n` at the share `p`, by recursion.
fn chances(n: u64, p: f64) -> Vec<f64> {
    let mut chance = (1.0 - p).powi(n as i32);
    let mut all = vec![chance];
    for k in 0..n {
        chance *= (n - k) as f64 / (k + 1) as f64 * p / (1.0 - p);
        all.push(chance);
    }
    all
}

/// The definition, without the incomplete beta function.
#[test]
fn each_end_leaves_half_of_the_rest_beyond_the_count() {
    for (k, n) in [(1, 7), (4, 12), (11, 12), (20, 60)] {
        let (low, high) = interval(k, n, 0.9);
        let or_more: f64 = chances(n, low)[k as usize..].iter().sum();
        let or_fewer: f64 = chances(n, high)[..=k as usize].iter().sum();
        assert_near("k or more at the low end", or_more, 0.05, 1e-11);
        assert_near("k or fewer at the high end", or_fewer, 0.05, 1e-11);
    }
}

/// What 'exact' promises: no share is held more seldom than stated.
#[test]
fn no_true_share_is_missed_more_often_than_stated() {
    let n = 20;
    let intervals: Vec<(f64, f64)> = (0..=n).map(|k| interval(k, n, 0.95)).collect();
    for step in 1..1000 {
        let p = f64::from(step) / 1000.0;
        let held: f64 = chances(n, p)
            .iter()
            .zip(&intervals)
            .filter(|(_, (low, high))| *low <= p && p <= *high)
            .map(|(chance, _)| chance)
            .sum();
        assert!(held >= 0.95, "share {p} is held with {held}");
    }
}

#[test]
fn nothing_counted_or_no_confidence_says_nothing() {
    assert_eq!(interval(0, 0, 0.95), (0.0, 1.0));
    assert_eq!(interval(3, 4, 1.0), (0.0, 1.0));
    assert_eq!(interval(3, 4, f64::NAN), (0.0, 1.0));
    let (low, high) = interval(3, 4, 0.5);
    assert!(low < 0.75 && 0.75 < high);
}
