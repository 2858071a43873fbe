//! Laws that hold whatever the numbers are.

mod asking;
mod pricing;
mod statistics;
mod survival;
mod trade;
