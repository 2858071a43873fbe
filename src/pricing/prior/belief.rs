//! A belief about an effect.

use serde::{Deserialize, Serialize};

/// A belief about one effect: normal, in log points.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Belief {
    /// Centre.
    pub mean: f64,
    /// Standard deviation, above 0.
    pub sd: f64,
}
