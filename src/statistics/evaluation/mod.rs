//! How well forecasts fit what came true.
//!
//! * of one forecast: [`scores`]; of a set of prices: [`ratio_study`], by ranks: [`ranks`]
//! * in the order of time: [`drift`]; a level that learns from misses: [`adaptive`]

pub mod adaptive;
pub mod drift;
pub mod ranks;
pub mod ratio_study;
pub mod scores;
