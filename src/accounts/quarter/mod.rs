//! A quarter from records: its lines, what is due, what closing froze and what changed since.

pub mod closed;
pub(super) mod corrections;
pub(super) mod doubts;
pub mod ledger;
pub(super) mod lines;
pub mod quarters;
