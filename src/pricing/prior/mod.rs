//! What is believed before any record, and its rows in the augmented system.

pub mod effect;
pub(super) mod prior_rows;
pub mod priors;
pub mod selling_priors;
