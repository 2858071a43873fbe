//! From a bike to a row of the design.
//!
//! * a bike as numbers: [`fact`]; the columns of the design: [`features`]
//! * facts to a row, unknown ones completed: [`coding`]; usual new prices: `new_prices`
//! * where the contributions start: [`base`]

pub mod base;
pub mod coding;
pub mod fact;
pub mod features;
pub(super) mod new_prices;
