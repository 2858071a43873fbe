//! What a bike is worth, how sure that is, and what it is like.

pub mod caution;
pub mod curve;
pub mod features;
pub mod fitting;
pub mod nearest;
pub mod observation;
pub mod priors;
pub mod quote;
pub mod unusual;
pub mod value;

pub use observation::{Group, Observation, Records, RecordsError};
pub use priors::Priors;
pub use quote::{Quote, quote};
pub use value::{ValueModel, ValueSettings};
