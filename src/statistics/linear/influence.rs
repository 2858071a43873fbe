//! Leverage, studentised residuals and Cook's distance of the rows of a fit.

use super::design::Design;
use super::least_squares::Fit;

/// Influence of one row.
#[derive(Clone, Copy, Debug)]
pub struct Influence {
    /// Residual `e`, in the target's unit.
    pub residual: f64,
    /// Leverage `h`, 0 to 1.
    pub leverage: f64,
    /// Residual of the fit without the row, `e / (1 - h)`: exact, prior rows kept.
    pub left_out: f64,
    /// Externally studentised residual.
    pub studentised: f64,
    /// Cook's distance.
    pub cook: f64,
}

/// Influence of each row of `design` on `fit` (which may hold prior rows besides).
/// Degrees of freedom are `sum(1 - h)` over the rows, which is `n - p` without
/// prior rows (Belsley, Kuh & Welsch 1980, from memory).
pub fn influence(design: &Design, fit: &Fit) -> Vec<Influence> {
    let rows: Vec<(f64, f64, f64)> = design
        .iter()
        .map(|(x, y, w)| (y - fit.predict(x), w, (w * fit.leverage(x)).min(1.0)))
        .collect();
    let freedom: f64 = rows.iter().filter(|r| r.1 > 0.0).map(|r| 1.0 - r.2).sum();
    let used: f64 = rows.iter().map(|r| r.2).sum();
    let sum: f64 = rows.iter().map(|(e, w, _)| w * e * e).sum();
    let sd = (sum / freedom).sqrt();
    rows.iter()
        .map(|(e, w, h)| {
            let inner = w.sqrt() * e / (sd * (1.0 - h).sqrt());
            let outer = inner * ((freedom - 1.0) / (freedom - inner * inner)).sqrt();
            Influence {
                residual: *e,
                leverage: *h,
                left_out: e / (1.0 - h),
                studentised: outer,
                cook: inner * inner * h / (used * (1.0 - h)),
            }
        })
        .collect()
}

/// Prediction sum of squares: `sum w (e / (1 - h))^2`.
pub fn press(design: &Design, fit: &Fit) -> f64 {
    influence(design, fit)
        .iter()
        .zip(design.iter())
        .map(|(i, (_, _, w))| w * i.left_out.powi(2))
        .sum()
}
