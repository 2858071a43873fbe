//! Laws that hold whatever the numbers are.

mod asking;
mod export;
mod market;
mod plans;
mod pricing;
mod statistics;
mod survival;
mod trade;
