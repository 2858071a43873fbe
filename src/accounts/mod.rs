//! What happened to the money: costs counted once, margins, what is due to the
//! beneficiaries and what was handed over, quarter by quarter, in whole minor
//! units. Records, not advice.
//!
//! * what one bike cost: [`direct_cost`]
//! * a quarter from records: [`ledger`], its lines: `lines`, its share: `share`, what closing froze: [`closed`],
//!   what changed afterwards: `corrections`; the result: [`quarter`]
//! * what there is to doubt: `doubts`, [`caution`]
//! * whether a bike was inspected: [`inspected`]; offers against what came of them: [`forecast`]
//! * the shed: [`stock`], one bike in it: [`holding`], what it needs: [`next_step`],
//!   what there is to doubt: [`stock_caution`]

pub mod caution;
pub mod closed;
mod corrections;
pub mod direct_cost;
mod doubts;
pub mod forecast;
pub mod holding;
pub mod inspected;
pub mod ledger;
mod lines;
pub mod next_step;
pub mod quarter;
mod share;
pub mod stock;
pub mod stock_caution;

pub use caution::Caution;
pub use closed::Closed;
pub use direct_cost::DirectCost;
pub use forecast::{Fate, Forecast};
pub use holding::{Holding, on_hand};
pub use inspected::{Clearance, Inspected};
pub use ledger::{AccountsProblem, Entries, Ledger};
pub use next_step::{NextStep, Prospect};
pub use quarter::QuarterReport;
pub use stock::Stock;
pub use stock_caution::StockCaution;
