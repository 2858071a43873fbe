//! The trade priors as rows of the augmented system.

use super::priors::Priors;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features;
use crate::pricing::design::features::{FACTS, Facts};
use crate::pricing::value::fitted::Part;
use crate::statistics::{Bounds, Fit, FitProblem, Triangle};

/// Prior rows of the augmented system.
pub(in crate::pricing) struct Prior {
    /// Mean and precision (1 / sd^2) of each column at scale 1.
    beliefs: Vec<(f64, f64)>,
    bounds: Bounds,
}

impl Prior {
    /// The intercept is nearly flat (sd 1) around `centre`, the records' own
    /// level, so that a market ten times dearer needs no setting.
    pub(in crate::pricing) fn new(priors: &Priors, coding: &Coding, centre: f64) -> Self {
        let mut beliefs: Vec<(f64, f64)> = priors
            .beliefs()
            .iter()
            .map(|b| (b.mean, 1.0 / (b.sd * b.sd)))
            .collect();
        beliefs[0] = (centre, 1.0);
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
            .map(|j| (j, 0.0, f64::INFINITY));
        let bounds = Bounds {
            limits: falling.chain(rising).collect(),
        };
        Self { beliefs, bounds }
    }

    /// Weight of the prior row of a column at a scale: `1 / sd^2`. The level's is
    /// the same at every scale.
    pub(in crate::pricing) fn precision(&self, column: usize, scale: f64) -> f64 {
        self.beliefs[column].1 * if column == 0 { 1.0 } else { scale }
    }

    pub(in crate::pricing) fn log_det(&self, scale: f64) -> f64 {
        (0..self.beliefs.len())
            .map(|j| self.precision(j, scale).ln())
            .sum()
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
        data: &Triangle,
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

    /// Share of the prior rows in the variance of the base bike's value:
    /// `x' V L0 V x / x' V x` with V the posterior covariance.
    pub(in crate::pricing) fn share_in_base(&self, parts: &[Part], coding: &Coding) -> f64 {
        let mut base = Facts {
            values: [0.0; FACTS],
            known: features::ALL_KNOWN & !features::NEW_KNOWN,
            years: None,
        };
        base.values[features::STYLE.start - 1 + features::BASE_STYLE.index()] = 1.0;
        let mut x = vec![0.0; coding.width()];
        let day = coding.as_of;
        coding.row(&base, day, None, &mut x);
        parts
            .iter()
            .map(|part| {
                let white = part.fit.whitened(&x);
                let whole: f64 = white.iter().map(|v| v * v).sum();
                let mut unit = vec![0.0; x.len()];
                let from_prior: f64 = (0..x.len())
                    .map(|j| {
                        unit[j] = 1.0;
                        let vx: f64 = part
                            .fit
                            .whitened(&unit)
                            .iter()
                            .zip(&white)
                            .map(|(a, b)| a * b)
                            .sum();
                        unit[j] = 0.0;
                        self.precision(j, part.scale) * vx * vx
                    })
                    .sum();
                part.share * (from_prior / whole).clamp(0.0, 1.0)
            })
            .sum()
    }

    /// Beliefs that the records contradict: at the shipped scale, the fitted
    /// effect lies more than 2.5 of its predictive deviations (prior variance less
    /// posterior variance) and more than one prior deviation from the belief.
    /// Returns column, name and that distance.
    pub(in crate::pricing) fn conflicts(
        &self,
        parts: &[Part],
        names: &[String],
    ) -> Vec<(usize, String, f64)> {
        let mut found = Vec::new();
        let Some(part) = parts.iter().find(|p| p.scale == 1.0) else {
            return found;
        };
        let mut unit = vec![0.0; self.beliefs.len()];
        for j in 1..self.beliefs.len() {
            unit[j] = 1.0;
            let variance = 1.0 / self.precision(j, 1.0);
            let spread = (variance - part.fit.leverage(&unit)).max(1e-3 * variance);
            let away = part.fit.coefficients[j] - self.beliefs[j].0;
            let t = away / spread.sqrt();
            unit[j] = 0.0;
            if t.abs() > 2.5 && away * away > variance {
                found.push((j, names[j].clone(), t));
            }
        }
        found
    }
}
