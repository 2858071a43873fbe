//! Scores of forecasts: the interval score, CRPS and median absolute error.
//!
//! Interval score by hand from Gneiting & Raftery 2007, JASA 102:359-378. CRPS:
//! the values cited were computed with scipy from the closed forms, and each is
//! integrated again here from the definition, the integral over z of
//! `(F(z) - 1[z >= y])^2`, which does not use them.

use crate::support::tolerance::{TEN_DECIMALS, assert_near};
use wheelworth::statistics::distribution::student_t::Predictive;
use wheelworth::statistics::evaluation::scores::{
    crps_log_normal, crps_normal, crps_student_t, interval_score, median_absolute_percentage_error,
};

#[test]
fn interval_score_by_hand() {
    for (low, high, y, alpha, expected) in [
        (200.0, 300.0, 250.0, 0.2, 100.0), // inside: the width
        (200.0, 300.0, 180.0, 0.2, 300.0), // 100 + 10 * 20
        (200.0, 300.0, 330.0, 0.2, 400.0), // 100 + 10 * 30
        (200.0, 300.0, 330.0, 0.1, 700.0), // 100 + 20 * 30
        (200.0, 300.0, 200.0, 0.2, 100.0), // on the end: inside
    ] {
        let found = interval_score(low, high, y, alpha);
        assert_near("interval score", found, expected, 1e-9 * expected);
    }
}

/// CRPS from its definition: midpoint rule below and above y.
fn crps_by_integral(cdf: impl Fn(f64) -> f64, y: f64, low: f64, high: f64) -> f64 {
    let steps = 200_000;
    let part = |from: f64, to: f64, value: &dyn Fn(f64) -> f64| -> f64 {
        let step = (to - from) / f64::from(steps);
        (0..steps)
            .map(|i| value(from + (f64::from(i) + 0.5) * step))
            .sum::<f64>()
            * step
    };
    part(low, y, &|z| cdf(z).powi(2)) + part(y, high, &|z| (1.0 - cdf(z)).powi(2))
}

/// 200,000 midpoints leave about 1e-8 of these smooth integrands, and the cut
/// tails of the t with 5 degrees (beyond 200) about 1e-14.
const MIDPOINT: f64 = 1e-7;

fn normal_cdf(z: f64) -> f64 {
    use statrs::distribution::{ContinuousCDF, Normal};
    Normal::standard().cdf(z)
}

#[test]
fn crps_of_a_normal_forecast() {
    for (y, expected) in [(0.0, 0.233_694_977_3), (1.0, 0.602_441_357_6)] {
        assert_near("closed", crps_normal(0.0, 1.0, y), expected, TEN_DECIMALS);
        let integral = crps_by_integral(normal_cdf, y, -12.0, 12.0);
        assert_near("integral", integral, expected, MIDPOINT);
    }
    let scaled = crps_normal(50.0, 10.0, 60.0);
    assert_near("in the unit of y", scaled, 6.024_413_576, 1e-9);
}

#[test]
fn crps_of_a_student_t_forecast() {
    let t = Predictive {
        freedom: 5.0,
        location: 0.0,
        scale: 1.0,
    };
    for (y, expected) in [(0.0, 0.257_025_362_9), (1.0, 0.603_830_562_7)] {
        assert_near("closed", crps_student_t(5.0, y), expected, TEN_DECIMALS);
        let integral = crps_by_integral(|z| t.cdf(z), y, -200.0, 200.0);
        assert_near("integral", integral, expected, MIDPOINT);
    }
}

/// statrs 0.19's erf is off by up to 6e-11 (next test), which here is
/// multiplied by prices ten times the score.
const ERROR_FUNCTION: f64 = 1e-9;

/// Expected values: mpmath 1.3 or later, 30 digits.
#[test]
fn error_function_of_the_library() {
    use statrs::function::erf::erf;
    for (x, expected) in [
        (0.3, 0.328_626_759_459_127_4),
        (0.5, 0.520_499_877_813_046_5),
        (0.64458, 0.638_006_868_737_161_5),
        (1.0, 0.842_700_792_949_714_9),
        (2.0, 0.995_322_265_018_952_7),
    ] {
        assert_near("erf", erf(x), expected, 6e-11);
    }
}

#[test]
fn crps_of_a_log_normal_forecast() {
    let (mean, sd, y) = (250_f64.ln(), 0.2, 300.0);
    let expected = 29.257_848_491_9;
    let found = crps_log_normal(mean, sd, y);
    assert_near("closed", found, expected, ERROR_FUNCTION * expected);
    let integral = crps_by_integral(|z| normal_cdf((z.ln() - mean) / sd), y, 0.0, 2000.0);
    assert_near("integral", integral, expected, MIDPOINT * expected);
}

/// Appraised value and sale price of 36 parcels: IAAO, *Standard on Ratio
/// Studies*, 2013, table 1-1. The median absolute error was computed with numpy.
pub(super) const PARCELS: [(f64, f64); 36] = [
    (48_000.0, 138_000.0),
    (28_800.0, 59_250.0),
    (78_400.0, 157_500.0),
    (39_840.0, 74_400.0),
    (68_160.0, 114_900.0),
    (94_400.0, 159_000.0),
    (67_200.0, 111_900.0),
    (56_960.0, 93_000.0),
    (87_200.0, 138_720.0),
    (38_240.0, 59_700.0),
    (96_320.0, 146_400.0),
    (67_680.0, 99_000.0),
    (32_960.0, 47_400.0),
    (50_560.0, 70_500.0),
    (61_360.0, 78_000.0),
    (47_360.0, 60_000.0),
    (58_080.0, 69_000.0),
    (47_040.0, 55_500.0),
    (136_000.0, 154_500.0),
    (103_200.0, 109_500.0),
    (59_040.0, 60_000.0),
    (168_000.0, 168_000.0),
    (128_000.0, 124_500.0),
    (132_000.0, 127_500.0),
    (160_000.0, 150_000.0),
    (160_000.0, 141_000.0),
    (200_000.0, 171_900.0),
    (184_000.0, 157_500.0),
    (160_000.0, 129_600.0),
    (157_200.0, 126_000.0),
    (99_200.0, 77_700.0),
    (200_000.0, 153_000.0),
    (64_000.0, 48_750.0),
    (192_000.0, 144_000.0),
    (190_400.0, 141_000.0),
    (65_440.0, 48_000.0),
];

#[test]
fn median_absolute_error_of_a_ratio_study() {
    let found = 100.0 * median_absolute_percentage_error(&PARCELS);
    assert_near("MdAPE, %", found, 29.3739, 5.1e-5);
}
