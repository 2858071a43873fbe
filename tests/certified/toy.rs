//! Four sales and one prior statement, small enough to follow by hand.
//!
//! y = (6.0, 5.8, 5.7, 5.2) on an intercept and x = (0, 1, 2, 4); the prior
//! says the slope is -0.10 with deviation 0.05 where the residual deviation is
//! guessed as 0.2, so its row is (0, 4) with target -0.40, worth 16 sales.
//! Expected values computed with numpy 2.4.6 and scipy 1.17.1: `lstsq` and
//! explicit refits without a row; the evidence as the density of scipy's
//! `multivariate_t`, which does not go through the formula tested here.

use crate::support::second_opinion::assert_linfa_agrees;
use crate::support::tolerance::{REFERENCE_LIBRARY, SAME_NUMBER, assert_all_close, assert_close};
use wheelworth::statistics::distribution::student_t::{Predictive, quantile, student_t_quantile};
use wheelworth::statistics::linear::normal_inverse_gamma::NormalInverseGamma;
use wheelworth::statistics::{Design, Fit};

const X: [f64; 4] = [0.0, 1.0, 2.0, 4.0];
const Y: [f64; 4] = [6.0, 5.8, 5.7, 5.2];
const NEW: [f64; 2] = [1.0, 3.0];

fn sales(weights: [f64; 4]) -> Design {
    let mut design = Design::new(["level", "slope"]);
    for ((x, y), weight) in X.iter().zip(Y).zip(weights) {
        design.push(&[1.0, *x], y, weight).unwrap();
    }
    design
}

fn fit_with(design: &Design, prior: &[([f64; 2], f64)]) -> (Design, Fit) {
    let mut all = design.clone();
    for (row, target) in prior {
        all.push(row, *target, 1.0).unwrap();
    }
    let fit = Fit::of(&all.r_factor().unwrap(), all.names()).unwrap();
    (all, fit)
}

const SLOPE: [([f64; 2], f64); 1] = [([0.0, 4.0], -0.4)];
/// Prior mean (6, -0.1) with precision diag(1, 16).
const BOTH: [([f64; 2], f64); 2] = [([1.0, 0.0], 6.0), ([0.0, 4.0], -0.4)];

#[test]
fn least_squares_alone() {
    let (design, fit) = fit_with(&sales([1.0; 4]), &[]);
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[6.02, -0.197_142_857_142_857_37],
        SAME_NUMBER,
    );
    assert_linfa_agrees(&design, &fit, fit.residual_sd().unwrap(), SAME_NUMBER);
}

#[test]
fn one_prior_statement_pulls_the_slope() {
    let data = sales([1.0; 4]);
    let (all, fit) = fit_with(&data, &SLOPE);
    assert_all_close(
        "posterior",
        &fit.coefficients,
        &[5.910_101_010_101_012_5, -0.134_343_434_343_434_46],
        SAME_NUMBER,
    );
    assert_linfa_agrees(&all, &fit, fit.residual_sd().unwrap(), SAME_NUMBER);
    let leverages: Vec<f64> = all.iter().map(|(x, _, w)| w * fit.leverage(x)).collect();
    // 37/99, 27/99, 25/99, 45/99 and 64/99: their sum is 2, the coefficients.
    assert_all_close(
        "leverages",
        &leverages,
        &[37.0, 27.0, 25.0, 45.0, 64.0].map(|n| n / 99.0),
        SAME_NUMBER,
    );
    assert_close("their sum", leverages.iter().sum(), 2.0, SAME_NUMBER);
}

#[test]
fn left_out_residuals_are_those_of_a_refit() {
    let data = sales([1.0; 4]);
    let (_, fit) = fit_with(&data, &SLOPE);
    let left_out: Vec<f64> = data
        .iter()
        .map(|(x, y, w)| (y - fit.predict(x)) / (1.0 - w * fit.leverage(x)))
        .collect();
    assert_all_close(
        "left out",
        &left_out,
        &[
            0.143_548_387_096_774_2,
            0.033_333_333_333_333_33,
            0.078_378_378_378_378_38,
            -0.316_666_666_666_666_65,
        ],
        SAME_NUMBER,
    );
    for leave in 0..4 {
        let mut weights = [1.0; 4];
        weights[leave] = 0.0;
        let (_, without) = fit_with(&sales(weights), &SLOPE);
        let (x, y, _) = data.row(leave);
        assert_close(
            "refit",
            left_out[leave],
            y - without.predict(x),
            SAME_NUMBER,
        );
    }
}

