//! The logarithm of the normal's upper tail far out, where an asymptotic series stands in.
//!
//! Expected values: Python 3.11, `math.log(math.erfc(z / math.sqrt(2)) / 2)`.

use crate::support::tolerance::{SAME_NUMBER, assert_near};
use wheelworth::statistics::distribution::normal::ln_upper_tail;

/// The series is good to 1e-5 of the tail from 8 on, and soon to more.
#[test]
fn the_tail_is_told_far_out() {
    for (z, expected, tolerance) in [
        (8.1, -35.830_502_890_801_47, 1e-5),
        (10.0, -53.231_285_150_512_46, 2e-6),
        (20.0, -203.917_155_371_097_24, 1e-8),
        (30.0, -454.321_243_956_343_1, 1e-9),
    ] {
        assert_near("tail", ln_upper_tail(z), expected, tolerance);
    }
}

/// Where the series takes over there is no step.
#[test]
fn the_two_ways_meet() {
    let (before, after) = (ln_upper_tail(8.0), ln_upper_tail(8.0 + 1e-9));
    assert_near("at 8", after, before, 1e-5);
    assert_near("at 0", ln_upper_tail(0.0), 0.5_f64.ln(), SAME_NUMBER);
}
