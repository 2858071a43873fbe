//! linfa-linear asked directly, with the raw rows: a second opinion on every
//! unweighted fit. It shares with our fit only its last step (the solve of the
//! small triangular system); the reduction of the rows is its own.

use super::tolerance::assert_close;
use linfa::traits::Fit as _;
use ndarray::{Array1, Array2};
use wheelworth::statistics::{Design, Fit};

/// Coefficients that linfa-linear finds for the rows of `design`, unscaled,
/// without an intercept of its own (the intercept is a column of the design).
pub fn linfa_alone(design: &Design) -> Result<Vec<f64>, String> {
    assert!(
        design.iter().all(|(_, _, w)| w == 1.0),
        "linfa-linear ignores weights, so it has no opinion on weighted rows"
    );
    let (n, p) = (design.rows(), design.names().len());
    let x = Array2::from_shape_fn((n, p), |(i, j)| design.row(i).0[j]);
    let y = Array1::from_shape_fn(n, |i| design.row(i).1);
    linfa_linear::LinearRegression::new()
        .with_intercept(false)
        .fit(&linfa::Dataset::new(x, y))
        .map(|model| model.params().to_vec())
        .map_err(|e| e.to_string())
}

/// Asserts that linfa-linear agrees with `fit`, each coefficient to `tolerance`
/// of its standard error at residual deviation `sd` or of its own size,
/// whichever is larger.
#[track_caller]
pub fn assert_linfa_agrees(design: &Design, fit: &Fit, sd: f64, tolerance: f64) {
    let theirs = linfa_alone(design).expect("linfa-linear fits these rows");
    let errors = fit.standard_errors(sd);
    for (j, name) in design.names().iter().enumerate() {
        let size = errors[j].max(fit.coefficients[j].abs());
        assert_close(
            &format!("linfa-linear's coefficient of '{name}', in sizes"),
            theirs[j] / size,
            fit.coefficients[j] / size,
            tolerance,
        );
    }
}
