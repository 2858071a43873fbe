//! Laws that hold whatever the numbers are.

mod pricing;
mod statistics;
mod survival;
mod trade;
