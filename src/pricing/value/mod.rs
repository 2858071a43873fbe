//! The value model: a recipe, two passes over the records, what it learnt.

pub mod cache;
pub mod fitted;
pub(super) mod initial;
pub mod own_sales;
pub mod reduce;
pub mod system;
