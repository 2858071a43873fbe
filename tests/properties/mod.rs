//! Laws that hold whatever the numbers are.

mod market;
mod pricing;
mod statistics;
mod survival;
mod trade;
