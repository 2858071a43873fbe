//! Tiny cases wholly by hand, each step shown.

mod accuracy;
mod asks_dated;
mod forecast;
mod haggle_and_habit;
mod like_bikes;
mod made_range;
mod market;
mod market_moves;
mod new_price_alone;
mod offer;
mod own_eye;
mod pace;
mod quarter;
mod quarter_closed;
mod quarter_closed_later;
mod quarter_costs;
mod quarter_doubts;
/// The records of a workshop as they grow, for these and for the laws.
pub mod quarter_records;
mod quarter_rules;
mod quarter_sums;
mod second_opinion;
mod stock;
mod stock_steps;
mod typical_base;
mod waterfall;
