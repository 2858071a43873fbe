//! Scores of forecasts.

use crate::statistics::linear::robust::median;
use statrs::function::beta::ln_beta;
use statrs::function::erf::erf;

/// Interval score of a central `1 - alpha` range for the outcome `y`: its width
/// plus `2/alpha` times the distance by which `y` misses it. Smaller is better.
/// Gneiting & Raftery 2007, JASA 102:359-378, eq. 43.
///
/// ```
/// use wheelworth::statistics::evaluation::scores::interval_score;
/// assert_eq!(interval_score(200.0, 300.0, 180.0, 0.2), 300.0);
/// ```
pub fn interval_score(low: f64, high: f64, y: f64, alpha: f64) -> f64 {
    (high - low) + 2.0 / alpha * ((low - y).max(0.0) + (y - high).max(0.0))
}

/// Median absolute error as a fraction of the outcome, over `(forecast, outcome)`.
pub fn median_absolute_percentage_error(pairs: &[(f64, f64)]) -> f64 {
    median(
        pairs
            .iter()
            .map(|(forecast, outcome)| ((forecast - outcome) / outcome).abs())
            .collect(),
    )
}

fn normal_cdf(z: f64) -> f64 {
    0.5 * (1.0 + erf(z / std::f64::consts::SQRT_2))
}

fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// Continuous ranked probability score of a normal forecast (Gneiting &
/// Raftery 2007, eq. 21), in the unit of `y`.
pub fn crps_normal(mean: f64, sd: f64, y: f64) -> f64 {
    let z = (y - mean) / sd;
    sd * (z * (2.0 * normal_cdf(z) - 1.0) + 2.0 * normal_density(z)
        - 1.0 / std::f64::consts::PI.sqrt())
}

/// The same for a standard Student t with `freedom` above 1 degrees (Jordan,
/// Krüger & Lerch 2019, J. Statistical Software 90(12), appendix A, from memory).
pub fn crps_student_t(freedom: f64, y: f64) -> f64 {
    use crate::statistics::distribution::student_t::Predictive;
    let t = Predictive {
        freedom,
        location: 0.0,
        scale: 1.0,
    };
    let (cdf, density) = (t.cdf(y), t.ln_density(y).exp());
    let tail = ln_beta(0.5, freedom - 0.5) - 2.0 * ln_beta(0.5, freedom / 2.0);
    y * (2.0 * cdf - 1.0) + 2.0 * density * (freedom + y * y) / (freedom - 1.0)
        - 2.0 * freedom.sqrt() / (freedom - 1.0) * tail.exp()
}

/// The same for a log-normal forecast with `ln y ~ N(mean, sd^2)` (same source), `y` above 0.
pub fn crps_log_normal(mean: f64, sd: f64, y: f64) -> f64 {
    let z = (y.ln() - mean) / sd;
    y * (2.0 * normal_cdf(z) - 1.0)
        - 2.0
            * (mean + sd * sd / 2.0).exp()
            * (normal_cdf(z - sd) + normal_cdf(sd / std::f64::consts::SQRT_2) - 1.0)
}
