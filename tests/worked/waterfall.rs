//! The waterfall in money, by the logarithmic mean.

use crate::support::tolerance::assert_near;
use wheelworth::pricing::quote::logarithmic_mean_split;

/// Values given to six decimals.
const SIX_DECIMALS: f64 = 5.1e-7;

/// ln P0 = 5.5, so P0 = e^5.5 = 244.691932. The factors' logs are 0.30, -0.45,
/// 0.12, -0.02; their sum is -0.05. ln P1 = 5.45, P1 = e^5.45 = 232.758166;
/// P1 - P0 = -11.933766. L = (P1 - P0) / (ln P1 - ln P0) = -11.933766 / -0.05
/// = 238.675327. The parts are L times each log: 71.602598, -107.403897,
/// 28.641039, -4.773507; together -0.05 L = -11.933766.
#[test]
fn four_factors_in_money() {
    let parts = logarithmic_mean_split(5.5, &[0.30, -0.45, 0.12, -0.02], 1.0);
    let expected = [71.602598, -107.403897, 28.641039, -4.773507];
    for (part, expected) in parts.iter().zip(expected) {
        assert_near("part", *part, expected, SIX_DECIMALS);
    }
    assert_near("sum", parts.iter().sum(), -11.933766, SIX_DECIMALS);
    assert_near(
        "sum",
        parts.iter().sum(),
        5.45_f64.exp() - 5.5_f64.exp(),
        1e-10,
    );
}

/// +0.2 and -0.2: the price stays, so L is the price itself, 100: +20 and -20.
#[test]
fn factors_that_cancel_keep_the_price() {
    let parts = logarithmic_mean_split(100.0_f64.ln(), &[0.2, -0.2], 1.0);
    assert_near("up", parts[0], 20.0, 1e-10);
    assert_near("down", parts[1], -20.0, 1e-10);
}
