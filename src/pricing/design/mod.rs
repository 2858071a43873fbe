//! From a bike to a row of the design: features, their coding, the base bike.

pub mod base;
pub mod coding;
pub mod features;
pub(super) mod new_prices;
