//! A price before it is rounded, and the sums on it.

use super::answer::EyeQuote;
use crate::pricing::design::features::Facts;
use crate::pricing::value::levels::Levels;
use crate::statistics::distribution::student_t::Predictive;
use crate::trade::{Currency, Day};

/// Largest variance of ln price that goes into a mean: with unknown facts the
/// log-normal mean would otherwise run away from everything seen.
pub(in crate::pricing) const LARGEST_VARIANCE: f64 = 0.7;

/// Standard deviation of ln of the value that goes into a plan, at most: who hardly
/// knows what a bike is worth asks by what it seems to be worth, and not by what it
/// might be if all went well (judgement).
pub(in crate::pricing) const MOST_DOUBT: f64 = 0.3;
/// The same where there are no records at all.
pub(in crate::pricing) const MOST_DOUBT_WITHOUT_RECORDS: f64 = 0.2;

/// A price before it is rounded.
pub(super) struct Unrounded {
    pub(super) currency: Currency,
    /// Distribution of ln of one sale: a mixture.
    pub(super) sale: Vec<(f64, Predictive)>,
    /// Which level of it holds what is asked.
    pub(super) levels: Levels,
    pub(super) ln_value: f64,
    pub(super) facts: Facts,
    pub(super) as_of: Day,
    /// Variance of what buyers see of the bike around its value.
    pub(super) bike_variance: f64,
    /// Variance of one sale that is only luck.
    pub(super) luck: f64,
    /// How much of that doubt a plan may count on, as a standard deviation.
    pub(super) most_doubt: f64,
    /// The most that a buyer of such a bike has paid, in units.
    pub(super) most_paid: Option<f64>,
    /// Where the contributions start.
    pub(super) base_words: String,
    pub(super) ln_base: f64,
    /// Name, whether it is known, and log contribution.
    pub(super) steps: Vec<(&'static str, bool, f64)>,
    /// What the owner's guess did to it.
    pub(super) eye: Option<EyeQuote>,
}

impl Unrounded {
    /// Degrees of freedom of one sale's distribution.
    pub(super) fn freedom(&self) -> f64 {
        let parts = self.sale.iter();
        parts.map(|(weight, t)| weight * t.freedom).sum()
    }
}

/// Mean of one sale, in units. A Student t in logs has no mean of its exponential;
/// this is that of a log-normal with each component's scale.
pub(in crate::pricing) fn mean_sale(mixture: &[(f64, Predictive)]) -> f64 {
    mixture
        .iter()
        .map(|(weight, t)| {
            weight * (t.location + t.scale.powi(2).min(LARGEST_VARIANCE) / 2.0).exp()
        })
        .sum()
}

/// Splits `exp(base + sum logs) - exp(base)` among the logs, in units times
/// `scale`: `D_j = L(P1, P0) c_j` with the logarithmic mean
/// `L = (P1 - P0) / ln(P1 / P0)`, `L = P` where the two are equal (Ang 2004,
/// Energy Policy 32, from memory). Exact and free of order.
pub fn logarithmic_mean_split(base: f64, logs: &[f64], scale: f64) -> Vec<f64> {
    let total: f64 = logs.iter().sum();
    let start = base.exp() * scale;
    let mean = if total.abs() < 1e-12 {
        start
    } else {
        start * total.exp_m1() / total
    };
    logs.iter().map(|c| mean * c).collect()
}
