//! What the owner of a bike said of it, beside the value without and with it.

use crate::pricing::eye::look::Look;
use crate::pricing::eye::sighting::EyeSource;

/// What was said of a bike by eye, without it and with it; money in units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeTrial {
    /// A guess, or a first ask where there is none.
    pub from: EyeSource,
    /// It.
    pub said: f64,
    /// The value without it.
    pub without: f64,
    /// The value with it.
    pub with: f64,
}

impl EyeTrial {
    pub(super) fn of(from: EyeSource, ln_said: f64, ln_value: f64, look: &Look) -> Self {
        Self {
            from,
            said: ln_said.exp(),
            without: ln_value.exp(),
            with: (ln_value + look.moves).exp(),
        }
    }
}
