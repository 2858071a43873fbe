//! Quantiles of Student's t, and the constant that compares its scale with a
//! normal deviation.
//!
//! Expected quantiles: scipy 1.17.1 `t.ppf`; for one degree of freedom also the
//! closed form of the Cauchy distribution, `tan(pi (p - 1/2))`, and for two
//! `(2p - 1) / sqrt(2 p (1 - p))`.

use crate::support::tolerance::{
    REFERENCE_LIBRARY, SAME_NUMBER, TEN_DECIMALS, assert_close, assert_near,
};
use std::f64::consts::PI;
use wheelworth::statistics::distribution::student_t::{
    Predictive, mixture_cdf, quantile, student_t_quantile,
};
use wheelworth::statistics::linear::robust::NORMAL_SCALE;

/// `(p, degrees of freedom, quantile)`.
const QUANTILES: [(f64, f64, f64); 12] = [
    (0.9, 8.0, 1.396_815_309_743_865_4),
    (0.975, 8.0, 2.306_004_135_204_166),
    (0.95, 8.0, 1.859_548_037_530_897_3),
    (0.9, 5.0, 1.475_884_048_824_481_5),
    (0.975, 34.0, 2.032_244_509_317_718_6),
    (0.1, 3.0, -1.637_744_353_696_208_9),
    (0.9, 1.5, 2.196_398_417_565_537_6),
    (0.9, 1.0, 3.077_683_537_175_254_4),
    (0.75, 2.0, 0.816_496_580_927_726_1),
    (0.99, 4.0, 3.746_947_387_979_196),
    (0.6, 30.0, 0.255_605_364_951_912_8),
    (0.9, 1000.0, 1.282_398_721_460_924_7),
];

#[test]
fn student_t_quantiles() {
    for (p, freedom, expected) in QUANTILES {
        let found = student_t_quantile(p, freedom);
        assert_close(
            &format!("t({p}, {freedom})"),
            found,
            expected,
            REFERENCE_LIBRARY,
        );
        let mirrored = student_t_quantile(1.0 - p, freedom);
        assert_close(
            &format!("t({}, {freedom})", 1.0 - p),
            mirrored,
            -expected,
            REFERENCE_LIBRARY,
        );
    }
}

#[test]
fn closed_forms_of_one_and_two_degrees() {
    for p in [0.001, 0.05, 0.2, 0.5, 0.6, 0.9, 0.999] {
        let one = (PI * (p - 0.5)).tan();
        let two = (2.0 * p - 1.0) / (2.0 * p * (1.0 - p)).sqrt();
        assert_close("one", student_t_quantile(p, 1.0), one, REFERENCE_LIBRARY);
        assert_close("two", student_t_quantile(p, 2.0), two, REFERENCE_LIBRARY);
    }
}

#[test]
fn distribution_function_undoes_the_quantile() {
    for freedom in [1.0, 1.5, 2.0, 4.0, 6.0, 8.5, 30.0, 200.0, 5000.0] {
        let t = Predictive {
            freedom,
            location: 0.0,
            scale: 1.0,
        };
        for step in 1..200 {
            let p = f64::from(step) / 200.0;
            let back = t.cdf(student_t_quantile(p, freedom));
            assert_near(&format!("{p} at {freedom}"), back, p, SAME_NUMBER);
        }
    }
}

#[test]
fn quantile_of_a_mixture_and_of_a_shifted_part() {
    let narrow = Predictive {
        freedom: 8.0,
        location: 5.517_647_058_823_53,
        scale: 0.191_495_774_073_149_88,
    };
    let wide = Predictive {
        freedom: 3.0,
        location: 6.1,
        scale: 0.4,
    };
    for p in [0.01, 0.1, 0.5, 0.9, 0.99] {
        let shifted = narrow.location + narrow.scale * student_t_quantile(p, 8.0);
        assert_close(
            "shifted",
            quantile(&[(2.0, narrow)], p),
            shifted,
            SAME_NUMBER,
        );
        let parts = [(0.7, narrow), (0.3, wide)];
        assert_near(
            "mixture",
            mixture_cdf(&parts, quantile(&parts, p)),
            p,
            SAME_NUMBER,
        );
    }
}

/// The constant c solves `E[5 e^2 / (4 + e^2 / c)] = c`, e standard normal.
/// Integrated here by the midpoint rule on [-12, 12] in 24,000 steps (the rest
/// is below 1e-32), where the code's comment says trapezoid; scipy's `quad` and
/// `brentq` give 0.6905668066708962.
#[test]
fn normal_scale_solves_its_equation() {
    let expectation = |c: f64| -> f64 {
        let step = 1e-3;
        (0..24_000)
            .map(|i| -12.0 + (f64::from(i) + 0.5) * step)
            .map(|e| 5.0 * e * e / (4.0 + e * e / c) * (-0.5 * e * e).exp())
            .sum::<f64>()
            * step
            / (2.0 * PI).sqrt()
    };
    assert_near("c", NORMAL_SCALE, 0.690_566_806_670_896_2, TEN_DECIMALS);
    assert_near("E", expectation(NORMAL_SCALE), NORMAL_SCALE, TEN_DECIMALS);
    let slope = (expectation(0.7) - expectation(0.68)) / 0.02;
    assert!(slope < 0.9, "the root is well determined: slope {slope}");
}
