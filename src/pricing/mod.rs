//! What a bike is worth, how sure that is, and what it is like.

pub mod accuracy;
pub mod asking;
pub mod design;
mod in_parallel;
pub mod inspection;
pub mod market;
pub mod offer;
pub mod prior;
pub mod quote;
pub mod records;
pub mod time_on_market;
pub mod value;

pub use prior::priors::Priors;
pub use quote::{Quote, quote};
pub use records::observation::{Group, Observation, Records, RecordsError};
pub use value::recipe::{ValueModel, ValueSettings};
