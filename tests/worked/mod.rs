//! Tiny cases wholly by hand, each step shown.

mod haggle_and_habit;
mod like_bikes;
mod market;
mod new_price_alone;
mod stock;
mod waterfall;
