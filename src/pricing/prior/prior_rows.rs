//! The trade priors as rows of the augmented system.

use super::belief::Belief;
use super::priors::Priors;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features;
use crate::statistics::{Bounds, Fit, FitProblem, RFactor};
use crate::trade::Currency;

/// The priors as rows of the augmented system.
pub(in crate::pricing) struct PriorRows {
    /// Mean and precision (1 / sd^2) of each column at scale 1.
    beliefs: Vec<(f64, f64)>,
    bounds: Bounds,
}

impl PriorRows {
    /// The rows with the belief about the base bike's level, where `currency` is paid with.
    pub(in crate::pricing) fn new(
        priors: &Priors,
        coding: &Coding,
        level: Belief,
        currency: &Currency,
    ) -> Self {
        let mut beliefs: Vec<(f64, f64)> = priors
            .beliefs_in(currency)
            .iter()
            .map(|b| (b.mean, 1.0 / (b.sd * b.sd)))
            .collect();
        beliefs[features::LEVEL] = (level.mean, 1.0 / level.sd.powi(2));
        let step = priors.market.quarter;
        beliefs.extend(
            coding
                .step_spread
                .iter()
                .map(|s| (step.mean, 1.0 / (s * step.sd).powi(2))),
        );
        let falling = features::AGE.take(3).map(|j| (j, f64::NEG_INFINITY, 0.0));
        let rising = features::CONDITION
            .chain(features::TIER)
            .chain(features::CONDITION_BY_AGE)
            .map(|j| (j, 0.0, f64::INFINITY));
        let bounds = Bounds {
            limits: falling.chain(rising).collect(),
        };
        Self { beliefs, bounds }
    }

    /// Weight of the prior row of a column at a scale: `1 / sd^2`. The level's is
    /// the same at every scale.
    pub(in crate::pricing) fn precision(&self, column: usize, scale: f64) -> f64 {
        self.beliefs[column].1
            * if column == features::LEVEL {
                1.0
            } else {
                scale
            }
    }

    pub(in crate::pricing) fn log_det(&self, scale: f64) -> f64 {
        (0..self.beliefs.len())
            .map(|j| self.precision(j, scale).ln())
            .sum()
    }

    /// Share of the rows, 0 to 1, in what a fit with these beliefs at `scale` knows of a
    /// price with the row `x`: `1 - x'V L V x / x'V x`, V its covariance and L the
    /// precision of the beliefs.
    pub(in crate::pricing) fn share_of_rows(&self, fit: &Fit, scale: f64, x: &[f64]) -> f64 {
        let along = fit.covariance_with(x);
        let whole: f64 = along.iter().zip(x).map(|(v, x)| v * x).sum();
        let beliefs = along.iter().enumerate();
        let from_beliefs: f64 = beliefs.map(|(j, v)| self.precision(j, scale) * v * v).sum();
        if whole > 0.0 {
            (1.0 - from_beliefs / whole).clamp(0.0, 1.0)
        } else {
            0.0
        }
    }

    /// Lowest and highest value of a column's coefficient.
    pub(in crate::pricing) fn limits(&self, column: usize) -> (f64, f64) {
        let mut limits = self.bounds.limits.iter();
        limits
            .find(|(j, ..)| *j == column)
            .map_or((f64::NEG_INFINITY, f64::INFINITY), |(_, low, high)| {
                (*low, *high)
            })
    }

    /// Means of all columns, to start from.
    pub(in crate::pricing) fn means(&self) -> Vec<f64> {
        self.beliefs.iter().map(|b| b.0).collect()
    }

    /// The fit of `data` with the prior rows at `scale`, within the bounds.
    pub(in crate::pricing) fn fit(
        &self,
        data: &RFactor,
        scale: f64,
        names: &[String],
    ) -> Result<Fit, FitProblem> {
        let mut all = data.clone();
        let mut x = vec![0.0; self.beliefs.len()];
        for j in 0..x.len() {
            x[j] = 1.0;
            all.push(&x, self.beliefs[j].0, self.precision(j, scale))?;
            x[j] = 0.0;
        }
        all.fold();
        Fit::within(&all, names, &self.bounds)
    }
}
