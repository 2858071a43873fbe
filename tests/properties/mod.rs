//! Laws that hold whatever the numbers are.

mod accounts;
mod as_of;
mod asking;
mod export;
mod importing;
mod inspection;
mod inspection_kept;
mod lives;
mod market;
mod offer;
mod plans;
mod pricing;
mod statistics;
mod stock;
mod survival;
mod trade;
mod years;
