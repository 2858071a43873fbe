//! The upper tail of the standard normal distribution.

use statrs::function::erf::erfc;

/// ln of the probability that a standard normal lies above `z`.
///
/// Beyond 8 the first terms of the asymptotic series stand in for the
/// complementary error function, which would soon be 0 (Abramowitz & Stegun,
/// *Handbook of Mathematical Functions*, 26.2.12): relative error below 1e-5.
///
/// ```
/// use wheelworth::statistics::normal::ln_upper_tail;
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
