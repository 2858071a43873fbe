//! What happened to the money: costs counted once, margins, what is due to the
//! beneficiaries and what was handed over, quarter by quarter, in whole minor
//! units. Records, not advice.
//!
//! * what one bike cost: [`direct_cost`]
//! * a quarter from records: [`ledger`], its lines: `lines`, its share: `share`, what closing froze: [`closed`],
//!   what changed afterwards: `corrections`; the result: [`quarter`]
//! * what there is to doubt: `doubts`, [`caution`]

pub mod caution;
pub mod closed;
mod corrections;
pub mod direct_cost;
mod doubts;
pub mod ledger;
mod lines;
pub mod quarter;
mod share;

pub use caution::Caution;
pub use closed::Closed;
pub use direct_cost::DirectCost;
pub use ledger::{AccountsProblem, Entries, Ledger};
pub use quarter::QuarterReport;
