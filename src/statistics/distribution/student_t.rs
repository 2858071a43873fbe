//! Student t predictive distributions, alone and mixed, and their quantiles.

use statrs::distribution::{ContinuousCDF, StudentsT};
use statrs::function::beta::checked_beta_reg;

/// A Student t with a location and a scale (on the log scale of prices).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Predictive {
    /// Degrees of freedom, above 0.
    pub freedom: f64,
    /// Centre.
    pub location: f64,
    /// Scale, above 0.
    pub scale: f64,
}

impl Predictive {
    /// Probability of a value up to `x`.
    ///
    /// Near the centre `I(k^2 / (n + k^2); 1/2, n/2)` is used, k the distance in
    /// scales and n the degrees of freedom: the library's own form rounds
    /// `n / (n + k^2)` to 1 there, which cost half the digits of the median.
    pub fn cdf(&self, x: f64) -> f64 {
        let k = (x - self.location) / self.scale;
        if self.freedom > 0.0 && k * k < self.freedom && self.freedom.is_finite() {
            let part = k * k / (self.freedom + k * k);
            let inside = checked_beta_reg(0.5, self.freedom / 2.0, part).unwrap_or(f64::NAN);
            return 0.5 + (0.5 * inside).copysign(k);
        }
        StudentsT::new(0.0, 1.0, self.freedom).map_or(f64::NAN, |t| t.cdf(k))
    }

    /// Natural logarithm of the density at `x`.
    pub fn ln_density(&self, x: f64) -> f64 {
        use statrs::distribution::Continuous;
        StudentsT::new(0.0, 1.0, self.freedom).map_or(f64::NAN, |t| {
            t.ln_pdf((x - self.location) / self.scale) - self.scale.ln()
        })
    }
}

/// Quantile of the standard Student t with `freedom` degrees, `0 < p < 1`.
/// Found from the distribution function and so independent of the
/// library's own inverse, which was once wrong on half its range.
pub fn student_t_quantile(p: f64, freedom: f64) -> f64 {
    quantile(
        &[(
            1.0,
            Predictive {
                freedom,
                location: 0.0,
                scale: 1.0,
            },
        )],
        p,
    )
}

/// Probability of a value up to `x` under a mixture of weighted predictives.
pub fn mixture_cdf(mixture: &[(f64, Predictive)], x: f64) -> f64 {
    let total: f64 = mixture.iter().map(|(w, _)| w).sum();
    mixture.iter().map(|(w, t)| w * t.cdf(x)).sum::<f64>() / total
}

fn mixture_density(mixture: &[(f64, Predictive)], x: f64) -> f64 {
    let total: f64 = mixture.iter().map(|(w, _)| w).sum();
    mixture
        .iter()
        .map(|(w, t)| w * t.ln_density(x).exp())
        .sum::<f64>()
        / total
}

/// Quantile of a mixture, `0 < p < 1`, to about 1e-13 of its scale (Newton's
/// method within a shrinking bracket).
pub fn quantile(mixture: &[(f64, Predictive)], p: f64) -> f64 {
    let ends = |pick: fn(f64, f64) -> f64, start: f64| {
        mixture.iter().map(|(_, t)| t.location).fold(start, pick)
    };
    let (first, last) = (
        ends(f64::min, f64::INFINITY),
        ends(f64::max, f64::NEG_INFINITY),
    );
    let widest = mixture.iter().map(|(_, t)| t.scale).fold(0.0, f64::max);
    if !(first.is_finite() && last.is_finite() && widest > 0.0 && p > 0.0 && p < 1.0) {
        return f64::NAN;
    }
    let mut reach = widest;
    while mixture_cdf(mixture, first - reach) > p || mixture_cdf(mixture, last + reach) < p {
        reach *= 2.0;
        if !reach.is_finite() {
            return f64::NAN;
        }
    }
    let (mut low, mut high) = (first - reach, last + reach);
    let mut x = low + (high - low) / 2.0;
    // Newton steps where they stay inside the bracket, else its middle. They can
    // come to rest on one end of the bracket for the last rounding of the
    // distribution function; halving alone then closes it.
    for round in 0..200 {
        let off = mixture_cdf(mixture, x) - p;
        if off == 0.0 || high - low < 1e-14 * (widest + x.abs()) {
            break;
        }
        if off < 0.0 {
            low = x;
        } else {
            high = x;
        }
        let newton = x - off / mixture_density(mixture, x);
        if (newton - x).abs() < 1e-14 * (widest + x.abs()) {
            break;
        }
        x = if round < 40 && newton > low && newton < high {
            newton
        } else {
            low + (high - low) / 2.0
        };
    }
    x
}
