//! The upper tail of the standard normal distribution, and its quantiles.

use statrs::function::erf::{erfc, erfc_inv};

/// ln of the probability that a standard normal lies above `z`.
///
/// Beyond 8 the first terms of the asymptotic series stand in for the
/// complementary error function, which would soon be 0 (Abramowitz & Stegun,
/// *Handbook of Mathematical Functions*, 26.2.12): relative error below 1e-5.
///
/// ```
/// use wheelworth::statistics::distribution::normal::ln_upper_tail;
/// assert!((ln_upper_tail(0.0) - 0.5_f64.ln()).abs() < 1e-15);
/// ```
pub fn ln_upper_tail(z: f64) -> f64 {
    if z > 8.0 {
        let s = 1.0 / (z * z);
        let series = 1.0 - s * (1.0 - 3.0 * s * (1.0 - 5.0 * s));
        return -0.5 * z * z - (z * (2.0 * std::f64::consts::PI).sqrt()).ln() + series.ln();
    }
    (0.5 * erfc(z / std::f64::consts::SQRT_2)).ln()
}

/// Quantile of the standard normal, `0 < p < 1`.
///
/// ```
/// use wheelworth::statistics::distribution::normal::quantile;
/// assert!((quantile(0.975) - 1.959963984540054).abs() < 1e-9);
/// ```
pub fn quantile(p: f64) -> f64 {
    -std::f64::consts::SQRT_2 * erfc_inv(2.0 * p)
}