struct Expected {
    weights: [f64; 4],
    evidence: f64,
    mean: [f64; 2],
    scale: f64,
    location: f64,
    spread: f64,
    spread_at_half: f64,
    range: [f64; 2],
}

/// a0 = 2, b0 = 0.08. Equal weights, then unequal ones.
const CONJUGATE: [Expected; 2] = [
    Expected {
        weights: [1.0; 4],
        evidence: 0.703_770_263_636_473_2,
        mean: [5.934_558_823_529_413_6, -0.138_970_588_235_294_48],
        scale: 0.113_345_588_235_249_58,
        location: 5.517_647_058_823_53,
        spread: 0.191_495_774_073_149_88,
        spread_at_half: 0.254_964_759_421_154_65,
        range: [5.250_162_829_846_902, 5.785_131_287_800_159],
    },
    Expected {
        weights: [1.0, 0.5, 2.0, 0.25],
        evidence: 0.839_880_301_649_905_3,
        mean: [5.949_583_828_775_268_5, -0.120_095_124_851_367_67],
        scale: 0.095_136_741_973_833_52,
        location: 5.589_298_454_221_165,
        spread: 0.180_105_863_838_623_5,
        spread_at_half: 0.237_112_436_794_266_83,
        range: [5.337_723_826_236_732, 5.840_873_082_205_598],
    },
];

/// scipy's own error here: its posterior scale subtracts numbers near 200 from
/// each other (1e-14 relative, 1e-11 in the result).
const SCIPY_CANCELLATION: f64 = 1e-9;

#[test]
fn evidence_posterior_and_prediction() {
    for expected in CONJUGATE {
        let data = sales(expected.weights);
        let (_, fit) = fit_with(&data, &BOTH);
        let model = NormalInverseGamma {
            a0: 2.0,
            b0: 0.08,
            n: 4.0,
            log_det_prior: 16_f64.ln(),
            log_weights: data.r_factor().unwrap().log_weights(),
        };
        assert_all_close("mean", &fit.coefficients, &expected.mean, REFERENCE_LIBRARY);
        assert_close("shape", model.shape(), 4.0, SAME_NUMBER);
        assert_close(
            "scale",
            model.scale(&fit),
            expected.scale,
            SCIPY_CANCELLATION,
        );
        assert_close(
            "evidence",
            model.log_evidence(&fit),
            expected.evidence,
            SCIPY_CANCELLATION,
        );
        // The distribution of a new row of weight 1, as the value model makes it.
        let variance = model.scale(&fit) / model.shape();
        let (freedom, location) = (2.0 * model.shape(), fit.predict(&NEW));
        let spread = |weight: f64| (variance * (1.0 / weight + fit.leverage(&NEW))).sqrt();
        let scale = spread(1.0);
        assert_close("location", location, expected.location, REFERENCE_LIBRARY);
        assert_close("spread", scale, expected.spread, SCIPY_CANCELLATION);
        let part = [(
            1.0,
            Predictive {
                freedom,
                location,
                scale,
            },
        )];
        let range = [quantile(&part, 0.1), quantile(&part, 0.9)];
        assert_all_close("80 % range", &range, &expected.range, SCIPY_CANCELLATION);
        assert_close(
            "spread at weight 1/2",
            spread(0.5),
            expected.spread_at_half,
            SCIPY_CANCELLATION,
        );
    }
}

/// The range that ordinary least squares gives at the same place
/// (statsmodels 0.15.0, `conf_int(obs=True, alpha=0.2)`).
#[test]
fn least_squares_range() {
    let (_, fit) = fit_with(&sales([1.0; 4]), &[]);
    let sd = fit.residual_sd().unwrap();
    let half = student_t_quantile(0.9, 2.0) * sd * (1.0 + fit.leverage(&NEW)).sqrt();
    let range = [fit.predict(&NEW) - half, fit.predict(&NEW) + half];
    assert_all_close(
        "80 % range",
        &range,
        &[5.291_217_094_268_037, 5.565_925_762_874_817],
        REFERENCE_LIBRARY,
    );
}
