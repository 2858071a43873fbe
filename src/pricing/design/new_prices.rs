//! What a bike usually costs new.

use super::features::{ALL_KNOWN, FACTS, Facts, NEW_FACT, NEW_KNOWN, STYLE};
use crate::pricing::prior::priors::Priors;
use crate::statistics::linear::missing::Completions;
use crate::statistics::{Fit, FitProblem, Triangle};
use crate::trade::Style;

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
    fn row(facts: &[f64; FACTS]) -> [f64; 11] {
        let mut x = [0.0; 11];
        x[0] = 1.0;
        x[1] = facts[9..13].iter().sum();
        x[2..].copy_from_slice(&facts[STYLE.start - 1..]);
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
        let rows: Vec<([f64; 11], f64, f64)> = seen
            .iter()
            .filter(|(f, _)| f.known & NEW_KNOWN != 0)
            .map(|(f, weight)| {
                let mut full = f.values;
                if let Some(completion) =
                    completions.known(f.known).filter(|_| f.known != ALL_KNOWN)
                {
                    completion.fill(&mut full);
                }
                (Self::row(&full), f.values[NEW_FACT], *weight)
            })
            .collect();
        let fit = || -> Result<Fit, FitProblem> {
            let mut triangle = Triangle::new(11);
            for (x, y, weight) in &rows {
                triangle.push(x, *y, weight / base)?;
            }
            for j in 0..11 {
                let mut x = [0.0; 11];
                x[j] = 1.0;
                triangle.push(&x, means[j], 1.0 / (sds[j] * sds[j]))?;
            }
            Fit::of(&triangle, &[])
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
        slopes[9..13].fill(self.coefficients[1]);
        slopes[STYLE.start - 1..].copy_from_slice(&self.coefficients[2..]);
        slopes
    }
}
