//! The fitted effects against what was believed of them.

use super::mixture::Component;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::Facts;
use crate::pricing::prior::prior_rows::PriorRows;

/// Share of the prior rows in the variance of the base bike's value, 0 to 1:
/// `x' V L0 V x / x' V x` with V the posterior covariance and L0 the prior's
/// precision.
pub(super) fn share_in_base(prior: &PriorRows, components: &[Component], coding: &Coding) -> f64 {
    let mut x = vec![0.0; coding.width()];
    coding.row(&Facts::of_base(), coding.as_of, None, &mut x);
    let shares = components.iter().map(|one| {
        let of_rows = prior.share_of_rows(&one.fit, one.scale, &x);
        one.weight * (1.0 - of_rows)
    });
    shares.sum()
}

/// Beliefs that the records contradict: at the shipped scale, the fitted
/// effect lies more than 2.5 of its predictive deviations (prior variance less
/// posterior variance) and more than one prior deviation from the belief.
/// Returns column, name and that distance.
pub(super) fn conflicts(
    prior: &PriorRows,
    components: &[Component],
    names: &[String],
) -> Vec<(usize, String, f64)> {
    let mut found = Vec::new();
    let Some(one) = components.iter().find(|c| c.scale == 1.0) else {
        return found;
    };
    let means = prior.means();
    let mut unit = vec![0.0; means.len()];
    for j in 1..means.len() {
        unit[j] = 1.0;
        let variance = 1.0 / prior.precision(j, 1.0);
        let spread = (variance - one.fit.leverage(&unit)).max(1e-3 * variance);
        let away = one.fit.coefficients[j] - means[j];
        let t = away / spread.sqrt();
        unit[j] = 0.0;
        if t.abs() > 2.5 && away * away > variance {
            found.push((j, names[j].clone(), t));
        }
    }
    found
}
