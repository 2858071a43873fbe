//! The file itself.
//!
//! * `connect`: a connection to it; `opening`: making and opening it; `check`: looking it over
//! * `schema`, `migration`: its versions; `copies`: those that migrations kept
//! * `names`: of the file and those beside it
//! * `failure`: what its failures mean; `holder`: who holds it
//! * `writing`: transactions

pub(super) mod check;
pub(super) mod connect;
pub(super) mod copies;
pub(super) mod failure;
pub(super) mod holder;
pub(super) mod migration;
pub(super) mod names;
pub(super) mod opening;
pub(super) mod schema;
pub(super) mod writing;
