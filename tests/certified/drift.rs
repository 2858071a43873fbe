//! The cumulative sum chart and the mean of winsorised scores.
//!
//! Worked example: NIST/SEMATECH *e-Handbook of Statistical Methods*, 6.3.2.3
//! (public domain), twenty means of four about 325, its sums printed to two
//! decimals. Run lengths: Lucas & Crosier 1982, Technometrics 24:199-205, table 1
//! without head start, as quoted in the documentation of the R package spc for
//! limit 4, from memory for limit 5. All were recomputed for this file from the
//! integral equation (Gauss-Legendre, 200 nodes, numpy): 167.6838 and 465.4435
//! without a shift, 8.3831 and 10.3760 at one standard deviation.

use crate::support::tolerance::{SAME_NUMBER, assert_near};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use wheelworth::statistics::evaluation::drift::{Cusum, Signal, lean, signals};

const MEANS: [f64; 20] = [
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350,
];
const UP: [f64; 20] = [
    0.00, 0.00, 0.00, 0.00, 0.03, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 0.00, 3.01, 4.94, 7.45,
    10.63, 11.99, 14.44, 16.00, 19.04,
];
const DOWN: [f64; 20] = [
    0.00, 0.01, 0.00, 0.33, 0.00, 0.00, 0.56, 0.72, 0.17, 0.25, 0.31, 0.00, 0.00, 0.00, 0.00, 0.00,
    0.00, 0.00, 0.00, 0.00,
];
const SLACK: f64 = 0.3175;
const LIMIT: f64 = 4.1959;

/// The handbook does not start again after a signal, so here there is no limit.
/// It printed 14.445 as 14.44, hence the last digits beside half a unit.
#[test]
fn sums_of_the_handbook() {
    let mut chart = Cusum::new(SLACK, f64::INFINITY);
    for (i, mean) in MEANS.iter().enumerate() {
        assert_eq!(chart.saw(mean - 325.0), None);
        let (up, down) = chart.sums();
        assert_near(&format!("up {i}"), up, UP[i], 0.005 + 1e-9);
        assert_near(&format!("down {i}"), down, DOWN[i], 0.005 + 1e-9);
    }
}

/// The handbook's first sum above the limit is that of the 14th mean; the sum was
/// last 0 at the 12th. The second signal, by hand: 2.825 - 0.3175 = 2.5075, and
/// 3.5 - 0.3175 more is 5.69.
#[test]
fn signals_of_the_handbook() {
    let scores: Vec<f64> = MEANS.iter().map(|mean| mean - 325.0).collect();
    let found = signals(&scores, SLACK, LIMIT);
    assert_eq!((found[0].began, found[0].at, found[0].up), (12, 13, true));
    assert_near(
        "mean",
        found[0].mean,
        f64::midpoint(3.325, 2.25),
        SAME_NUMBER * 325.0,
    );
    assert_eq!((found[1].began, found[1].at, found[1].up), (14, 15, true));
    let mirrored: Vec<f64> = scores.iter().map(|z| -z).collect();
    let turned: Vec<Signal> = signals(&mirrored, SLACK, LIMIT)
        .into_iter()
        .map(|s| Signal {
            up: !s.up,
            mean: -s.mean,
            ..s
        })
        .collect();
    assert_eq!(turned, found);
}

/// Mean and standard error of so many run lengths, each from 0 to its signal.
fn run_length(limit: f64, shift: f64, runs: usize) -> (f64, f64) {
    let mut chance = ChaCha8Rng::seed_from_u64(3);
    let mut chart = Cusum::new(0.5, limit);
    let mut lengths = Vec::with_capacity(runs);
    let mut length = 0.0;
    while lengths.len() < runs {
        let z: f64 = StandardNormal.sample(&mut chance);
        length += 1.0;
        if chart.saw(z + shift).is_some() {
            lengths.push(length);
            length = 0.0;
        }
    }
    let count = runs as f64;
    let mean = lengths.iter().sum::<f64>() / count;
    let squares: f64 = lengths.iter().map(|l| (l - mean).powi(2)).sum();
    (mean, (squares / (count - 1.0) / count).sqrt())
}

/// Simulated, so four standard errors are allowed beside half a unit of the last
/// printed digit: below 3 % for the longest runs, below 1 % for the others.
#[test]
fn average_run_lengths_of_the_published_table() {
    for (limit, shift, printed, last) in [
        (4.0, 0.0, 168.0, 1.0),
        (4.0, 0.25, 74.2, 0.1),
        (4.0, 0.5, 26.6, 0.1),
        (4.0, 0.75, 13.3, 0.1),
        (4.0, 1.0, 8.38, 0.01),
        (4.0, 1.5, 4.75, 0.01),
        (4.0, 2.0, 3.34, 0.01),
        (4.0, 3.0, 2.19, 0.01),
        (4.0, -1.0, 8.38, 0.01),
        (5.0, 0.0, 465.0, 1.0),
        (5.0, 1.0, 10.4, 0.1),
    ] {
        let (mean, error) = run_length(limit, shift, 20_000);
        let what = format!("limit {limit}, shift {shift}");
        assert_near(&what, mean, printed, 4.0 * error + last / 2.0);
    }
}

#[test]
fn steady_empty_and_unknown_scores() {
    assert_eq!(signals(&[], 0.5, 4.0), []);
    assert_eq!(signals(&[0.0; 500], 0.5, 4.0), []);
    // Half a unit a score: 4.0 after eight does not pass the limit, 4.5 after nine does.
    let ends: Vec<(usize, usize)> = signals(&[1.0; 20], 0.5, 4.0)
        .iter()
        .map(|s| (s.began, s.at))
        .collect();
    assert_eq!(ends, [(0, 8), (9, 17)]);
    let gaps = [f64::NAN, 3.0, f64::INFINITY, 3.0];
    let found = signals(&gaps, 0.5, 4.0);
    assert_eq!((found[0].began, found[0].at, found[0].mean), (1, 3, 3.0));
}

/// Expected: scipy 1.17.1, `t.interval` and `sem` of the scores clipped to 3.
#[test]
fn lean_as_scipy_has_it() {
    let scores = [1.2, -0.4, 0.8, 3.7, -0.1, 0.6, 1.9, -5.2, 0.3, 1.1];
    let found = lean(&scores, 0.9).unwrap();
    assert_eq!(found.scores, 10);
    assert_near("mean", found.mean, 0.54, SAME_NUMBER);
    assert_near("low", found.interval.0, -0.378_672_288_030_651_56, 1e-11);
    assert_near("high", found.interval.1, 1.458_672_288_030_651_3, 1e-11);
}

#[test]
fn lean_of_few_or_equal_scores() {
    assert_eq!(lean(&[], 0.9), None);
    assert_eq!(lean(&[1.0; 4], 0.9), None);
    assert_eq!(lean(&[1.0, 1.0, 1.0, 1.0, f64::NAN], 0.9), None);
    let alike = lean(&[0.5; 6], 0.9).unwrap();
    assert_eq!((alike.mean, alike.interval), (0.5, (0.5, 0.5)));
}
