//! One file a command: what is typed, what comes back, the exit status.

mod check;
mod demo;
mod export;
mod failures;
mod help;
mod import;
mod import_again;
pub mod import_asks;
mod import_columns;
pub mod import_costs;
pub mod import_gifts;
mod import_history;
pub mod inspect;
mod inspect_hostile;
mod market;
mod price;
mod price_edges;
mod price_json;
mod price_on_a_day;
mod price_plan;
mod price_plan_edges;
mod priors;
mod quarter_page;
mod record;
mod samples;
mod start;
mod stock;
