//! A belief about an effect.

use serde::Deserialize;

/// A belief about one effect: normal, in log points.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
pub struct Belief {
    /// Centre.
    pub mean: f64,
    /// Standard deviation, above 0.
    pub sd: f64,
}
