//! What a bike usually costs new.

use super::fact::{self, ALL_KNOWN, FACTS, NEW_PRICE_KNOWN};
use super::features::Facts;
use crate::pricing::prior::priors::Priors;
use crate::statistics::linear::missing::Completions;
use crate::statistics::{Fit, FitProblem, RFactor};
use crate::trade::Style;
use std::ops::Range;

/// Columns: a level, a slope for each tier above the base's, one a style.
const LEVEL: usize = 0;
const TIER: usize = 1;
const STYLE: Range<usize> = TIER + 1..TIER + 1 + Style::ALL.len();
const COLUMNS: usize = STYLE.end;

/// What a bike of a style and tier usually costs new: ln new price regressed on
/// them, with the priors as rows, so that a new price tells how far a bike stands
/// above or below its like.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
pub(in crate::pricing) struct NewPrices {
    /// Level, a slope a tier, and a column a style.
    coefficients: Vec<f64>,
    /// Variance of ln new price around it.
    pub(in crate::pricing) variance: f64,
}

impl NewPrices {
    fn row(facts: &[f64; FACTS]) -> [f64; COLUMNS] {
        let mut x = [0.0; COLUMNS];
        x[LEVEL] = 1.0;
        x[TIER] = facts[fact::TIER].iter().sum();
        x[STYLE].copy_from_slice(&facts[fact::STYLE]);
        x
    }

    pub(in crate::pricing) fn learn(
        priors: &Priors,
        centre: f64,
        seen: &[(Facts, f64)],
        completions: &Completions,
    ) -> Self {
        let p = &priors.new_price;
        let mut means = vec![centre + p.over_used, p.tier.mean];
        let mut sds = vec![1.0, p.tier.sd];
        for style in Style::ALL {
            let belief = if *style == Style::Kids {
                p.kids
            } else {
                p.style
            };
            means.push(belief.mean);
            sds.push(belief.sd);
        }
        let base = p.spread * p.spread;
        let rows: Vec<([f64; COLUMNS], f64, f64)> = seen
            .iter()
            .filter(|(f, _)| f.knows(NEW_PRICE_KNOWN))
            .map(|(f, weight)| {
                let mut full = f.values;
                if let Some(completion) =
                    completions.known(f.known).filter(|_| f.known != ALL_KNOWN)
                {
                    completion.fill(&mut full);
                }
                (Self::row(&full), f.values[fact::NEW_PRICE], *weight)
            })
            .collect();
        let fit = || -> Result<Fit, FitProblem> {
            let mut data = RFactor::new(COLUMNS);
            for (x, y, weight) in &rows {
                data.push(x, *y, weight / base)?;
            }
            for j in 0..COLUMNS {
                let mut x = [0.0; COLUMNS];
                x[j] = 1.0;
                data.push(&x, means[j], 1.0 / (sds[j] * sds[j]))?;
            }
            Fit::of(&data, &[])
        };
        // The prior rows make it solvable whatever the records hold.
        let Ok(fit) = fit() else {
            return Self {
                coefficients: means,
                variance: base,
            };
        };
        let squares: f64 = rows
            .iter()
            .map(|(x, y, weight)| weight * (y - fit.predict(x)).powi(2))
            .sum();
        let count: f64 = rows.iter().map(|row| row.2).sum();
        let worth = priors.noise_sales;
        let variance = (worth * base + squares) / (worth + count);
        Self {
            coefficients: fit.coefficients,
            variance,
        }
    }

    /// Level, slope of a tier, styles.
    pub(in crate::pricing) fn coefficients(&self) -> &[f64] {
        &self.coefficients
    }

    /// ln of what is usual for completed facts.
    pub(in crate::pricing) fn usual(&self, facts: &[f64; FACTS]) -> f64 {
        Self::row(facts)
            .iter()
            .zip(&self.coefficients)
            .map(|(x, b)| x * b)
            .sum()
    }

    /// How the usual moves with each fact.
    pub(in crate::pricing) fn slopes(&self) -> [f64; FACTS] {
        let mut slopes = [0.0; FACTS];
        slopes[fact::TIER].fill(self.coefficients[TIER]);
        slopes[fact::STYLE].copy_from_slice(&self.coefficients[STYLE]);
        slopes
    }
}
