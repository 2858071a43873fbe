//! How prices held up, as text, JSON and pictures.

pub mod days_chart;
pub mod errors_chart;
pub mod json;
pub mod prices_chart;
pub mod text;
pub mod words;
