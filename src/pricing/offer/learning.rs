//! What past offers teach the next: the winner's curse.
//!
//! The bikes that one gets are those for which one bid most, and so those for which
//! one was wrong in the seller's favour more often than not: what they hide, their
//! seller knows better. Forecasts that are right for all bikes are too high for the
//! ones that are bought. (Capen, Clapp and Campbell 1971, Journal of Petroleum
//! Technology 23(6), from memory.) The remedy is to bid less by the running mean of
//! the errors of one's own bought bikes.
//!
//! ```text
//! e_i     = (left_i - left forecast_i) / price forecast_i     the latest 20
//! applied = min(0, sum e_i / (n + 4))
//! most to pay = the one that follows from the forecast + applied x E
//! ```
//! `E` is the expected sale. Forecasts are kept without the correction, so it does
//! not chase itself.

/// Errors that are used, the latest.
pub const LATEST: usize = 20;

/// Offers that came true to the cent, counted beside one's own: with few outcomes
/// chance is most of the mean (judgement, no source).
pub const STEADY: f64 = 4.0;

/// What past offers teach.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OfferCorrection {
    /// Offers that were bought and sold and that are used.
    pub offers: usize,
    /// Mean error, a fraction of the sale price forecast; below 0: less was left than
    /// told. 0 without offers.
    pub mean_error: f64,
    /// What is added to the most to pay, as a fraction of the expected sale: 0 or
    /// less. Who was too careful until now is not told to pay more: the bikes that
    /// were left to others do not speak.
    pub applied: f64,
}

impl OfferCorrection {
    /// `errors`: in the order of sale, finite fractions of the price forecast.
    pub fn from_errors(errors: &[f64]) -> Self {
        let latest = &errors[errors.len().saturating_sub(LATEST)..];
        let (offers, sum) = (latest.len(), latest.iter().sum::<f64>());
        if offers == 0 {
            return Self::default();
        }
        Self {
            offers,
            mean_error: sum / offers as f64,
            applied: (sum / (offers as f64 + STEADY)).min(0.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_errors_count_for_less_and_only_bad_ones_lower_a_bid() {
        assert_eq!(
            OfferCorrection::from_errors(&[]),
            OfferCorrection::default()
        );
        let one = OfferCorrection::from_errors(&[-0.5]);
        assert_eq!((one.offers, one.mean_error, one.applied), (1, -0.5, -0.1));
        // By hand: (-0.30 - 0.10 + 0.16) / 3 = -0.08; -0.24 / 7.
        let three = OfferCorrection::from_errors(&[-0.30, -0.10, 0.16]);
        assert!((three.mean_error + 0.08).abs() < 1e-15);
        assert!((three.applied + 0.24 / 7.0).abs() < 1e-15);
        let good = OfferCorrection::from_errors(&[0.2, 0.1]);
        assert!((good.mean_error - 0.15).abs() < 1e-15);
        assert_eq!(good.applied, 0.0);
    }

    #[test]
    fn only_the_latest_count() {
        let mut errors = vec![-1.0; 30];
        errors.extend([0.0; LATEST]);
        assert_eq!(OfferCorrection::from_errors(&errors).mean_error, 0.0);
        errors.push(-0.24);
        let last = OfferCorrection::from_errors(&errors);
        assert!((last.applied + 0.24 / 24.0).abs() < 1e-15);
        assert_eq!(last.offers, LATEST);
    }
}
