//! Results to text, JSON, CSV, HTML and SVG. Computes nothing.

pub mod accuracy;
mod chart_style;
pub mod export;
pub mod inspection;
pub mod market;
pub mod offer;
pub mod priors;
pub mod quarter;
pub mod quote;
pub mod stock;
pub mod text;
