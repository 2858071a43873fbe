//! The conjugate (normal-inverse-gamma) linear model: what the evidence says.
//!
//! `y | b, s2 ~ N(X b, s2 W^-1)`, `b | s2 ~ N(m0, s2 L0^-1)`, `s2 ~ IG(a0, b0)`.
//! Each prior statement is a row of an augmented least squares, so a
//! [`Fit`] of data rows and prior rows together is the posterior mean (Gelman
//! et al., *Bayesian Data Analysis*, ch. 14; Theil & Goldberger 1961, from memory).

use super::least_squares::Fit;
use statrs::function::gamma::ln_gamma;

/// Prior and size of the data of a conjugate fit.
#[derive(Clone, Copy, Debug)]
pub struct NormalInverseGamma {
    /// Shape of the inverse-gamma prior of the variance.
    pub a0: f64,
    /// Scale of the same.
    pub b0: f64,
    /// Number of data rows (prior rows are not counted); power-prior rows
    /// count by their factor.
    pub n: f64,
    /// ln |L0| of the prior.
    pub log_det_prior: f64,
    /// Sum of ln w over the data rows.
    pub log_weights: f64,
}

impl NormalInverseGamma {
    /// Posterior shape, `a0 + n / 2`.
    pub fn shape(&self) -> f64 {
        self.a0 + self.n / 2.0
    }

    /// Posterior scale, `b0 + RSS / 2`, with the residual sum over all rows.
    pub fn scale(&self, fit: &Fit) -> f64 {
        self.b0 + fit.residual_sum / 2.0
    }

    /// Log marginal likelihood of the data under this prior:
    /// `-n/2 ln 2pi + (ln|L0| - ln|Ln|)/2 + a0 ln b0 - an ln bn + lnG(an) - lnG(a0) + sum ln w / 2`.
    pub fn log_evidence(&self, fit: &Fit) -> f64 {
        let (an, bn) = (self.shape(), self.scale(fit));
        -self.n / 2.0 * (2.0 * std::f64::consts::PI).ln()
            + (self.log_det_prior - fit.log_det_information()) / 2.0
            + self.a0 * self.b0.ln()
            - an * bn.ln()
            + ln_gamma(an)
            - ln_gamma(self.a0)
            + self.log_weights / 2.0
    }
}
