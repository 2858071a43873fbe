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
pub mod direct_cost;
pub mod forecast;
pub mod quarter;
mod share;
pub mod stock;

pub use caution::Caution;
pub use direct_cost::DirectCost;
pub use forecast::{Fate, Forecast};
pub use quarter::closed::Closed;
pub use quarter::ledger::{AccountsProblem, Entries, Ledger};
pub use quarter::quarters::QuarterReport;
pub use stock::caution::StockCaution;
pub use stock::holding::{Holding, on_hand};
pub use stock::inspected::{Clearance, Inspected};
pub use stock::next_step::{NextStep, Prospect};
pub use stock::shed::Stock;
