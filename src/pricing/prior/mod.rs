//! What is believed before any record, and its rows in the augmented system.
//!
//! * a [`belief`]; `priors.toml`, read by [`priors`] and, of selling, [`selling_priors`]
//! * the rows: `prior_rows`

pub mod belief;
pub mod effect;
pub(super) mod prior_rows;
pub mod priors;
pub mod selling_priors;
