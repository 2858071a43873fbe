//! What happened to the money: costs counted once, margins, what is due to the
//! beneficiaries and what was handed over, quarter by quarter, in whole minor
//! units. Records, not advice.
//!
//! * what one bike cost: [`direct_cost`]; the share given away: `share`
//! * a quarter from records, closed ones, what changed afterwards: [`quarter`]
//! * the shed, and what each bike in it needs: [`stock`]
//! * one bike from purchase to sale: [`life`]
//! * whether a bike was inspected: [`inspected`]
//! * offers against what came of them: [`forecast`]
//! * what repairs usually cost: [`usual_cost`]

pub mod direct_cost;
pub mod forecast;
pub mod inspected;
mod last_asks;
pub mod life;
pub mod quarter;
mod share;
pub mod stock;
pub mod usual_cost;

pub use direct_cost::DirectCost;
pub use forecast::{Fate, Forecast};
pub use inspected::{Clearance, Inspected};
pub use quarter::caution::QuarterCaution;
pub use quarter::closed::Closed;
pub use quarter::figures::QuarterReport;
pub use quarter::ledger::{AccountsProblem, Entries, Ledger};
pub use quarter::quarters::{quarter_report, reports_to_close};
pub use stock::caution::StockCaution;
pub use stock::holding::{Holding, on_hand};
pub use stock::next_step::{NextStep, Prospect};
pub use stock::shed::Stock;
