//! Durations, some of which had not ended: curves, shares by cause, Weibull regression.

pub(super) mod episodes;
pub mod incidence;
pub mod kaplan_meier;
pub mod problem;
pub mod risk_sets;
pub mod weibull;
pub(super) mod weibull_fit;
