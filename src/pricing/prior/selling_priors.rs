//! The part of `priors.toml` that is about selling.

use super::belief::Belief;
use serde::Deserialize;

/// `[selling]`; see `priors.toml` for what each means.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct SellingBeliefs {
    pub buyers: f64,
    pub gone_sold: f64,
    pub bike: f64,
    pub time: TimeBeliefs,
    pub haggle: HagglingBeliefs,
    pub own_asks: AskHabit,
    pub other_asks: AskHabit,
}

/// Time on market.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct TimeBeliefs {
    pub days: Belief,
    pub premium: Belief,
    pub wave: Belief,
    pub half_year: Belief,
    pub tier: Belief,
    pub group: Belief,
    pub rare_size: Belief,
    pub others: Belief,
    pub others_premium: Belief,
    pub ln_shape: Belief,
}

/// From the last ask to the sale price.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct HagglingBeliefs {
    pub at_value: Belief,
    pub a_premium: Belief,
    pub noise: f64,
    pub noise_sales: f64,
}

/// How far above the value a group of sellers asks at first.
#[derive(Clone, Copy, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct AskHabit {
    pub mean: f64,
    pub spread: f64,
    pub worth: f64,
}
