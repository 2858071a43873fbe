//! Ranges that keep what they promise while the world drifts: each outcome that
//! a range held makes the next a little narrower, each that it missed wider.

/// The miss rate to ask of the next range, so that in the long run the share of
/// misses is the target whatever the outcomes do (Gibbs & Candès 2021, *Adaptive
/// Conformal Inference Under Distribution Shift*, `NeurIPS` 34):
/// `alpha <- alpha + rate (target - missed)`, so a miss lowers alpha.
///
/// After T outcomes the share of misses differs from the target by at most
/// `(max(alpha_1, 1 - alpha_1) + rate) / (T rate)` (their proposition 4.1, from
/// memory), if a range of alpha 0 or less holds everything and one of alpha 1 or
/// more nothing.
///
/// ```
/// use wheelworth::statistics::evaluation::adaptive::AdaptiveLevel;
/// let mut level = AdaptiveLevel::new(0.2, 0.05);
/// level.saw(true);
/// assert!((level.alpha - 0.16).abs() < 1e-15);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AdaptiveLevel {
    /// Share of misses aimed at, 0 to 1.
    pub target: f64,
    /// Step of the update, above 0: the larger, the faster and the less steady.
    pub rate: f64,
    /// Miss rate for the next range. It may leave 0 to 1 by up to `rate`.
    pub alpha: f64,
}

impl AdaptiveLevel {
    /// Starts at the target.
    pub fn new(target: f64, rate: f64) -> Self {
        Self {
            target,
            rate,
            alpha: target,
        }
    }

    /// Takes in whether the last range missed its outcome.
    pub fn saw(&mut self, missed: bool) {
        self.alpha += self.rate * (self.target - error(missed));
    }
}

fn error(missed: bool) -> f64 {
    if missed { 1.0 } else { 0.0 }
}
