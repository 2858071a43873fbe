//! An effect on the price as it is believed, beside what the records make of it.

use serde::Serialize;

/// One effect on the price.
#[derive(Clone, Debug, Serialize)]
pub struct Effect {
    /// Its name.
    pub effect: String,
    /// What the price is believed to be multiplied by.
    pub believed: f64,
    /// The factor one standard deviation below and above that.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// Own sales that the belief weighs as much as.
    pub equivalent_sales: f64,
    /// What the records make of it, belief included; `None` without records.
    pub fitted: Option<f64>,
    /// Whether it only keeps other effects honest (season, how a style ages
    /// differently): the table for people leaves it out.
    #[serde(skip)]
    pub nuisance: bool,
}
