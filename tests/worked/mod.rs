//! Tiny cases wholly by hand, each step shown.

mod like_bikes;
mod market;
mod new_price_alone;
mod waterfall;
