//! From the last ask to the sale price.
//!
//! `ln(sale price / last ask) = -(at_value + a_premium u) + e`, with `u` the
//! premium of that ask and `e` normal; a Bayesian line with the beliefs as rows
//! and the noise shrunk to its own belief. Haggling never adds to the ask. No
//! published size for bicycles is known to us: the beliefs are judgement.

use super::history::{History, ListingEnd};
use super::premium::Habit;
use crate::pricing::prior::belief::Belief;
use crate::pricing::prior::selling_priors::HagglingBeliefs;
use crate::statistics::{Bounds, Fit, FitProblem, RFactor};

/// A gap this far from what is usual (ln) is a slip or a gift, not haggling.
const NO_HAGGLE: f64 = 0.5;
/// The part of a premium that buyers haggle away: within 0 and this (judgement).
const MOST_OF_PREMIUM: f64 = 0.8;

/// What was learnt about haggling.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Haggle {
    /// Part of the ask (ln) given away at no premium.
    pub at_value: f64,
    /// Further part for each log point of premium.
    pub a_premium: f64,
    /// Standard deviation of one sale around that.
    pub noise: f64,
    /// Own sales that spoke.
    pub pairs: usize,
}

impl Haggle {
    /// From own sales with a known last ask: `(premium, ln(sale price / ask))`.
    ///
    /// # Errors
    /// None in practice: the belief rows make the system regular.
    pub fn learn(pairs: &[(f64, f64)], belief: &HagglingBeliefs) -> Result<Self, FitProblem> {
        let pairs: Vec<(f64, f64)> = pairs
            .iter()
            .copied()
            .filter(|(u, gap)| u.is_finite() && gap.abs() < NO_HAGGLE)
            .collect();
        let names = ["at the value".to_string(), "a premium".to_string()];
        let bounds = Bounds {
            limits: vec![(0, 0.0, f64::INFINITY), (1, 0.0, MOST_OF_PREMIUM)],
        };
        let mut noise = belief.noise;
        let mut line = [belief.at_value.mean, belief.a_premium.mean];
        // The noise weighs the rows against the beliefs, so the two take turns.
        for _ in 0..20 {
            let mut data = RFactor::new(2);
            let prior = |b: Belief| 1.0 / b.sd.powi(2);
            data.push(&[1.0, 0.0], belief.at_value.mean, prior(belief.at_value))?;
            data.push(&[0.0, 1.0], belief.a_premium.mean, prior(belief.a_premium))?;
            for (u, gap) in &pairs {
                data.push(&[1.0, *u], -gap, 1.0 / noise.powi(2))?;
            }
            let fit = Fit::within(&data, &names, &bounds)?;
            line = [fit.coefficients[0], fit.coefficients[1]];
            let square: f64 = pairs
                .iter()
                .map(|(u, gap)| (gap + line[0] + line[1] * u).powi(2))
                .sum();
            let worth = belief.noise_sales;
            let now =
                ((worth * belief.noise.powi(2) + square) / (worth + pairs.len() as f64)).sqrt();
            let settled = (now - noise).abs() < 1e-9;
            noise = now;
            if settled {
                break;
            }
        }
        Ok(Self {
            at_value: line[0],
            a_premium: line[1],
            noise,
            pairs: pairs.len(),
        })
    }

    /// Expected sale price as a part of the ask, for a sale at premium `u`: at most 1.
    pub fn kept(&self, u: f64) -> f64 {
        (0.5 * self.noise.powi(2) - self.at_value - self.a_premium * u)
            .exp()
            .min(1.0)
    }
}

/// Premium of the last ask and ln(sale price / last ask) of each own sale whose
/// last ask is known.
pub fn pairs(histories: &[History], own: &Habit) -> Vec<(f64, f64)> {
    histories
        .iter()
        .filter(|h| h.own && h.end == ListingEnd::Sold)
        .filter_map(|h| {
            let (first, last) = (h.asks.first()?.1, h.asks.last()?.1);
            let (value, error) = h.value;
            let u = own.expected(first - value, error) + last - first;
            Some((u, h.ln_price? - last))
        })
        .collect()
}
