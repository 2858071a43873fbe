//! Scores of forecasts.

use crate::statistics::linear::robust::median;

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
