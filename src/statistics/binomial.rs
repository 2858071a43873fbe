//! The exact range of a share that was counted.

use statrs::function::beta::checked_beta_reg;

/// Exact (Clopper-Pearson) interval of a share after `k` of `n`, `k` at most
/// `n`, at a confidence above 0 and below 1; `(0, 1)` when nothing was counted.
///
/// With `a` half of what the confidence leaves, the low end is the share at which
/// `k` or more of `n` have probability `a`, and the high end that at which `k` or
/// fewer have it. The first is `I(p; k, n - k + 1)`, the regularised incomplete
/// beta function (Clopper & Pearson 1934, Biometrika 26:404-413). Each end is
/// found by halving, as the library's own inverse stops far too early where `a` is
/// small. The library's function keeps about ten digits up to some ten thousand
/// counts.
///
/// ```
/// use wheelworth::statistics::binomial::interval;
/// assert_eq!(interval(0, 0, 0.95), (0.0, 1.0));
/// assert!((interval(0, 10, 0.95).1 - 0.3085).abs() < 1e-4);
/// ```
pub fn interval(k: u64, n: u64, confidence: f64) -> (f64, f64) {
    let outside = (1.0 - confidence) / 2.0;
    let k = k.min(n);
    let low = match k {
        0 => 0.0,
        _ => share_at(outside, k, n - k + 1),
    };
    let high = match n - k {
        0 => 1.0,
        // The same end seen from the other side, so that a share near 1 keeps its digits.
        left => 1.0 - share_at(outside, left, k + 1),
    };
    (low, high)
}

/// The `p` at which `I(p; a, b)` is `probability`.
fn share_at(probability: f64, a: u64, b: u64) -> f64 {
    let below = |p| checked_beta_reg(a as f64, b as f64, p).unwrap_or(f64::NAN) < probability;
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    loop {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            return middle;
        }
        if below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
}
