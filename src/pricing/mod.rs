//! What a bike is worth, how sure that is, and what it is like.

pub mod accuracy;
pub mod asking;
pub mod base;
pub mod caution;
pub mod coding;
pub mod curve;
mod doubts;
pub mod features;
pub mod fitting;
mod from_new_price;
pub mod gathered;
mod in_parallel;
pub mod inspection;
pub mod learnt;
pub mod market;
pub mod nearest;
mod new_prices;
pub mod observation;
pub mod offer;
pub mod on_hand;
pub mod own_sales;
mod pilot;
mod prior_rows;
pub mod priors;
pub mod quote;
pub mod selling_priors;
pub mod time_on_market;
pub mod unusual;
pub mod value;
pub mod value_system;

pub use observation::{Group, Observation, Records, RecordsError};
pub use priors::Priors;
pub use quote::{Quote, quote};
pub use value::{ValueModel, ValueSettings};
