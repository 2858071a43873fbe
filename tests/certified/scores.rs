//! Scores of forecasts: the interval score and the median absolute error.
//!
//! Interval score by hand from Gneiting & Raftery 2007, JASA 102:359-378.

use crate::support::tolerance::assert_near;
use wheelworth::statistics::evaluation::scores::{
    interval_score, median_absolute_percentage_error,
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
