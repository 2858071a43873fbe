//! The value model: a recipe, two passes over the records, what was learnt.
//!
//! * what is asked: [`recipe`]; how it is learnt: [`learn`]; the price formula: [`fitted`]
//! * the passes over the records: [`reduce`]; weights and variances: `initial`
//! * the average over the scales of the priors: [`mixture`]
//! * the variance of a sale, leave-one-out, the correction of the ranges: [`own_sales`],
//!   [`levels`]
//! * what a new price tells beside the fit: [`depreciation`]; own sales as their owner saw
//!   them: `sightings`
//! * effects against beliefs: `against_beliefs`
//! * the rows behind it, for export: [`system`]; what a book keeps of it: [`cache`]

mod against_beliefs;
pub mod cache;
pub mod depreciation;
pub mod fitted;
pub(super) mod initial;
pub mod learn;
pub mod levels;
pub mod mixture;
pub mod own_sales;
pub mod recipe;
pub mod reduce;
mod sightings;
pub mod system;
