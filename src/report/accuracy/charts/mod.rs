//! Prices told and brought, errors over time, chances of a sale told and what happened.

pub mod days;
pub mod errors;
pub mod prices;
