//! How well forecasts fit what came true: scores, ratio studies, ranks, drift.

pub mod adaptive;
pub mod drift;
pub mod ranks;
pub mod ratio_study;
pub mod scores;
