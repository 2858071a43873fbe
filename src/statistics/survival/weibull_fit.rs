//! A fitted Weibull regression: what it says of a life.

/// A fitted Weibull regression.
#[derive(Clone, Debug, PartialEq)]
pub struct WeibullFit {
    /// Names of the columns.
    pub names: Vec<String>,
    /// Coefficients g on the scale of ln T.
    pub coefficients: Vec<f64>,
    /// ln s; the shape of the hazard is `exp(-ln_scale)`.
    pub ln_scale: f64,
    /// Covariance of the coefficients followed by ln s, row by row. A
    /// coefficient that is held or rests on a bound counts as known: its row and
    /// column are 0, and the others are given it.
    pub covariance: Vec<f64>,
    /// Log likelihood of the data, of times (not of their logarithms), without
    /// the prior.
    pub log_likelihood: f64,
    /// The same less `(g - mean)^2 / (2 sd^2)` of each normal prior; the priors'
    /// constants are left out.
    pub log_posterior: f64,
    /// Sum of the weighted events. With 0 the fit is the prior, moved only by
    /// how long nothing happened.
    pub events: f64,
    /// Episodes of some length.
    pub episodes: usize,
    /// Coefficients that rest on a bound, by their place.
    pub bounded: Vec<usize>,
}

impl WeibullFit {
    /// Standard errors of the coefficients followed by that of ln s; 0 where
    /// one is held or rests on a bound.
    pub fn standard_errors(&self) -> Vec<f64> {
        let next = self.coefficients.len() + 2;
        let diagonal = self.covariance.iter().step_by(next);
        diagonal.map(|variance| variance.max(0.0).sqrt()).collect()
    }

    /// `x'g`, the logarithm of the scale of the lifetimes at `x`.
    pub fn location(&self, x: &[f64]) -> f64 {
        x.iter().zip(&self.coefficients).map(|(x, g)| x * g).sum()
    }

    /// Shape of the hazard, `1 / s`: below 1 it falls with age, above 1 it rises.
    pub fn shape(&self) -> f64 {
        (-self.ln_scale).exp()
    }

    /// `H(t)` at `x`: events expected by age `t` if each life began anew; 0 at
    /// ages up to 0.
    pub fn cumulative_hazard(&self, x: &[f64], t: f64) -> f64 {
        if t <= 0.0 {
            return 0.0;
        }
        ((t.ln() - self.location(x)) * self.shape()).exp()
    }
}

#[cfg(test)]
mod tests {
    use super::WeibullFit;

    /// `H(t) = (t / e^2)^2` where `x'g` is 2 and `s` a half, by hand.
    #[test]
    fn the_cumulative_hazard_is_a_power_of_the_age() {
        let fit = WeibullFit {
            names: vec!["level".into(), "ask".into()],
            coefficients: vec![1.5, 0.25],
            ln_scale: 0.5_f64.ln(),
            covariance: vec![0.0; 9],
            log_likelihood: 0.0,
            log_posterior: 0.0,
            events: 1.0,
            episodes: 1,
            bounded: Vec::new(),
        };
        let unit = 2.0_f64.exp();
        for (t, hazard) in [
            (unit, 1.0),
            (2.0 * unit, 4.0),
            (0.1 * unit, 0.01),
            (0.0, 0.0),
        ] {
            let found = fit.cumulative_hazard(&[1.0, 2.0], t);
            assert!((found - hazard).abs() < 1e-12, "{t}: {found}");
        }
    }
}
