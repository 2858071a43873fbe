//! The file itself: making, opening, its versions, who holds it, transactions.

pub(super) mod holder;
pub(super) mod migration;
pub(super) mod opening;
pub(super) mod schema;
pub(super) mod writing;
