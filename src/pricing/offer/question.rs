//! What is asked of an offer.

use super::learning::OfferCorrection;
use crate::trade::inspection::Sheet;
use crate::trade::{Bike, Job, Money, Part};

/// How the user counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terms {
    /// Margin that is to be left, at least.
    pub margin: Money,
    /// Quantile of the sale that counts for cautious, above 0 and at most 0.5.
    pub quantile: f64,
    /// Part of the sale price that selling costs, 0 to below 1.
    pub fee: f64,
    /// What an hour of work is to bring.
    pub hour: Money,
}

/// What is asked.
#[derive(Clone, Debug)]
pub struct OfferQuestion {
    /// The bike as found.
    pub bike: Bike,
    /// Probability of the ranges.
    pub level: f64,
    /// What could be done, [`MOST_JOBS`](super::sets::MOST_JOBS) at most, each name once.
    pub jobs: Vec<Job>,
    /// What it could be taken apart into.
    pub parts: Vec<Part>,
    /// The inspection of the bike as found.
    pub sheet: Option<Sheet>,
    /// How the user counts.
    pub terms: Terms,
    /// What the owner expects it to bring with all jobs done.
    pub guess: Option<Money>,
    /// What the seller wants.
    pub asking: Option<Money>,
    /// What earlier offers teach.
    pub learnt: OfferCorrection,
}
