//! Stack loss of a plant oxidising ammonia, 21 days: Brownlee 1965, *Statistical
//! Theory and Methodology in Science and Engineering*, 2nd edition (in the public
//! domain as statsmodels states; numbers as in its `stackloss` set).
//!
//! Expected values: statsmodels 0.15.0 (`OLS`, `get_influence`, `RLM` with
//! `HuberT(1.345)` and `TukeyBiweight(4.685)`, MAD about 0, bisquare started from
//! Huber's fit, tolerance 1e-14). Student t errors with 4 degrees of freedom: the
//! maximum of scipy 1.17.1's `t.logpdf` found by Nelder-Mead, so by another way
//! than the reweighting tested here. The OLS and Huber rows also match R's
//! printed outputs (from memory).

use crate::support::second_opinion::assert_linfa_agrees;
use crate::support::tolerance::{REFERENCE_LIBRARY, SAME_NUMBER, assert_all_close, assert_close};
use wheelworth::statistics::linear::influence::{Influence, influence, press};
use wheelworth::statistics::linear::robust;
use wheelworth::statistics::linear::robust::Weighting;
use wheelworth::statistics::{Design, Fit};

const LOSS: [f64; 21] = [
    42.0, 37.0, 37.0, 28.0, 18.0, 18.0, 19.0, 20.0, 15.0, 14.0, 14.0, 13.0, 11.0, 12.0, 8.0, 7.0,
    8.0, 8.0, 9.0, 15.0, 15.0,
];
const AIR_FLOW: [f64; 21] = [
    80.0, 80.0, 75.0, 62.0, 62.0, 62.0, 62.0, 62.0, 58.0, 58.0, 58.0, 58.0, 58.0, 58.0, 50.0, 50.0,
    50.0, 50.0, 50.0, 56.0, 70.0,
];
const WATER: [f64; 21] = [
    27.0, 27.0, 25.0, 24.0, 22.0, 23.0, 24.0, 24.0, 23.0, 18.0, 18.0, 17.0, 18.0, 19.0, 18.0, 18.0,
    19.0, 19.0, 20.0, 20.0, 20.0,
];
const ACID: [f64; 21] = [
    89.0, 88.0, 90.0, 87.0, 87.0, 87.0, 93.0, 93.0, 87.0, 80.0, 89.0, 88.0, 82.0, 93.0, 89.0, 86.0,
    72.0, 79.0, 80.0, 82.0, 91.0,
];

fn design() -> Design {
    let mut design = Design::new(["intercept", "air flow", "water temperature", "acid"]);
    for i in 0..LOSS.len() {
        design
            .push(&[1.0, AIR_FLOW[i], WATER[i], ACID[i]], LOSS[i], 1.0)
            .unwrap();
    }
    design
}

fn least_squares(design: &Design) -> Fit {
    Fit::of(&design.triangle().unwrap(), design.names()).unwrap()
}

#[test]
fn ordinary_least_squares() {
    let design = design();
    let fit = least_squares(&design);
    let sd = fit.residual_sd().unwrap();
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[
            -39.919_674_420_123_99,
            0.715_640_200_485_283_8,
            1.295_286_124_388_572_5,
            -0.152_122_519_148_659_46,
        ],
        REFERENCE_LIBRARY,
    );
    assert_all_close(
        "standard errors",
        &fit.standard_errors(sd),
        &[
            11.895_996_850_643_971,
            0.134_858_185_355_370_75,
            0.368_024_265_272_701_9,
            0.156_294_043_248_617_65,
        ],
        REFERENCE_LIBRARY,
    );
    assert_close("residual sd", sd, 3.243_363_918_185_222, REFERENCE_LIBRARY);
    let mean = LOSS.iter().sum::<f64>() / 21.0;
    let total: f64 = LOSS.iter().map(|y| (y - mean).powi(2)).sum();
    let r_squared = 1.0 - fit.residual_sum / total;
    assert_close(
        "R squared",
        r_squared,
        0.913_576_904_460_681_8,
        REFERENCE_LIBRARY,
    );
    assert_linfa_agrees(&design, &fit, sd, SAME_NUMBER);
}

#[test]
fn influence_of_each_day() {
    let design = design();
    let fit = least_squares(&design);
    let rows = influence(&design, &fit);
    let largest = |pick: fn(&Influence) -> f64| {
        rows.iter()
            .map(pick)
            .enumerate()
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .unwrap()
    };
    let (day, cook) = largest(|r| r.cook);
    assert_eq!(day + 1, 21);
    assert_close(
        "Cook's distance",
        cook,
        0.691_999_916_339_512_6,
        REFERENCE_LIBRARY,
    );
    let (day, leverage) = largest(|r| r.leverage);
    assert_eq!(day + 1, 17);
    assert_close(
        "leverage",
        leverage,
        0.412_123_497_857_860_3,
        REFERENCE_LIBRARY,
    );
    let (day, _) = largest(|r| r.studentised.abs());
    assert_eq!(day + 1, 21);
    assert_close(
        "studentised residual",
        rows[20].studentised,
        -3.330_493_319_328_054_4,
        REFERENCE_LIBRARY,
    );
    assert_close(
        "PRESS",
        press(&design, &fit),
        291.868_931_729_691_3,
        REFERENCE_LIBRARY,
    );
}

/// statsmodels stops at 1e-14 in the coefficients, which leaves its scale (a
/// median of residuals) exact to about 1e-12.
const REWEIGHTED: f64 = 1e-9;

#[track_caller]
fn check(weighting: Weighting, coefficients: [f64; 4], scale: f64, tolerance: f64) {
    let found = robust::fit(&design(), weighting).unwrap();
    assert_all_close(
        "coefficients",
        &found.fit.coefficients,
        &coefficients,
        tolerance,
    );
    assert_close("scale", found.scale, scale, tolerance);
}

#[test]
fn huber() {
    check(
        Weighting::Huber(1.345),
        [
            -41.026_498_352_400_27,
            0.829_384_334_600_111_6,
            0.926_065_966_196_643_6,
            -0.127_846_724_945_784_97,
        ],
        2.440_536_091_721_158_5,
        REWEIGHTED,
    );
}

#[test]
fn bisquare() {
    check(
        Weighting::Bisquare(4.685),
        [
            -42.285_350_779_329_676,
            0.927_557_322_755_521_8,
            0.650_717_687_214_304_3,
            -0.112_333_153_790_901_59,
        ],
        2.281_881_334_951_142_6,
        REWEIGHTED,
    );
}

/// Nelder-Mead finds a maximum only to the square root of the precision of the
/// likelihood: about 1e-7 relative.
#[test]
fn student_t_errors() {
    check(
        Weighting::StudentT(robust::DEGREES),
        [
            -40.068_092_69,
            0.857_090_790_7,
            0.745_268_800_8,
            -0.115_124_831_3,
        ],
        2.024_533_907,
        1e-7,
    );
}
