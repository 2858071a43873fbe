//! Stack loss of a plant oxidising ammonia, 21 days: Brownlee 1965, *Statistical
//! Theory and Methodology in Science and Engineering*, 2nd edition (in the public
//! domain as statsmodels states; numbers as in its `stackloss` set).
//!
//! Expected values: statsmodels 0.15.0 (`OLS`, `get_influence`). Student t errors
//! with 4 degrees of freedom: the maximum of scipy 1.17.1's `t.logpdf` found by
//! Nelder-Mead, so by another way than the reweighting here, whose weights are the
//! model's. The OLS rows also match R's printed outputs (from memory).

use crate::support::second_opinion::assert_linfa_agrees;
use crate::support::tolerance::{REFERENCE_LIBRARY, SAME_NUMBER, assert_all_close, assert_close};
use wheelworth::statistics::linear::robust::student_t_weight;
use wheelworth::statistics::{Design, Fit, RFactor};

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
    Fit::of(&design.r_factor().unwrap(), design.names()).unwrap()
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
fn the_day_of_the_largest_leverage() {
    let design = design();
    let fit = least_squares(&design);
    let leverages = design.iter().map(|(x, ..)| fit.leverage(x)).enumerate();
    let (day, leverage) = leverages.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
    assert_eq!(day + 1, 17);
    assert_close(
        "leverage",
        leverage,
        0.412_123_497_857_860_3,
        REFERENCE_LIBRARY,
    );
}

/// Least squares with the weights of Student t errors of scale `s`, and `s` itself
/// (`s^2 = mean(w e^2)`), in turn until they stay.
fn reweighted(design: &Design) -> (Fit, f64) {
    let (mut fit, mut scale) = (least_squares(design), 1.0);
    for _ in 0..2000 {
        let residuals: Vec<f64> = design.iter().map(|(x, y, _)| y - fit.predict(x)).collect();
        let weights = residuals.iter().map(|e| student_t_weight(e / scale));
        let mut rows = RFactor::new(4);
        let mut sum = 0.0;
        for ((x, y, _), (e, weight)) in design.iter().zip(residuals.iter().zip(weights)) {
            rows.push(x, y, weight).unwrap();
            sum += weight * e * e;
        }
        fit = Fit::of(&rows, design.names()).unwrap();
        scale = (sum / residuals.len() as f64).sqrt();
    }
    (fit, scale)
}

/// Nelder-Mead finds a maximum only to the square root of the precision of the
/// likelihood: about 1e-7 relative.
#[test]
fn student_t_errors() {
    let (fit, scale) = reweighted(&design());
    let coefficients = [
        -40.068_092_69,
        0.857_090_790_7,
        0.745_268_800_8,
        -0.115_124_831_3,
    ];
    assert_all_close("coefficients", &fit.coefficients, &coefficients, 1e-7);
    assert_close("scale", scale, 2.024_533_907, 1e-7);
}
