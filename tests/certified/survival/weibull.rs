//! Weibull regressions against R's `survreg` and lifelines.
//!
//! Both stop their search early: their log likelihoods agree to 1e-9 and their
//! coefficients to 1e-5 only, which the tolerances below give room for. Ours
//! are held to the exact condition at the top besides: a slope of 0.

use super::{episode, episodes, leukemia, lung};
use crate::certified::hedonic::{number, open_data};
use crate::support::tolerance::{
    FIVE_DECIMALS, SIX_DECIMALS, assert_all_close, assert_close, assert_near,
};
use wheelworth::statistics::survival::weibull::{Episode, NormalPrior, WeibullFit, WeibullModel};

/// R's `survreg` stops when the log likelihood changes by less than a 1e-9th;
/// near the top that leaves about the root of it, in standard errors.
const SURVREG: f64 = 5e-6;

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

/// Computed with scipy; the coefficients of an exponential without other
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
        SIX_DECIMALS,
    );
}

/// Without a prior, and shrunk towards the exponential: computed with scipy.
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
/// `tests/r_lung.Rout.save`; log likelihood to six decimals with scipy.
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
        SIX_DECIMALS,
    );
}

/// `~ sex + age + ph.ecog` as printed in the same file; errors with scipy.
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

/// Ridge terms of `survreg`, printed in the same file with their errors. The
/// penalty is `theta / 2 * coefficient^2 * variance of the column` (help page of
/// `ridge`, 'rescaling the predictors to have unit variance'; the column's
/// variance over all rows that have it, with n - 1), which is a normal prior of
/// variance `1 / (theta * variance)`.
#[test]
fn lung_with_ridge_terms() {
    let ridge = |theta: f64, column: &str| {
        let values: Vec<f64> = lung(&[column]).iter().map(|row| row[2]).collect();
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let square: f64 = values.iter().map(|v| (v - mean) * (v - mean)).sum();
        NormalPrior::new(0.0, (theta * square / (n - 1.0)).sqrt().recip())
    };
    let fit = |names: &[&str], priors: Vec<NormalPrior>| {
        let model = WeibullModel {
            priors: [vec![NormalPrior::FLAT], priors].concat(),
            ..WeibullModel::flat(&[&["intercept"], names].concat())
        };
        // Rows without ph.ecog are left out, as survreg does.
        model.fit(&episodes(&lung(names))).unwrap()
    };
    let flat = NormalPrior::FLAT;
    let two = fit(
        &["sex", "age", "ph.ecog"],
        vec![flat, ridge(1.0, "age"), ridge(1.0, "ph.ecog")],
    );
    let printed = [6.27163, 0.40096, -0.00746, -0.33848];
    assert_printed(
        "two",
        &two,
        printed.as_slice(),
        &[0.45280, 0.12371, 0.00675, 0.08329],
        0.731,
    );
    let one = fit(&["age", "ph.ecog"], vec![flat, ridge(5.0, "ph.ecog")]);
    assert_printed(
        "one",
        &one,
        &[6.83082, -0.00783, -0.32032],
        &[0.42860, 0.00687, 0.08484],
        0.738,
    );
}

/// Printed to five decimals, the scale to three.
fn assert_printed(what: &str, fit: &WeibullFit, coefficients: &[f64], errors: &[f64], scale: f64) {
    for (found, expected) in fit.coefficients.iter().zip(coefficients) {
        assert_near(what, *found, *expected, FIVE_DECIMALS);
    }
    for (found, expected) in fit.standard_errors().iter().zip(errors) {
        assert_near(what, *found, *expected, FIVE_DECIMALS);
    }
    assert_near(what, fit.ln_scale.exp(), scale, 5.1e-4);
}

/// An exponential seen late: rate = events / time seen, error of its logarithm
/// `1 / sqrt(events)`, exactly.
#[test]
fn an_exponential_found_late() {
    let seen = [
        (5.0, 12.0, 1.0),
        (0.0, 3.0, 1.0),
        (20.0, 31.0, 0.0),
        (8.0, 9.0, 0.5),
        (2.0, 2.0, 0.0),
    ];
    let data = seen.map(|(entry, exit, event)| Episode {
        entry,
        ..episode(&[exit, event])
    });
    let fit = exponential(&["intercept"]).fit(&data).unwrap();
    let exact = (22.0_f64 / 2.5).ln();
    assert_close("location", fit.coefficients[0], exact, 1e-13);
    assert_close(
        "error",
        fit.standard_errors()[0],
        2.5_f64.sqrt().recip(),
        1e-12,
    );
    assert_eq!((fit.events, fit.episodes), (2.5, 4));
}

/// K. & M. ch. 12: R survival 3.5-3 on `KMsurv`'s larynx, fetched by `.ci/open-data`.
#[test]
fn larynx_by_stage_and_age() {
    let Some(rows) = open_data("larynx") else {
        return;
    };
    let data: Vec<Vec<f64>> = rows
        .iter()
        .map(|row| {
            let stage = |s: f64| f64::from(u8::from(number(row, "stage") == s));
            let [time, death, age] = ["time", "delta", "age"].map(|c| number(row, c));
            vec![time, death, stage(2.0), stage(3.0), stage(4.0), age]
        })
        .collect();
    let data = episodes(&data);
    let names = ["intercept", "II", "III", "IV", "age"];
    let fit = WeibullModel::flat(&names).fit(&data).unwrap();
    assert_top(&fit, &data);
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[
            3.52875996281,
            -0.147704171067,
            -0.586558447005,
            -1.54407608394,
            -0.0174636707215,
        ],
        SURVREG,
    );
    assert_near("scale", fit.ln_scale.exp(), 0.884843216954, SURVREG);
    assert_near("log likelihood", fit.log_likelihood, -141.423380293, 1e-9);
    assert_all_close(
        "errors",
        &fit.standard_errors(),
        // The error of ln s: lifelines 0.30.3.
        &[
            0.904123162301,
            0.407568371818,
            0.319949715543,
            0.363266189226,
            0.0127783912091,
            0.122505177,
        ],
        SURVREG,
    );
}

/// The exponential and the Weibull of `ovarian` (fetched by `.ci/open-data`): as
/// printed in survival's tests for the first; lifelines 0.30.3 for the second.
#[test]
fn ovarian_by_ecog_and_treatment() {
    let Some(rows) = open_data("ovarian") else {
        return;
    };
    let columns = ["futime", "fustat", "ecog.ps", "rx"];
    let cells = rows
        .iter()
        .map(|row| columns.map(|c| number(row, c)).to_vec());
    let data = episodes(&cells.collect::<Vec<_>>());
    let names = ["intercept", "ecog.ps", "rx"];
    let fit = exponential(&names).fit(&data).unwrap();
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[6.9618376, -0.4331347, 0.5815027],
        5.1e-8,
    );
    assert_near("log likelihood", fit.log_likelihood, -97.2, 0.05);

    let fit = WeibullModel::flat(&names).fit(&data).unwrap();
    assert_top(&fit, &data);
    assert_all_close(
        "coefficients",
        &fit.coefficients,
        &[6.896700, -0.385043, 0.528643],
        1e-4,
    );
    assert_near(
        "log likelihood",
        fit.log_likelihood,
        -97.08449316844919,
        1e-7,
    );
}
