//! Weibull regressions against R's `survreg` and lifelines.
//!
//! Both stop their search early: their log likelihoods agree to 1e-9 and their
//! coefficients to 1e-5 only, which the tolerances below give room for. Ours
//! are held to the exact condition at the top besides: a slope of 0.

use super::{episode, episodes, leukemia, lung};
use crate::support::tolerance::{assert_all_close, assert_close, assert_near};
use wheelworth::statistics::weibull::{Episode, NormalPrior, WeibullFit, WeibullModel};

/// R's `survreg` stops when the log likelihood changes by less than a 1e-9th;
/// near the top that leaves about the root of it, in standard errors.
const SURVREG: f64 = 5e-6;
/// Values given to six decimals.
const SIX_DECIMALS: f64 = 5.1e-7;
/// A log likelihood given to six decimals.
const LOG_LIKELIHOOD: f64 = 5.1e-7;

fn exponential(names: &[&str]) -> WeibullModel {
    WeibullModel {
        ln_scale: NormalPrior::held(0.0),
        ..WeibullModel::flat(names)
    }
}

/// The slope at the fit is 0 to the rounding of its sums.
fn assert_top(fit: &WeibullFit, episodes: &[Episode]) {
    let names: Vec<&str> = fit.names.iter().map(String::as_str).collect();
    let model = WeibullModel::flat(&names);
    let (value, slope) = model
        .log_likelihood(episodes, &fit.coefficients, fit.ln_scale)
        .unwrap();
    assert_close("log likelihood", value, fit.log_likelihood, 1e-12);
    for (slope, error) in slope.iter().zip(fit.standard_errors()) {
        assert_near("slope in standard errors", slope * error, 0.0, 1e-9);
    }
}

fn six_mp() -> Vec<Episode> {
    let rows = leukemia().into_iter().filter(|row| row[2] == 0.0);
    rows.map(|row| episode(&row[..2])).collect()
}

/// R survival 3.5-3, `survreg(Surv(time, cens) ~ rx)` on MASS's gehan, with
/// control as the base: intercept, 6-MP, scale, log likelihood, errors.
#[test]
fn gehan_by_weibull() {
    let data: Vec<Vec<f64>> = leukemia()
        .into_iter()
        .map(|r| vec![r[0], r[1], 1.0 - r[2]])
        .collect();
    let data = episodes(&data);
    let fit = WeibullModel::flat(&["intercept", "6-MP"])
        .fit(&data)
        .unwrap();
    assert_top(&fit, &data);
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[2.24835236087, 1.26733458521],
        SURVREG,
    );
    assert_close("scale", fit.ln_scale.exp(), 0.73219440304, SURVREG);
    assert_near("log likelihood", fit.log_likelihood, -106.579491582, 1e-9);
    // The error of ln s: lifelines 0.30.3.
    assert_all_close(
        "errors",
        &fit.standard_errors(),
        &[0.165971792901, 0.31063993549, 0.14729175783],
        SURVREG,
    );
    assert_eq!((fit.events, fit.episodes), (30.0, 42));
    assert!(fit.bounded.is_empty());
}

/// Computed with scipy 1.17; the coefficients of an exponential without other
/// columns are `ln(time / events)` of each arm, ln(359/9) and ln(182/21).
#[test]
fn gehan_by_exponential() {
    let data = episodes(&leukemia());
    let fit = exponential(&["intercept", "placebo"]).fit(&data).unwrap();
    let exact = [
        (359.0_f64 / 9.0).ln(),
        (182.0_f64 / 21.0 * 9.0 / 359.0).ln(),
    ];
    assert_all_close("coefficients", &fit.coefficients, &exact, 1e-12);
    let errors = fit.standard_errors();
    assert_all_close(
        "errors",
        &errors,
        &[1.0 / 3.0, (1.0_f64 / 9.0 + 1.0 / 21.0).sqrt(), 0.0],
        1e-12,
    );
    assert_near(
        "log likelihood",
        fit.log_likelihood,
        -108.524050,
        LOG_LIKELIHOOD,
    );
}

/// Without a prior, and shrunk towards the exponential: computed with scipy 1.17.
#[test]
fn the_six_mp_arm_shrunk_towards_the_exponential() {
    for (sd, location, ln_scale) in [
        (f64::INFINITY, 3.519429, -0.302867),
        (0.3, 3.590984, -0.155086),
        (0.1, 3.666433, -0.029298),
        (0.0, 3.686098, 0.0),
    ] {
        let model = WeibullModel {
            ln_scale: NormalPrior::new(0.0, sd),
            ..WeibullModel::flat(&["intercept"])
        };
        let fit = model.fit(&six_mp()).unwrap();
        assert_near("location", fit.coefficients[0], location, SIX_DECIMALS);
        assert_near("ln s", fit.ln_scale, ln_scale, SIX_DECIMALS);
    }
}

/// `survreg(Surv(time, status) ~ 1)` as printed in survival's
/// tests/r_lung.Rout.save; log likelihood to six decimals with scipy 1.17.
#[test]
fn lung_without_columns() {
    let data = episodes(&lung(&[]));
    assert_eq!(data.len(), 228);
    let fit = WeibullModel::flat(&["intercept"]).fit(&data).unwrap();
    assert_top(&fit, &data);
    assert_near("intercept", fit.coefficients[0], 6.034904, SURVREG);
    assert_near("scale", fit.ln_scale.exp(), 0.7593936, SURVREG);
    assert_near(
        "log likelihood",
        fit.log_likelihood,
        -1153.851188,
        LOG_LIKELIHOOD,
    );
}

/// `~ sex + age + ph.ecog` as printed in the same file; errors with scipy 1.17.
#[test]
fn lung_by_sex_age_and_ecog() {
    let data = episodes(&lung(&["sex", "age", "ph.ecog"]));
    assert_eq!(data.len(), 227);
    let names = ["intercept", "sex", "age", "ph.ecog"];
    let fit = WeibullModel::flat(&names).fit(&data).unwrap();
    assert_top(&fit, &data);
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[6.273435252, 0.401090541, -0.007475439, -0.339638098],
        SURVREG,
    );
    assert_near("scale", fit.ln_scale.exp(), 0.731109, SIX_DECIMALS);
    assert_near("log likelihood", fit.log_likelihood, -1132.4, 0.05);
    assert_all_close(
        "errors",
        &fit.standard_errors(),
        &[0.453571, 0.123733, 0.006763, 0.083478, 0.061347],
        1e-5,
    );
}

/// `~ age + sex + ph.karno`: R survival 3.5-3.
#[test]
fn lung_by_age_sex_and_karnofsky() {
    let data = episodes(&lung(&["age", "sex", "ph.karno"]));
    let names = ["intercept", "age", "sex", "ph.karno"];
    let fit = WeibullModel::flat(&names).fit(&data).unwrap();
    assert_top(&fit, &data);
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[
            5.3263158306,
            -0.00891058250695,
            0.370187051329,
            0.00926417158522,
        ],
        SURVREG,
    );
    assert_near("scale", fit.ln_scale.exp(), 0.755144537628, SURVREG);
    assert_near("log likelihood", fit.log_likelihood, -1138.69178439, 5.1e-9);
    assert_all_close(
        "errors",
        &fit.standard_errors()[..4],
        &[
            0.662975863124,
            0.00710852598834,
            0.127957603641,
            0.00446370735105,
        ],
        SURVREG,
    );
}
