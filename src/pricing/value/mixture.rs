//! The average over the scales of the priors: a mixture of fits, each weighted by
//! its evidence.

use super::own_sales::Weighed;
use crate::pricing::prior::prior_rows::PriorRows;
use crate::statistics::linear::normal_inverse_gamma::NormalInverseGamma;
use crate::statistics::{Fit, FitProblem, RFactor};

/// Scales of all priors that are averaged, with their prior weights: 1 is the
/// shipped belief, 10 is ten times as sure of it.
const SCALES: [(f64, f64); 7] = [
    (0.1, 0.05),
    (0.25, 0.1),
    (0.5, 0.2),
    (1.0, 0.3),
    (2.0, 0.2),
    (4.0, 0.1),
    (10.0, 0.05),
];

/// Shape of the inverse-gamma prior of the variance (6 degrees of freedom).
pub const SHAPE: f64 = 3.0;

/// A component of the mixture: the fit under one scale of the priors.
#[derive(Clone, Debug)]
pub struct Component {
    /// Its weight in the answer; those of all components add up to 1.
    pub weight: f64,
    /// Scale of the priors.
    pub scale: f64,
    /// Chance of that scale before any record.
    pub chance: f64,
    /// ln of what the records say for it: the evidence.
    pub log_evidence: f64,
    /// Mean and degrees of freedom of the variance of a row of weight 1 under it.
    pub variance: (f64, f64),
    /// The fit.
    pub fit: Fit,
}

impl Component {
    /// The fit with its weight.
    pub(super) fn weighed(&self) -> Weighed<'_> {
        Weighed {
            weight: self.weight,
            scale: self.scale,
            fit: &self.fit,
        }
    }
}

/// The fits of `data`, worth `n` rows, under each scale of the priors.
///
/// # Errors
/// As [`Fit::within`].
pub(super) fn components(
    prior: &PriorRows,
    data: &RFactor,
    n: f64,
    names: &[String],
) -> Result<Vec<Component>, FitProblem> {
    let mut components = Vec::with_capacity(SCALES.len());
    for (scale, chance) in SCALES {
        let fit = prior.fit(data, scale, names)?;
        let model = NormalInverseGamma {
            a0: SHAPE,
            b0: SHAPE,
            n,
            log_det_prior: prior.log_det(scale),
            log_weights: data.log_weights(),
        };
        components.push(Component {
            weight: 0.0,
            scale,
            chance,
            log_evidence: model.log_evidence(&fit),
            variance: (model.scale(&fit) / model.shape(), 2.0 * model.shape()),
            fit,
        });
    }
    weigh(&mut components);
    Ok(components)
}

/// Bayes: the weight of a component is its chance times its evidence, of all those.
fn weigh(components: &mut [Component]) {
    let log = |one: &Component| one.chance.ln() + one.log_evidence;
    let top = components.iter().map(log).fold(f64::NEG_INFINITY, f64::max);
    let whole: f64 = components.iter().map(|one| (log(one) - top).exp()).sum();
    for one in components {
        one.weight = (log(one) - top).exp() / whole;
    }
}

/// Mean coefficients over the components.
pub(super) fn mean_coefficients(components: &[Component], width: usize) -> Vec<f64> {
    let mut mean = vec![0.0; width];
    for one in components {
        for (sum, b) in mean.iter_mut().zip(&one.fit.coefficients) {
            *sum += one.weight * b;
        }
    }
    mean
}
